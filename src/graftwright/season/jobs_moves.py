"""Jobs that carry trees about: hardening off, moving out, potting on, and walks to count them."""

from collections.abc import Sequence
from datetime import date, timedelta

from graftwright.notebook.entries import PlaceKind
from graftwright.notebook.standing import Tree
from graftwright.season.frost_ahead import HURTING_C, frost_chance_fraction
from graftwright.season.practice import rule
from graftwright.season.tree_work import Due, Season, days_since
from graftwright.tongue import say, told

_UNDER_COVER = (
    PlaceKind.COLD_GREENHOUSE,
    PlaceKind.UNHEATED_ROOM,
    PlaceKind.HEATED_LEDGE,
    PlaceKind.HEATED_BENCH,
)
_NONE = Due(trees=(), why="")


def harden_off_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the growing trees under cover, once a hard frost outdoors has become unlikely."""
    inside = [t for t in season.growing(trees) if _is_inside(t, season)]
    waiting = tuple(t for t in inside if t.hardening_since is None)
    if not waiting:
        return _NONE
    limit = rule(season.notebook.nursery, "frost chance to harden off at")
    days = rule(season.notebook.nursery, "harden off for")
    out_on = season.today + timedelta(days=round(days.value))
    chance = frost_chance_fraction(season.weather, from_on=out_on)
    if chance is None:
        return _by_calendar(waiting, season)
    if chance * 100.0 > limit.value:
        return _NONE
    return Due(
        trees=waiting,
        why=told(
            "in leaf under cover; {HURTING_C:g} °C or less came after {out_on:%-d "
            "%B} in {chance:.0%} of the years known, {limit:g}% is the rule "
            "({limit_words}). Out by day, in by night, for {days:g} days "
            "({days_words})",
            HURTING_C=HURTING_C,
            out_on=out_on,
            chance=chance,
            limit=limit.value,
            limit_words=limit.words,
            days=days.value,
            days_words=days.words,
        ),
    )


def _by_calendar(waiting: tuple[Tree, ...], season: Season) -> Due:
    if not season.is_month(6, 7, 8):
        return _NONE
    return Due(
        trees=waiting,
        why=say(
            "in leaf under cover and the frosts are usually past; no temperatures "
            "are known, so this goes by the calendar"
        ),
    )


def move_out_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees that have been hardened off for long enough to stay outside."""
    days = rule(season.notebook.nursery, "harden off for")
    due = tuple(
        t
        for t in season.growing(trees)
        if _is_inside(t, season)
        and t.hardening_since is not None
        and days_since(t.hardening_since, season.today) >= days.value
    )
    return Due(
        trees=due,
        why=told(
            "hardened off for {days:g} days or more ({days_words}); choose a dull, "
            "still day, and carry by the pot, below the union",
            days=days.value,
            days_words=days.words,
        ),
    )


def _is_inside(tree: Tree, season: Season) -> bool:
    place = season.notebook.places.get(tree.place_code)
    return place is not None and place.place_kind in _UNDER_COVER


def pot_on_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees that outgrow a small pot."""
    limit = rule(season.notebook.nursery, "pot on from")
    small = rule(season.notebook.nursery, "pot on out of pots under")
    due = tuple(
        t
        for t in season.growing(trees)
        if t.growth_mm >= limit.value and 0 < t.pot_litres < small.value
    )
    return Due(
        trees=due,
        why=told(
            "{limit:g} mm of growth or more ({limit_words}) in a pot under "
            "{small:g} litres ({small_words}); lift with a straight back, two to a "
            "heavy pot",
            limit=limit.value,
            limit_words=limit.words,
            small=small.value,
            small_words=small.words,
        ),
    )


def measure_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees whose growth was not measured lately."""
    every = rule(season.notebook.nursery, "measure growth every")
    due = tuple(
        t for t in season.growing(trees) if days_since(t.measured_on, season.today) >= every.value
    )
    return Due(
        trees=due,
        why=told(
            "growth decides binding, cane and thinning; every {every:g} days ({every_words})",
            every=every.value,
            every_words=every.words,
        ),
    )


def winter_roll_call_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees of earlier summers that nobody has seen since the winter."""
    spring = date(season.today.year, season.month_here(4), 1)
    due = tuple(
        tree
        for tree in trees
        if season.is_month(4, 5)
        and tree.season < season.today.year
        and (tree.seen_on is None or tree.seen_on < spring)
    )
    return Due(trees=due, why=say("first walk after winter: see which came through"))


def winter_place_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the potted trees that stand open to a winter for the first time, in late autumn."""
    if not season.is_month(11):
        return _NONE
    due = tuple(
        tree
        for tree in trees
        if tree.has_taken
        and not tree.allocated_to
        and _stands_open(tree, season)
        and days_since(tree.seen_on, season.today) > 45
    )
    return Due(
        trees=due,
        why=say(
            "first winter in a pot, and roots bear less frost than tops: let them "
            "drop their leaves, then plunge or shelter them; the autumn page shows "
            "how cold the roots get here"
        ),
    )


def _stands_open(tree: Tree, season: Season) -> bool:
    place = season.notebook.places.get(tree.place_code)
    return place is None or place.place_kind is PlaceKind.OUTDOORS
