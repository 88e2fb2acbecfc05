"""Jobs before and at the bench: wood to cut and check, stocks to measure, bench days, doubts."""

from collections.abc import Iterable
from datetime import date, timedelta

from graftwright.notebook.doubts import doubt_words
from graftwright.notebook.entries import Condition, Waking
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, StockLot
from graftwright.season.job import Job, count_of, job_at
from graftwright.season.material import winter_of
from graftwright.season.planned import Plan, ShortOf
from graftwright.season.practice import rule
from graftwright.season.seasons import season_of
from graftwright.tongue import say, told

_WAKING_WOOD = (Condition.SWOLLEN, Condition.GREEN)


def material_jobs(notebook: Notebook, *, today: date, plan: Plan | None) -> Iterable[Job]:
    """Yield the jobs about bundles, stocks and bench days."""
    yield from _bundle_jobs(notebook, today)
    yield from _lot_jobs(notebook, today)
    yield from _bench_jobs(notebook, today, plan)
    if plan is not None:
        yield from _plan_jobs(notebook, plan)
    yield from _doubt_jobs(notebook)


def _bundle_jobs(notebook: Notebook, today: date) -> Iterable[Job]:
    every = rule(notebook.nursery, "check bundles every")
    season = season_of(today, latitude_deg=notebook.nursery.latitude_deg)
    in_store = [b for b in notebook.bundles.values() if b.is_in_store]
    old = tuple(b.code for b in in_store if winter_of(b, notebook) < season)
    if old:
        yield job_at(
            notebook,
            notebook.bundles[old[0]].place_code,
            name="throw out old wood",
            what=told(
                "Throw out {count_of} of an earlier winter",
                count_of=count_of(old, "bundle", "bundles"),
            ),
            codes=old,
            why=say("wood of an earlier winter is past use, and no plan counts on it"),
            done_by="BundleDiscarded",
        )
    in_store = [b for b in in_store if b.code not in old]
    for place_code in dict.fromkeys(bundle.place_code for bundle in in_store):
        here = [bundle for bundle in in_store if bundle.place_code == place_code]
        due = [b for b in here if (today - _last_look(b)).days >= every.value]
        if due:
            codes = tuple(bundle.code for bundle in due)
            longest = max((today - _last_look(b)).days for b in due)
            yield job_at(
                notebook,
                place_code,
                name="check bundles",
                what=told(
                    "Check {count_of} for dryness, mould and swelling",
                    count_of=count_of(codes, "bundle", "bundles"),
                ),
                codes=codes,
                why=told(
                    "not looked at for up to {longest} days; {every:g} is the rule ({every_words})",
                    longest=longest,
                    every=every.value,
                    every_words=every.words,
                ),
                last_safe_on=today + timedelta(days=7),
                minutes_each=2.0,
                done_by="BundleChecked",
            )
        for bundle in here:
            if bundle.condition in _WAKING_WOOD:
                yield _waking_wood(notebook, bundle)


def _last_look(bundle: Bundle) -> date:
    return bundle.checked_on or bundle.cut_on


def _waking_wood(notebook: Notebook, bundle: Bundle) -> Job:
    return job_at(
        notebook,
        bundle.place_code,
        name="use waking wood",
        what=told(
            "Use bundle {bundle_code} ({variety_of_bundle}) first",
            bundle_code=bundle.code,
            variety_of_bundle=notebook.variety_of_bundle(bundle.code),
        ),
        codes=(bundle.code,),
        why=told(
            "marked {condition} on {checked_on:%-d %B}; it will not keep",
            condition=bundle.condition,
            checked_on=bundle.checked_on,
        )
        if bundle.checked_on
        else told("marked {condition}; it will not keep", condition=bundle.condition),
        is_warning=True,
    )


def _lot_jobs(notebook: Notebook, today: date) -> Iterable[Job]:
    for lot in notebook.lots.values():
        if lot.in_hand_count and not lot.diameters_mm:
            yield job_at(
                notebook,
                lot.place_code,
                name="measure stocks",
                what=told(
                    "Measure the {in_hand_count} {stock} of lot {lot_code}",
                    in_hand_count=lot.in_hand_count,
                    stock=lot.stock,
                    lot_code=lot.code,
                ),
                codes=(lot.code,),
                why=say("the pairing goes by the grade alone until they are measured"),
                minutes_each=0.5 * lot.in_hand_count,
                done_by="StocksMeasured",
            )
        if lot.in_hand_count and lot.waking is not Waking.DORMANT:
            yield _moving_stocks(notebook, lot)
        unanswered = lot.asked_count > 0 and lot.confirmed_count is None and lot.arrived_on is None
        if unanswered and lot.offered_on and (today - lot.offered_on).days > 14:
            yield job_at(
                notebook,
                "",
                name="ask the supplier",
                what=told(
                    "Ask {supplier} about {asked_count} {stock}",
                    supplier=lot.supplier or say("the supplier"),
                    asked_count=lot.asked_count,
                    stock=lot.stock,
                ),
                codes=(lot.code,),
                why=say("asked for and not yet confirmed; the plan counts on all of them"),
                minutes_each=5.0,
                done_by="StocksConfirmed",
            )


