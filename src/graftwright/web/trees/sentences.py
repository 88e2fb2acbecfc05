"""Entries as sentences: what was written down, in the words of the page."""

from collections.abc import Callable

from graftwright.notebook import entries as e
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.written import kind_of
from graftwright.tongue import say, told
from graftwright.web.templatetags.trade import day as day_words
from graftwright.web.templatetags.trade import day_of_year
from graftwright.web.trees.naming import place_name, trees_words
from graftwright.web.trees.sentences_later import evidence_and_jobs, later_life
from graftwright.web.trees.sentences_planting import spots_and_names


def sentence_of(entry: Entry, notebook: Notebook) -> str:
    """Return an entry as one sentence with a full stop.

    A kind without its own words is shown by its stored name, so that nothing is ever hidden.
    """
    for telling in _TELLINGS:
        if words := telling(entry, notebook):
            return f"{words[0].upper()}{words[1:].rstrip('.')}."
    return told("{kind_of}: not understood by this copy.", kind_of=kind_of(entry))


def _care(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.BudsMoved():
            return told("buds moved on {trees_words}", trees_words=trees_words(entry.tree_codes))
        case e.BindingLoosened():
            return told(
                "binding loosened on {trees_words}", trees_words=trees_words(entry.tree_codes)
            )
        case e.BindingOff():
            return told(
                "binding taken off {trees_words}", trees_words=trees_words(entry.tree_codes)
            )
        case e.StockShootsOff():
            return told(
                "stock shoots rubbed off {trees_words}", trees_words=trees_words(entry.tree_codes)
            )
        case e.ShootsThinned():
            return told(
                "{trees_words} thinned to {shoots}",
                trees_words=trees_words(entry.tree_codes),
                shoots=_shoots(entry.to_count),
            )
        case e.Caned():
            return told("{trees_words} caned and tied", trees_words=trees_words(entry.tree_codes))
        case e.PottedOn():
            return told(
                "{trees_words} potted on into {pot_litres:g} litres",
                trees_words=trees_words(entry.tree_codes),
                pot_litres=entry.pot_litres,
            )
        case e.TreeMoved():
            where = f", {entry.position}" if entry.position else ""
            place = place_name(entry.place_code, notebook)
            return told(
                "{trees_words} moved to {place}{where}",
                trees_words=trees_words(entry.tree_codes),
                place=place,
                where=where,
            )
        case e.TreeSeen():
            place = (
                told(" at {place_name}", place_name=place_name(entry.place_code, notebook))
                if entry.place_code
                else ""
            )
            return told(
                "{trees_words} seen{place}", trees_words=trees_words(entry.tree_codes), place=place
            )
        case _:
            return ""


def _shoots(count: int) -> str:
    return say("one shoot") if count == 1 else told("{count} shoots", count=count)


def _judged(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.TakeJudged():
            judged = told("scion {scion}, stock {stock}", scion=entry.scion, stock=entry.stock)
            return told(
                "{trees_words} judged: {judged}{more}",
                trees_words=trees_words(entry.tree_codes),
                judged=judged,
                more=_more(entry.words),
            )
        case e.GrowthMeasured():
            return told(
                "{growth_mm:g} mm of new growth on {trees_words}",
                growth_mm=entry.growth_mm,
                trees_words=trees_words(entry.tree_codes),
            )
        case e.Graded():
            height = (
                told(", {height_m:g} m high", height_m=entry.height_m)
                if entry.height_m is not None
                else ""
            )
            fit = say("fit to hand over") if entry.ready else say("not yet fit to hand over")
            return told(
                "{trees_words} graded {fit}{height}",
                trees_words=trees_words(entry.tree_codes),
                fit=fit,
                height=height,
            )
        case _:
            return _hurt(entry, _notebook)


def _hurt(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.DamageNoted():
            words = _more(entry.words)
            return told(
                "damage on {trees_words}: {cause}{words}",
                trees_words=trees_words(entry.tree_codes),
                cause=entry.cause,
                words=words,
            )
        case e.ScionDied():
            words = _more(entry.words)
            return told(
                "scion died on {trees_words}: {cause}{words}",
                trees_words=trees_words(entry.tree_codes),
                cause=entry.cause,
                words=words,
            )
        case e.StockDied():
            words = _more(entry.words)
            return told(
                "stock died under {trees_words}: {cause}{words}",
                trees_words=trees_words(entry.tree_codes),
                cause=entry.cause,
                words=words,
            )
        case e.UnionBroke():
            return told(
                "union broke on {trees_words}: {cause}",
                trees_words=trees_words(entry.tree_codes),
                cause=entry.cause,
            )
        case _:
            return ""


def _given(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.TreeAllocated():
            if not entry.promise_code:
                return told("{trees_words} freed again", trees_words=trees_words(entry.tree_codes))
            who = _who(entry.promise_code, notebook)
            return told(
                "{trees_words} set aside for {who}",
                trees_words=trees_words(entry.tree_codes),
                who=who,
            )
        case e.TreeHandedOver():
            who = entry.to_whom or _who(entry.promise_code, notebook)
            return told(
                "{trees_words} handed over to {who}",
                trees_words=trees_words(entry.tree_codes),
                who=who,
            )
        case e.Planted():
            where = told(" at {where}", where=entry.where) if entry.where else " out"
            height = entry.union_height_mm
            union = (
                told(", union {height:g} mm above the soil", height=height)
                if height is not None
                else ""
            )
            return told(
                "{trees_words} planted{where}{union}",
                trees_words=trees_words(entry.tree_codes),
                where=where,
                union=union,
            )
        case e.PromiseMade():
            wanted = told(
                "{wanted_count} {variety} on {stock}",
                wanted_count=entry.wanted_count,
                variety=entry.variety,
                stock=entry.stock,
            )
            return told("promised to {who}: {wanted}", who=entry.who, wanted=wanted)
        case e.PromiseChanged():
            return told("promise {code} changed", code=entry.code)
        case e.PromiseWithdrawn():
            return told("promise {code} withdrawn{more}", code=entry.code, more=_more(entry.reason))
        case _:
            return ""


def _who(promise_code: str, notebook: Notebook) -> str:
    promise = notebook.promises.get(promise_code)
    return promise.who if promise else promise_code or "somebody"


def _bench(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.RunGrafted():
            return _run(entry, notebook)
        case e.LabelsCounted():
            counts = told(
                "{used_count} used, {left_over_count} left over",
                used_count=entry.used_count,
                left_over_count=entry.left_over_count,
            )
            return told(
                "labels of bundle {bundle_code} counted: {counts}",
                bundle_code=entry.bundle_code,
                counts=counts,
            )
        case e.BenchDayPlanned():
            on = day_words(entry.bench_on)
            return told(
                "{on} kept free for the bench, {free_h:g} hours", on=on, free_h=entry.free_h
            )
        case e.BenchDayClosed():
            return told(
                "bench day of {day_words} closed{more}",
                day_words=day_words(entry.bench_on),
                more=_more(entry.words),
            )
        case e.PlaceEntered():
            room = (
                told(", room for {capacity_count}", capacity_count=entry.capacity_count)
                if entry.capacity_count
                else ""
            )
            return told(
                "place {name} written down: {place_kind}{room}",
                name=entry.name,
                place_kind=entry.place_kind,
                room=room,
            )
        case e.TemperaturesAdded() | e.HourlyTemperaturesAdded():
            return (
                told(
                    "temperatures added from {day_of_year} on",
                    day_of_year=day_of_year(entry.first_on),
                )
                if isinstance(entry, e.TemperaturesAdded)
                else say("hourly temperatures added")
            )
        case _:
            return ""


def _run(run: e.RunGrafted, notebook: Notebook) -> str:
    lot = notebook.lots.get(run.lot_code)
    on = told(
        "{stock}, lot {lot_code}", stock=lot.stock if lot else say("stock"), lot_code=run.lot_code
    )
    variety = notebook.variety_of_bundle(run.bundle_code)
    by = told(" by {grafter}", grafter=run.grafter) if run.grafter else ""
    spoilt = (
        told("; {spoilt_count} spoilt", spoilt_count=run.spoilt_count) if run.spoilt_count else ""
    )
    count = (
        say("1 graft")
        if len(run.tree_codes) == 1
        else told("{count} grafts", count=len(run.tree_codes))
    )
    return told(
        "{count} of {variety}, bundle {bundle_code}, on {on}{by}: {method}, {binding}{spoilt}",
        count=count,
        variety=variety,
        bundle_code=run.bundle_code,
        on=on,
        by=by,
        method=run.method,
        binding=run.binding,
        spoilt=spoilt,
    )


def _wood(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.MotherTreeEntered():
            site = told(" at {site}", site=entry.site) if entry.site else ""
            return told(
                "mother tree of {variety} written down{site}, {certainty}",
                variety=entry.variety,
                site=site,
                certainty=entry.certainty,
            )
        case e.CertaintyJudged():
            return told(
                "name judged {certainty}{more}",
                certainty=entry.certainty,
                more=_more(entry.evidence),
            )
        case e.NameDecided():
            return told(
                "name decided: {variety}{more}", variety=entry.variety, more=_more(entry.evidence)
            )
        case e.PermissionRecorded():
            given = say("allowed") if entry.granted else say("refused")
            return told(
                "{owner} {given} the cutting{more}",
                owner=entry.owner,
                given=given,
                more=_more(entry.words),
            )
        case e.HealthNoted():
            return told(
                "health noted: {health}{more}", health=entry.health, more=_more(entry.words)
            )
        case e.ShootsMeasured():
            return told(
                "shoots measured: {shoot_length_mm:g} mm long",
                shoot_length_mm=entry.shoot_length_mm,
            )
        case _:
            return _bundles(entry, notebook)


def _bundles(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.WoodCut():
            source = entry.mother_tree_code or entry.from_whom
            start = told(" from {source}", source=source) if source else ""
            return told(
                "{sticks} of {variety} cut{start}",
                sticks=_sticks(len(entry.sticks)),
                variety=entry.variety,
                start=start,
            )
        case e.SticksMeasured():
            return told("{sticks} measured", sticks=_sticks(len(entry.sticks)))
        case e.BundleChecked():
            return told(
                "bundle {code} found {condition}{more}",
                code=entry.code,
                condition=entry.condition,
                more=_more(entry.words),
            )
        case e.BundleMoved():
            place = place_name(entry.place_code, notebook)
            return told("bundle {code} moved to {place}", code=entry.code, place=place)
        case e.BundleDiscarded():
            return told(
                "rest of bundle {code} thrown out{more}", code=entry.code, more=_more(entry.reason)
            )
        case _:
            return ""


def _sticks(count: int) -> str:
    return (
        say("1 stick")
        if count == 1
        else told("{count} sticks", count=count)
        if count
        else say("a bundle")
    )


def _stocks(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.StocksOffered():
            size = entry.lot_size_count
            return told(
                "{stock} offered by {supplier} in bundles of {size}",
                stock=entry.grade.stock,
                supplier=entry.supplier,
                size=size,
            )
        case e.StocksAsked():
            return told(
                "{asked_count} stocks ordered, lot {code}",
                asked_count=entry.asked_count,
                code=entry.code,
            )
        case e.StocksConfirmed():
            return told(
                "{confirmed_count} stocks confirmed, lot {code}",
                confirmed_count=entry.confirmed_count,
                code=entry.code,
            )
        case e.StocksArrived():
            how = say("carried over") if entry.carried_over else say("arrived")
            return told(
                "{arrived_count} stocks {how}, lot {code}",
                arrived_count=entry.arrived_count,
                how=how,
                code=entry.code,
            )
        case _:
            return _stocks_seen(entry, _notebook)


def _stocks_seen(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.StocksMeasured():
            return told(
                "{count} stocks measured, lot {code}",
                count=len(entry.diameters_mm),
                code=entry.code,
            )
        case e.StocksChecked():
            return told(
                "lot {code} looked at: {waking}{more}",
                code=entry.code,
                waking=entry.waking,
                more=_more(entry.words),
            )
        case e.StocksLost():
            return told(
                "{lost_count} stocks lost of lot {code}{more}",
                lost_count=entry.lost_count,
                code=entry.code,
                more=_more(entry.reason),
            )
        case _:
            return ""


def _anything(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.NoteWritten():
            return told("note: {words}", words=entry.words)
        case e.PhotoAdded():
            return told("photo added{more}", more=_more(entry.words))
        case e.EntryCorrected():
            return told("entry corrected{more}", more=_more(entry.reason))
        case e.EntryWithdrawn():
            return told("entry withdrawn{more}", more=_more(entry.reason))
        case e.ClashSettled():
            return told("clash settled{more}", more=_more(entry.words))
        case e.PracticeSet():
            return told(
                "own practice: {practice} is {entry}{more}",
                practice=say(entry.practice),
                entry=entry.value,
                more=_more(entry.words),
            )
        case e.NurseryDescribed():
            return say("the nursery described")
        case e.MaterialCounted():
            return told(
                "{in_hand:g} {unit} of {material} counted",
                in_hand=entry.in_hand,
                unit=entry.unit,
                material=entry.material,
            )
        case e.EarlierResultsCounted():
            passed = told(
                "{taken_count} of {grafted_count} took",
                taken_count=entry.taken_count,
                grafted_count=entry.grafted_count,
            )
            return told(
                "{season}, {variety} on {stock}: {passed}",
                season=entry.season,
                variety=entry.variety,
                stock=entry.stock,
                passed=passed,
            )
        case _:
            return ""


def _more(words: str) -> str:
    return f"; {words}" if words else ""


_TELLINGS: tuple[Callable[[Entry, Notebook], str], ...] = (
    *(
        _care,
        _judged,
        _given,
        later_life,
        _bench,
        _wood,
        _stocks,
        evidence_and_jobs,
        spots_and_names,
    ),
    _anything,
)
