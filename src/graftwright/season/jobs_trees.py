"""Jobs on grafted trees, batch by batch and place by place: what is due, why, and by when."""

from collections.abc import Iterable, Sequence
from datetime import date

from graftwright.climate import BUD_REQUIREMENT, CallusDates, Requirement
from graftwright.notebook.entries import Scion
from graftwright.notebook.standing import Tree
from graftwright.season import jobs_moves, jobs_second_chance, jobs_shoots
from graftwright.season.bud_notes import bud_learning
from graftwright.season.dating import clock_dates
from graftwright.season.grouped_trees import standing_by_place
from graftwright.season.job import Job
from graftwright.season.jobs_binding import binding_jobs, off_due
from graftwright.season.practice import rule
from graftwright.season.tree_work import Due, Find, Season, Task, day_words, days_since, job_of
from graftwright.tongue import marked, say, told

_CLOCK_DAYS = 200

_MOST_NAMES = 8


def tree_jobs(season: Season) -> Iterable[Job]:
    """Yield the jobs on trees, one for each place and each thing to do."""
    places = standing_by_place(season.notebook.trees)
    requirement = bud_learning(season.ground).requirement if places else BUD_REQUIREMENT
    kept = season.ground.reckoned.jobs
    for place_code, trees in places.items():
        rests_on = _rests_on(place_code, season, requirement)
        found = kept.get(place_code)
        if found is None or found[0] is not trees or found[1] != rests_on:
            found = (trees, rests_on, tuple(_place_jobs(place_code, trees, season, requirement)))
            kept[place_code] = found
        yield from found[2]


def _rests_on(place_code: str, season: Season, requirement: Requirement) -> tuple[object, ...]:
    """What a place's jobs follow from besides its trees and the day's ground."""
    notebook = season.notebook
    return (notebook.places.get(place_code), notebook.nursery, notebook.promises, requirement)


def _place_jobs(
    place_code: str, trees: Sequence[Tree], season: Season, requirement: Requirement
) -> Iterable[Job]:
    here = [tree for tree in trees if tree.is_here]
    free = [tree for tree in trees if tree.is_free_stock]
    for batch in _batches(here, season):
        yield from _batch_jobs(batch, season, requirement)
    for tasks, mine in ((_TASKS, here), (_FREE_STOCK_TASKS, free)):
        for task in tasks:
            due = task.find(mine, season)
            if due.trees:
                yield job_of(task, due, season, place_code)


def _batches(trees: Sequence[Tree], season: Season) -> list[tuple[Tree, ...]]:
    """Return the trees here of each day's grafting that still wait, or still wear their binding."""
    groups: dict[date, list[Tree]] = {}
    for tree in trees:
        age = (season.today - tree.grafted_on).days
        is_open = tree.scion is Scion.WAITING or tree.binding_on
        if 0 <= age <= _CLOCK_DAYS and is_open and not tree.is_budded and tree.is_here:
            groups.setdefault(tree.grafted_on, []).append(tree)
    return [tuple(group) for _, group in sorted(groups.items())]


def _batch_jobs(batch: tuple[Tree, ...], season: Season, requirement: Requirement) -> Iterable[Job]:
    first = batch[0]
    dates = _dates(first, season, requirement)
    if dates is None:
        return
    waiting = _waiting(batch, dates, season)
    if waiting.trees:
        task = Task(
            name="look at waiting grafts",
            what=told(
                "Look whether the buds of {{trees}} grafted {day_words} have moved",
                day_words=day_words(first.grafted_on),
            ),
            done_by="BudsMoved",
            minutes_each=0.3,
            find=_judge,
        )
        yield job_of(task, waiting, season, first.place_code)
    yield from binding_jobs(batch, tie=dates.tie, season=season, place_code=first.place_code)


def _dates(tree: Tree, season: Season, requirement: Requirement) -> CallusDates | None:
    place = season.notebook.places.get(tree.place_code)
    if place is None:
        return None
    kept = season.ground.reckoned.dates
    key = ("kind", tree.grafted_on, place.place_kind, requirement)
    if key not in kept:
        kept[key] = clock_dates(
            tree.grafted_on,
            kind=place.place_kind,
            weather=season.weather,
            bud_requirement=requirement,
        )
    return kept[key]


def _waiting(batch: tuple[Tree, ...], dates: CallusDates, season: Season) -> Due:
    window = dates.buds_move
    if window.early is None or season.today < window.early:
        return Due(trees=(), why="")
    every = rule(season.notebook.nursery, "look at waiting grafts every")
    trees = tuple(
        tree
        for tree in batch
        if tree.scion is Scion.WAITING and days_since(tree.seen_on, season.today) >= every.value
    )
    late = window.late or window.middle or window.early
    if season.today <= late:
        between = told(
            "{day_words} and {day_words_2}",
            day_words=day_words(window.early),
            day_words_2=day_words(late),
        )
        why = told("warmth since grafting puts moving buds between {between}", between=between)
    else:
        why = told(
            "nine in ten should have moved by {day_words}; waiting is not dead: "
            "feel the bud, look for green under a nick, see that the piece is not "
            "upside down",
            day_words=day_words(late),
        )
    return Due(
        trees=trees,
        why=told(
            "{why} (every {every:g} days: {every_words})",
            why=why,
            every=every.value,
            every_words=every.words,
        ),
    )


def _judge(trees: Sequence[Tree], season: Season) -> Due:
    after = rule(season.notebook.nursery, "judge the take after buds move")
    due = tuple(
        tree
        for tree in trees
        if not tree.has_taken
        and tree.moved_on is not None
        and days_since(tree.growing_since or tree.moved_on, season.today) >= after.value
    )
    return Due(
        trees=due,
        why=told(
            "buds moved at least {after:g} days ago; leaves alone are no take, "
            "look for new growth of 100 mm or judge a second time ({after_words})",
            after=after.value,
            after_words=after.words,
        ),
    )