def _moving_stocks(notebook: Notebook, lot: StockLot) -> Job:
    return job_at(
        notebook,
        lot.place_code,
        name="graft moving stocks",
        what=told(
            "Graft {stock}, lot {lot_code}, before the other lots",
            stock=lot.stock,
            lot_code=lot.code,
        ),
        codes=(lot.code,),
        why=told("marked {waking}; they will not wait", waking=lot.waking),
        is_warning=True,
    )


def _bench_jobs(notebook: Notebook, today: date, plan: Plan | None) -> Iterable[Job]:
    planned = {day.bench_on: day for day in plan.bench_days} if plan else {}
    for free in notebook.bench_days.planned:
        ahead = (free.bench_on - today).days
        if free.bench_on in notebook.bench_days.closed_on or not -60 <= ahead <= 2:
            continue
        grafts = planned[free.bench_on].graft_count if free.bench_on in planned else 0
        if ahead < 0:
            worked = [t.code for t in notebook.trees.values() if t.grafted_on == free.bench_on]
            if worked:
                yield _close_day(notebook, free.bench_on, tuple(worked))
        else:
            yield job_at(
                notebook,
                "",
                name="bench day",
                what=told(
                    "Bench day on {bench_on:%-d %B}: {grafts} grafts in the plan, "
                    "{free_h:g} hours free",
                    bench_on=free.bench_on,
                    grafts=grafts,
                    free_h=free.free_h,
                ),
                codes=(),
                why=say(
                    "labels in working order and blades ready before the first bundle "
                    "opens; cut away from the hand, stop when tired or cold"
                ),
                last_safe_on=free.bench_on,
                minutes_each=0.0,
            )


def _close_day(notebook: Notebook, bench_on: date, codes: tuple[str, ...]) -> Job:
    return job_at(
        notebook,
        "",
        name="close bench day",
        what=told(
            "Close the bench day of {bench_on:%-d %B}: {count_of} written down",
            bench_on=bench_on,
            count_of=count_of(codes, "graft", "grafts"),
        ),
        codes=codes,
        why=say("labels used are counted against grafts made before the day is closed"),
        done_by="BenchDayClosed",
        minutes_each=0.1,
    )


def _plan_jobs(notebook: Notebook, plan: Plan) -> Iterable[Job]:
    last_bench = max((day.bench_on for day in plan.bench_days), default=None)
    is_over = last_bench is None and _is_late(plan)
    if plan.orders and not is_over:
        stocks = sum(order.ordered_count for order in plan.orders)
        first_bench = min((day.bench_on for day in plan.bench_days), default=None)
        yield job_at(
            notebook,
            "",
            name="order stocks",
            what=told("Order {stocks} stocks (the order list is on the Paper page)", stocks=stocks),
            codes=tuple(order.offer_code for order in plan.orders),
            why=say("the plan needs them beyond what is in hand and coming"),
            last_safe_on=first_bench - timedelta(days=14) if first_bench else None,
            minutes_each=3.0,
            done_by="StocksAsked",
        )
    yield from _wood_to_cut(notebook, plan)


def _is_late(plan: Plan) -> bool:
    """Whether the buds of the winter's wood have moved."""
    late = plan.cutting_close.closes.late_on
    return late is not None and plan.made_on > late


def _wood_to_cut(notebook: Notebook, plan: Plan) -> Iterable[Job]:
    if _is_late(plan):
        return  # the wood has moved: what is left is budding in summer, or next winter
    lines = {line.promise_code: line for line in plan.lines}
    missing: dict[str, int] = {}
    for short in plan.shortages:
        if short.short_of in (ShortOf.BUNDLE, ShortOf.WOOD):
            variety = lines[short.promise_code].variety
            missing[variety] = missing.get(variety, 0) + short.missing_count
    close = plan.cutting_close.closes.early_on
    for variety, count in missing.items():
        mothers = tuple(
            m.code for m in notebook.mother_trees.values() if m.variety == variety and m.permission
        )
        if mothers:
            yield job_at(
                notebook,
                "",
                name="cut wood",
                what=told(
                    "Cut more wood of {variety}: it is {count} short", variety=variety, count=count
                ),
                codes=mothers,
                why=_until_the_buds_move(plan),
                last_safe_on=close,
                minutes_each=30.0,
                done_by="WoodCut",
            )


def _until_the_buds_move(plan: Plan) -> str:
    early, late = plan.cutting_close.closes.early_on, plan.cutting_close.closes.late_on
    if early is None or late is None:
        return say(
            "promised grafts lack it; no temperatures are known, so cut before the buds swell"
        )
    return told(
        "promised grafts lack it, and buds begin to move between {early:%-d "
        "%B} and {late:%-d %B} (the Plan page says from what)",
        early=early,
        late=late,
    )


def _doubt_jobs(notebook: Notebook) -> Iterable[Job]:
    doubtful = (
        notebook.trees,
        notebook.bundles,
        notebook.lots,
        notebook.mother_trees,
        notebook.promises,
    )
    for things in doubtful:
        for thing in things.values():
            for doubt in thing.doubts:
                yield job_at(
                    notebook,
                    getattr(thing, "place_code", ""),
                    name="settle a doubt",
                    what=told(
                        "Look at {thing_code}: {doubt}",
                        thing_code=thing.code,
                        doubt=doubt_words(doubt),
                    ),
                    codes=(thing.code,),
                    why=say("two entries contradict each other; a new entry settles it"),
                    is_warning=True,
                    minutes_each=3.0,
                )
