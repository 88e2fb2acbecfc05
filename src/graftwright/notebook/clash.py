"""What a clash is: entries that cannot all be true of one thing, or of which one hides another."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from graftwright.notebook.entries import Written
from graftwright.notebook.settled import settlements
from graftwright.tongue import Choice, marked, say

APART_DAYS = 60
"""Later than this a second decision is a change of mind, no clash (common practice, no source)."""


class ClashSort(Choice):
    """In what way entries contradict each other."""

    CODE_TWICE = marked("one code for two things")
    TWO_PLACES = marked("two places on one day")
    PROMISED_TWICE = marked("promised twice")
    HANDED_TWICE = marked("handed over twice")
    DEAD_AND_HANDED = marked("dead and handed over")
    GONE_AND_HERE = marked("handed over and still here")
    STOCKS_OVERUSED = marked("more stocks used than there are")
    ARRIVED_TWICE = marked("one delivery written twice")
    WOOD_OVERUSED = marked("more wood used than there is")
    THROWN_AND_USED = marked("thrown out and used")
    BUNDLE_TWO_PLACES = marked("bundle in two places on one day")
    TWO_NAMES = marked("two names decided")
    PERMISSION = marked("allowed and not allowed")
    PROMISE_CHANGED = marked("promise changed differently")
    WITHDRAWN_AND_SERVED = marked("withdrawn and fulfilled")
    PLACE_CHANGED = marked("place described differently")
    PRACTICE_CHANGED = marked("practice set differently")
    SETTLED_TWICE = marked("settled differently")
    CORRECTED_TWICE = marked("one entry corrected differently")
    CODES_HANDED_TWICE = marked("codes handed out twice")


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Entries about one key that contradict each other, in replay order."""

    key: str
    sort: ClashSort
    sides: tuple[Written, ...]
    words: str


def hand(one: Written) -> tuple[str, str]:
    """Return who wrote an entry and on what; what one hand wrote in turn is no clash.

    Two desks that sign with the same initials, or with none, cannot be told apart.
    """
    return (one.written_by, one.device)


def unsettled(found: Iterable[Clash], story: Sequence[Written]) -> list[Clash]:
    """Return the clashes but those that somebody looked at and let stand as they are."""
    known = [frozenset(entry.sides) for _, entry in settlements(story)]
    if not known:
        return list(found)
    return [
        clash
        for clash in found
        if not any(sides.issuperset(s.entry_id for s in clash.sides) for sides in known)
    ]


def settled_differently(key: str, story: Sequence[Written]) -> list[Clash]:
    """Return the settlements of one clash that choose different sides."""
    found = settlements(story)[::-1]
    if len(found) < 2:
        return []
    by_id = {one.entry_id: one for one in story}
    differing = [
        (one_id, other_id)
        for place, (one_id, one) in enumerate(found)
        for other_id, other in found[place + 1 :]
        if one.chosen != other.chosen and set(one.sides) & set(other.sides)
    ]
    return [
        Clash(
            key=key,
            sort=ClashSort.SETTLED_TWICE,
            sides=(by_id[one_id], by_id[other_id]),
            words=say("a clash was settled in two ways; the later one counts for now"),
        )
        for one_id, other_id in differing
    ]
