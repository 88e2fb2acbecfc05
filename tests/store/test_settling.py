"""Clashes that two desks left behind: listed with their sides, and settled by entries.

The stories are invented; nothing published grounds them. What must hold follows from the words of
the page: the chosen side counts, the other stays readable, and nothing is open afterwards.
"""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from graftwright.errors import OutOfRange, UnknownCode
from graftwright.notebook.clash import ClashSort
from graftwright.notebook.clash_sides import differing_values
from graftwright.notebook.entries import (
    CodesHandedOut,
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    NoteWritten,
    PromiseMade,
    RunGrafted,
    StocksArrived,
    TreeMoved,
    TreeSeen,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.store import clash_list as clashes_kept
from graftwright.store import read
from graftwright.store.append import add_written, write
from graftwright.store.checking import findings
from graftwright.store.clash_list import OpenClash, clash_list
from graftwright.store.codes import next_codes
from graftwright.store.models import WrittenEntry
from graftwright.store.read import read_notebook, standings_that_differ
from graftwright.store.settling import settle
from graftwright.tagcode import code_from_number

pytestmark = pytest.mark.django_db
DAY = date(2009, 3, 2)
HERE, THERE = "desk", "desk at the mill"
PROMISE, BUNDLE, LOT, TREE, OTHER = (code_from_number(number) for number in range(1000, 1005))
MADE = UUID(int=1)


@pytest.fixture(autouse=True)
def _nothing_read_before() -> None:
    """Forget what was read in another test: ids are the same in each here, as in no notebook."""
    read._last_read.clear()
    clashes_kept._last_list.clear()


def by_desks(*said: tuple[str, Entry], first: int = 1) -> list[Written]:
    """Write entries down as two copies brought them, a minute apart."""
    return list(
        add_written(
            [
                Written(
                    entry_id=UUID(int=number),
                    written_at=datetime(2009, 3, 2, tzinfo=UTC) + timedelta(minutes=number),
                    written_by="KB" if desk == HERE else "TM",
                    device=desk,
                    entry=entry,
                )
                for number, (desk, entry) in enumerate(said, first)
            ],
            check=False,
        )
    )


def promise() -> PromiseMade:
    return PromiseMade(
        happened_on=DAY,
        code=PROMISE,
        who="Skelbeck School",
        variety="Discovery",
        stock="M26",
        wanted_count=2,
    )


def corrected(count: int, days: int = 0) -> EntryCorrected:
    return EntryCorrected(
        happened_on=DAY + timedelta(days),
        target=MADE,
        changes=(FieldChange(field="wanted_count", value_json=str(count)),),
    )


def only_clash(sort: ClashSort) -> OpenClash:
    (found,) = clash_list()
    assert found.clash.sort is sort
    return found


def test_two_desks_correct_one_field_and_both_values_are_shown_with_their_desk() -> None:
    by_desks((HERE, promise()), (HERE, corrected(4)), (THERE, corrected(7)))
    found = only_clash(ClashSort.CORRECTED_TWICE)
    assert differing_values(found.clash.sides) == [{"wanted count": "4"}, {"wanted count": "7"}]
    assert [side.device for side in found.clash.sides] == [HERE, THERE]
    assert found.corrected is not None
    assert found.corrected.entry_id == MADE


@pytest.mark.parametrize(("place", "count", "new_count"), [(0, 4, 2), (1, 7, 1), (None, 7, 1)])
def test_the_chosen_correction_counts_and_nothing_is_open_afterwards(
    place: int | None, count: int, new_count: int
) -> None:
    by_desks((HERE, promise()), (HERE, corrected(4)), (THERE, corrected(7)))
    found = only_clash(ClashSort.CORRECTED_TWICE)
    chosen = None if place is None else found.clash.sides[place].entry_id
    done = settle(found.clash_id, chosen, today=DAY, written_by="AF")
    assert len(done.written) == new_count
    assert read_notebook().promises[PROMISE].wanted_count == count
    assert clash_list() == ()
    with pytest.raises(UnknownCode, match="settled already"):
        settle(found.clash_id, chosen, today=DAY)


@pytest.mark.parametrize(
    "said",
    [
        ((HERE, corrected(4)), (HERE, corrected(7))),
        ((HERE, corrected(4)), (THERE, corrected(4))),
        ((HERE, corrected(4)), (THERE, corrected(7, days=61))),
        (
            (HERE, corrected(4)),
            (THERE, corrected(7)),
            (HERE, EntryWithdrawn(happened_on=DAY, target=UUID(int=3))),
        ),
        (
            (HERE, corrected(4)),
            (THERE, corrected(7)),
            (HERE, EntryWithdrawn(happened_on=DAY, target=MADE)),
        ),
    ],
    ids=["one hand", "one value", "much later", "one withdrawn", "entry withdrawn"],
)
def test_what_is_no_clash_is_not_shown(said: tuple[tuple[str, Entry], ...]) -> None:
    by_desks((HERE, promise()), *said)
    assert clash_list() == ()


def grafted(code: str = TREE, *more: str) -> RunGrafted:
    return RunGrafted(
        happened_on=DAY, tree_codes=(code, *more), bundle_code=BUNDLE, lot_code=LOT, place_code="P"
    )


def one_code_twice() -> None:
    by_desks(
        (HERE, WoodCut(happened_on=DAY, code=BUNDLE, variety="Discovery")),
        (HERE, StocksArrived(happened_on=DAY, code=LOT, arrived_count=9)),
        (HERE, grafted(TREE, OTHER)),
        (THERE, grafted(TREE)),
        (HERE, TreeSeen(happened_on=DAY, tree_codes=(TREE,))),
        (THERE, NoteWritten(happened_on=DAY, about_codes=(TREE,), words=f"{TREE} leans")),
    )


def test_of_two_trees_with_one_code_the_other_gets_a_code_and_its_own_story() -> None:
    one_code_twice()
    found = only_clash(ClashSort.CODE_TWICE)
    keeper, other = found.clash.sides
    done = settle(found.clash_id, keeper.entry_id, today=DAY)
    (new_code,) = done.new_codes
    assert new_code not in (TREE, OTHER, BUNDLE, LOT)
    assert clash_list() == ()
    notebook = read_notebook()
    assert {TREE, OTHER, new_code} <= set(notebook.trees)
    assert {one.entry.target for one in done.written if isinstance(one.entry, EntryCorrected)} == {
        other.entry_id,
        UUID(int=6),
    }
    assert standings_that_differ() == []
    assert [one for one in findings() if one.harm == "code"] == []


def test_two_things_of_unsigned_desks_keep_what_cannot_be_told_apart_with_the_code() -> None:
    run, again = grafted(), grafted()
    add_written(
        [
            Written(
                entry_id=UUID(int=n), written_at=datetime(2009, 3, 2, 9, n, tzinfo=UTC), entry=e
            )
            for n, e in enumerate((run, again, TreeSeen(happened_on=DAY, tree_codes=(TREE,))), 1)
        ],
        check=False,
    )
    found = only_clash(ClashSort.CODE_TWICE)
    done = settle(found.clash_id, found.clash.sides[1].entry_id, today=DAY)
    assert [getattr(one.entry, "target", None) for one in done.written] == [UUID(int=1)]


def test_codes_handed_out_twice_are_shown_and_given_by_one_block_alone() -> None:
    blocks = by_desks(
        (HERE, CodesHandedOut(happened_on=DAY, first_number=0, block_count=4, to_device=HERE)),
        (THERE, CodesHandedOut(happened_on=DAY, first_number=2, block_count=4, to_device=THERE)),
    )
    shared = {code_from_number(2), code_from_number(3)}
    found = only_clash(ClashSort.CODES_HANDED_TWICE)
    assert all(code in found.clash.words for code in shared)
    assert shared <= set(next_codes(4, device=HERE, today=DAY))
    assert not shared & set(next_codes(2, device=THERE, today=DAY))
    settle(found.clash_id, blocks[1].entry_id, today=DAY)
    assert clash_list() == ()
    assert not shared & set(next_codes(2, device=HERE, today=DAY))
    assert shared <= set(next_codes(4, device=THERE, today=DAY))


def test_two_desks_of_one_name_never_give_a_code_twice_in_one_go() -> None:
    block = CodesHandedOut(happened_on=DAY, first_number=0, block_count=3, to_device=HERE)
    by_desks((HERE, block), (HERE, block))
    assert len(set(next_codes(3, device=HERE, today=DAY))) == 3


def test_a_tree_in_two_places_stands_where_the_chosen_side_says() -> None:
    by_desks(
        (HERE, grafted()),
        (HERE, TreeMoved(happened_on=DAY, tree_codes=(TREE,), place_code="2223F")),
        (THERE, TreeMoved(happened_on=DAY, tree_codes=(TREE,), place_code="2223H")),
    )
    found = only_clash(ClashSort.TWO_PLACES)
    settle(found.clash_id, found.clash.sides[0].entry_id, today=DAY)
    assert read_notebook().trees[TREE].place_code == "2223F"
    assert clash_list() == ()


def test_no_run_alone_may_take_the_stocks_of_all() -> None:
    by_desks(
        (HERE, StocksArrived(happened_on=DAY, code=LOT, arrived_count=1)),
        (HERE, grafted(TREE)),
        (THERE, grafted(OTHER)),
    )
    (found,) = [one for one in clash_list() if one.clash.sort is ClashSort.STOCKS_OVERUSED]
    before = WrittenEntry.objects.count()
    with pytest.raises(OutOfRange, match="correct or withdraw"):
        settle(found.clash_id, found.clash.sides[0].entry_id, today=DAY)
    assert WrittenEntry.objects.count() == before
    settle(found.clash_id, None, today=DAY)
    assert clash_list() == ()


def test_settling_names_the_reason_and_who() -> None:
    by_desks((HERE, promise()), (HERE, corrected(4)), (THERE, corrected(7)))
    done = settle(
        only_clash(ClashSort.CORRECTED_TWICE).clash_id,
        None,
        today=DAY,
        words="asked the school",
        written_by="AF",
    )
    assert [(one.written_by, getattr(one.entry, "words", "")) for one in done.written] == [
        ("AF", "asked the school")
    ]
    assert write(NoteWritten(happened_on=DAY, about_codes=(PROMISE,), words="x"))