def _grade(trees: Sequence[Tree], season: Season) -> Due:
    due = tuple(
        tree
        for tree in trees
        if season.is_grading_time
        and tree.has_taken
        and days_since(tree.graded_on, season.today) > 90
    )
    return Due(
        trees=due,
        why=say("graded before they are given out, so that each promise gets what it was promised"),
        last_safe_on=date(season.today.year, season.month_here(11), 30) if due else None,
    )


def _hand_over(trees: Sequence[Tree], season: Season) -> Due:
    due = tuple(tree for tree in trees if tree.allocated_to and tree.ready)
    promises = season.notebook.promises
    mine = [promises[t.allocated_to] for t in due if t.allocated_to in promises]
    names = _some_of(sorted({one.who for one in mine})) or say("a promise")
    return Due(
        trees=due,
        why=told(
            "graded fit and set aside for {names}; keep the movement record your "
            "plant health authority asks for",
            names=names,
        ),
        last_safe_on=min((one.due_on for one in mine if one.due_on), default=None),
    )


def _some_of(names: Sequence[str]) -> str:
    """Return the names, or the first of many and how many more there are."""
    if len(names) <= _MOST_NAMES + 1:
        return ", ".join(names)
    first = ", ".join(names[:_MOST_NAMES])
    return told("{first} and {count} more", first=first, count=len(names) - _MOST_NAMES)


def _task(
    name: str,
    what: str,
    done_by: str,
    minutes_each: float,
    find: Find,
    *,
    is_warning: bool = False,
) -> Task:
    return Task(
        name=name,
        what=what,
        done_by=done_by,
        minutes_each=minutes_each,
        find=find,
        is_warning=is_warning,
    )


_TASKS = (
    _task(
        marked("cane before wind"),
        marked("Wind expected: cane and tie {trees}"),
        "Caned",
        1.5,
        jobs_shoots.wind_due,
        is_warning=True,
    ),
    _task(
        marked("judge the take"),
        marked("Judge scion and stock of {trees}"),
        "TakeJudged",
        0.5,
        _judge,
    ),
    _task(
        marked("rub off stock shoots"),
        marked("Rub off the stock shoots of {trees}"),
        "StockShootsOff",
        0.4,
        jobs_shoots.rub_off_due,
    ),
    _task(
        marked("rub off below waiting scions"),
        marked("Rub off the stock shoots of {trees} still waiting"),
        "StockShootsOff",
        0.4,
        jobs_shoots.rub_off_waiting_due,
    ),
    _task(
        marked("pinch stock shoots"),
        marked("Pinch the stock shoots of {trees} and keep one"),
        "StockShootKept",
        0.5,
        jobs_shoots.pinch_due,
    ),
    _task(
        marked("thin to two"),
        marked("Thin {trees} to two shoots"),
        "ShootsThinned",
        0.5,
        jobs_shoots.to_two_due,
    ),
    _task("cane", marked("Cane and tie {trees}"), "Caned", 1.5, jobs_shoots.cane_due),
    _task(
        marked("thin to one"),
        marked("Thin {trees} to one shoot"),
        "ShootsThinned",
        0.5,
        jobs_shoots.to_one_due,
    ),
    _task(
        marked("take binding off"),
        marked("Take the binding off {trees}"),
        "BindingOff",
        0.7,
        off_due,
    ),
    _task(
        marked("measure growth"),
        marked("Measure the new growth of {trees}"),
        "GrowthMeasured",
        0.4,
        jobs_moves.measure_due,
    ),
    _task(
        marked("harden off"),
        marked("Begin to harden off {trees}"),
        "HardeningBegun",
        0.3,
        jobs_moves.harden_off_due,
    ),
    _task(
        marked("move out"),
        marked("Move {trees} outside to stay"),
        "TreeMoved",
        0.5,
        jobs_moves.move_out_due,
    ),
    _task(marked("pot on"), marked("Pot on {trees}"), "PottedOn", 4.0, jobs_moves.pot_on_due),
    _task(
        "roll-call",
        marked("Walk past {trees} and see which live"),
        "TreeSeen",
        0.3,
        jobs_moves.winter_roll_call_due,
    ),
    _task(
        marked("look at set buds"),
        marked("Look whether the buds set on {trees} took"),
        "TreeSeen",
        0.3,
        jobs_second_chance.look_at_buds_due,
    ),
    _task(
        marked("cut back to the bud"),
        marked("Cut {trees} back to the bud"),
        "StockCutBack",
        0.5,
        jobs_second_chance.cut_back_due,
    ),
    _task(
        marked("look at resting buds"),
        marked("Look whether the buds of {trees} have moved"),
        "BudsMoved",
        0.3,
        jobs_second_chance.spring_buds_due,
    ),
    _task("grade", marked("Grade {trees}: fit to hand over or not"), "Graded", 1.0, _grade),
    _task(
        marked("winter place"),
        marked("See {trees} safe for their first winter"),
        "TreeSeen",
        0.5,
        jobs_moves.winter_place_due,
    ),
    _task(marked("hand over"), marked("Hand over {trees}"), "TreeHandedOver", 3.0, _hand_over),
)

_FREE_STOCK_TASKS = (
    _task(
        marked("keep a stock shoot"),
        marked("Keep the best shoot on {trees} whose scion is lost"),
        "StockShootKept",
        0.5,
        jobs_second_chance.keep_shoot_due,
    ),
    _task(
        "bud",
        marked("Bud {trees} whose scion is lost"),
        "Reworked",
        3.0,
        jobs_second_chance.bud_due,
    ),
)
