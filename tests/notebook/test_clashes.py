"""Entries of two copies that contradict each other: found, shown as a doubt, settled by an entry.

The stories are invented. Nothing published grounds them: what must hold is that no order of the
entries and no repetition changes what is found.
"""

from datetime import UTC, date, datetime, timedelta
from itertools import permutations
from uuid import UUID

import pytest

from graftwright.errors import OutOfRange
from graftwright.notebook.clash import ClashSort
from graftwright.notebook.entries import (
    ClashSettled,
    RunGrafted,
    ScionDied,
    TreeAllocated,
    TreeHandedOver,
    TreeMoved,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.replay import clashes_in, things_at
from graftwright.notebook.standing import Tree

TREE, OTHER = "22223", "22238"
GRAFTED = RunGrafted(
    happened_on=date(2009, 2, 20),
    bundle_code="2223C",
    lot_code="2223E",
    tree_codes=(TREE, OTHER),
    place_code="2223F",
)


def written(entry: Entry, number: int, device: str = "desk") -> Written:
    at = datetime(2009, 1, 1, tzinfo=UTC) + timedelta(minutes=number)
    return Written(entry_id=UUID(int=number), written_at=at, device=device, entry=entry)


def story(*entries: Entry) -> list[Written]:
    """The grafting at the desk, then each further entry on a copy of its own."""
    further = [written(one, 2 + n, f"phone {n}") for n, one in enumerate(entries)]
    return sorted([written(GRAFTED, 1), *further], key=Written.order)


CONTRADICTIONS = {
    ClashSort.DEAD_AND_HANDED: (
        ScionDied(happened_on=date(2009, 5, 1), tree_codes=(TREE, OTHER)),
        TreeHandedOver(happened_on=date(2009, 11, 3), tree_codes=(TREE,), to_whom="the school"),
    ),
    ClashSort.TWO_PLACES: (
        TreeMoved(happened_on=date(2009, 4, 2), tree_codes=(TREE,), place_code="2223H"),
        TreeMoved(happened_on=date(2009, 4, 2), tree_codes=(TREE,), place_code="2223J"),
    ),
    ClashSort.PROMISED_TWICE: (
        TreeAllocated(happened_on=date(2009, 9, 1), tree_codes=(TREE,), promise_code="2223K"),
        TreeAllocated(happened_on=date(2009, 9, 2), tree_codes=(TREE,), promise_code="2223L"),
    ),
    ClashSort.HANDED_TWICE: (
        TreeHandedOver(happened_on=date(2009, 11, 3), tree_codes=(TREE,), to_whom="the school"),
        TreeHandedOver(happened_on=date(2009, 11, 5), tree_codes=(TREE,), to_whom="the mill"),
    ),
}


@pytest.mark.parametrize("sort", CONTRADICTIONS)
def test_a_contradiction_is_found_whatever_order_the_entries_came_in(sort: ClashSort) -> None:
    told = story(*CONTRADICTIONS[sort])
    found = {
        tuple((one.sort, one.words) for one in clashes_in(TREE, sorted(order, key=Written.order)))
        for order in permutations(told)
    }
    assert len(found) == 1
    assert sort in [one for one, _ in found.pop()]
    tree = things_at(TREE, told)["tree"]
    assert isinstance(tree, Tree)
    assert tree.doubts


@pytest.mark.parametrize("sort", CONTRADICTIONS)
def test_settling_leaves_the_tree_as_if_the_other_side_had_never_been_written(
    sort: ClashSort,
) -> None:
    told = story(*CONTRADICTIONS[sort])
    (clash,) = [one for one in clashes_in(TREE, told) if one.sort is sort]
    first, second = (side.entry_id for side in clash.sides[-2:])
    for chosen, lost in ((first, second), (second, first)):
        settled = ClashSettled(
            happened_on=date(2010, 1, 5),
            about_codes=(TREE,),
            sides=(first, second),
            chosen=chosen,
        )
        now = [*told, written(settled, 99)]
        assert clashes_in(TREE, now) == []
        without = [one for one in told if one.entry_id != lost]
        assert things_at(TREE, now) == things_at(TREE, without)


def test_a_death_set_aside_for_one_tree_still_counts_for_the_other() -> None:
    told = story(*CONTRADICTIONS[ClashSort.DEAD_AND_HANDED])
    (clash,) = clashes_in(TREE, told)
    settled = ClashSettled(
        happened_on=date(2010, 1, 5),
        about_codes=(TREE,),
        sides=tuple(side.entry_id for side in clash.sides),
        chosen=next(s.entry_id for s in clash.sides if isinstance(s.entry, TreeHandedOver)),
    )
    now = [*told, written(settled, 99)]
    kept, other = things_at(TREE, now)["tree"], things_at(OTHER, now)["tree"]
    assert isinstance(kept, Tree)
    assert isinstance(other, Tree)
    assert kept.scion_died_on is None
    assert other.scion_died_on == date(2009, 5, 1)


def test_looking_without_choosing_lets_both_stand_without_a_doubt() -> None:
    told = story(*CONTRADICTIONS[ClashSort.HANDED_TWICE])
    (clash,) = clashes_in(TREE, told)
    looked = ClashSettled(
        happened_on=date(2010, 1, 5),
        about_codes=(TREE,),
        sides=tuple(side.entry_id for side in clash.sides),
    )
    assert clashes_in(TREE, [*told, written(looked, 99)]) == []


def test_a_tree_with_nothing_contradicting_has_no_clash() -> None:
    assert clashes_in(TREE, story()) == []


def test_a_settlement_with_one_side_or_a_stranger_chosen_is_refused() -> None:
    side = UUID(int=2)
    with pytest.raises(OutOfRange, match="two sides"):
        ClashSettled(happened_on=date(2010, 1, 5), about_codes=(TREE,), sides=(side,))
    with pytest.raises(OutOfRange, match="none of the sides"):
        ClashSettled(
            happened_on=date(2010, 1, 5),
            about_codes=(TREE,),
            sides=(side, UUID(int=3)),
            chosen=UUID(int=4),
        )
