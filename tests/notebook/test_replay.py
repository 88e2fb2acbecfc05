"""Replay: any order of merged copies gives one state, and nothing is lost on the way."""

import random
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.notebook.entries import (
    BindingOff,
    BudsMoved,
    Cause,
    DamageNoted,
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    GrowthMeasured,
    NotUnderstoodEntry,
    PromiseMade,
    Reworked,
    RunGrafted,
    ScionDied,
    StickMeasured,
    StockDied,
    StockGrade,
    StocksArrived,
    TakeJudged,
    TreeAllocated,
    TreeHandedOver,
    TreeMoved,
    UnionBroke,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.trees import Scion, StockState
from graftwright.notebook.replay import replay
from graftwright.notebook.written import written_from_plain, written_to_plain
from graftwright.tagcode import code_from_number

START = date(2009, 3, 1)
BUNDLE, LOT, PROMISE, PLACE = (code_from_number(n) for n in range(1, 5))
TREES = tuple(code_from_number(n) for n in range(10, 16))
STICK = StickMeasured(number=1, length_mm=700, base_mm=9, tip_mm=5, bud_count=18)


def written(place: int, entry) -> Written:
    return Written(
        entry_id=UUID(int=place),
        written_at=datetime(2009, 3, 1, tzinfo=UTC) + timedelta(minutes=place),
        entry=entry,
    )


def beginning() -> list:
    return [
        WoodCut(happened_on=START, code=BUNDLE, variety="Discovery", sticks=(STICK,)),
        StocksArrived(
            happened_on=START,
            code=LOT,
            arrived_count=8,
            grade=StockGrade(stock="M26", low_mm=8, high_mm=10),
        ),
        PromiseMade(
            happened_on=START,
            code=PROMISE,
            who="The school",
            variety="Discovery",
            stock="M26",
            wanted_count=2,
        ),
        RunGrafted(happened_on=START, tree_codes=TREES, bundle_code=BUNDLE, lot_code=LOT),
    ]


days = st.integers(min_value=-3, max_value=250).map(lambda n: START + timedelta(days=n))
some_trees = st.lists(st.sampled_from(TREES), min_size=1, max_size=3, unique=True).map(tuple)
scions = st.sampled_from(list(Scion))


@st.composite
def later_entries(draw):
    day, trees = draw(days), draw(some_trees)
    kind = draw(st.integers(min_value=0, max_value=11))
    return [
        lambda: BudsMoved(happened_on=day, tree_codes=trees),
        lambda: TakeJudged(happened_on=day, tree_codes=trees, scion=draw(scions)),
        lambda: GrowthMeasured(
            happened_on=day, tree_codes=trees, growth_mm=draw(st.integers(0, 600))
        ),
        lambda: BindingOff(happened_on=day, tree_codes=trees),
        lambda: ScionDied(happened_on=day, tree_codes=trees),
        lambda: StockDied(happened_on=day, tree_codes=trees),
        lambda: UnionBroke(happened_on=day, tree_codes=trees),
        lambda: TreeMoved(happened_on=day, tree_codes=trees, place_code=PLACE),
        lambda: TreeAllocated(happened_on=day, tree_codes=trees, promise_code=PROMISE),
        lambda: TreeHandedOver(happened_on=day, tree_codes=trees, promise_code=PROMISE),
        lambda: Reworked(happened_on=day, tree_codes=trees, bundle_code=BUNDLE),
        lambda: DamageNoted(happened_on=day, tree_codes=trees, cause=Cause.LEADER_LOST),
    ][kind]()


@st.composite
def notebooks(draw):
    entries = [*beginning(), *draw(st.lists(later_entries(), max_size=12))]
    record = [written(place, entry) for place, entry in enumerate(entries)]
    for _ in range(draw(st.integers(min_value=0, max_value=4))):
        target = draw(st.sampled_from(record))
        amendment = (
            EntryWithdrawn(happened_on=draw(days), target=target.entry_id)
            if draw(st.booleans())
            else EntryCorrected(
                happened_on=draw(days),
                target=target.entry_id,
                changes=(
                    FieldChange(field="happened_on", value_json=f'"{draw(days).isoformat()}"'),
                ),
            )
        )
        record.append(written(len(record), amendment))
    return record


@given(record=notebooks(), seed=st.integers(min_value=0))
@settings(max_examples=150, deadline=None)
def test_two_copies_joined_in_any_order_and_any_number_of_times_stand_the_same(record, seed):
    shuffled = record * 2
    random.Random(seed).shuffle(shuffled)
    cut = len(shuffled) // 2
    one, other = shuffled[:cut], shuffled[cut:]
    assert replay(record) == replay([*one, *other]) == replay([*other, *one, *one])


@given(record=notebooks())
@settings(max_examples=60, deadline=None)
def test_the_record_goes_out_as_plain_data_and_comes_back_the_same(record):
    assert [written_from_plain(written_to_plain(one)) for one in record] == record


@given(record=notebooks())
@settings(max_examples=60, deadline=None)
def test_nothing_passes_from_waiting_to_dead_without_a_persons_word(record):
    kinds_that_say_dead = (TakeJudged, ScionDied, StockDied)
    for tree in replay(record).trees.values():
        said = any(
            isinstance(one.entry, kinds_that_say_dead) and tree.code in one.entry.tree_codes
            for one in record
        )
        assert tree.scion is not Scion.DEAD or said


def test_leaves_alone_are_no_take_but_growth_or_a_second_look_is():
    def state(*later):
        record = [written(i, e) for i, e in enumerate([*beginning(), *later])]
        return replay(record).trees[TREES[0]]

    one = (TREES[0],)
    may, june = date(2009, 5, 1), date(2009, 6, 1)
    assert not state(BudsMoved(happened_on=may, tree_codes=one)).has_taken
    first = TakeJudged(happened_on=may, tree_codes=one, scion=Scion.GROWING)
    assert not state(first).has_taken
    assert state(first, TakeJudged(happened_on=june, tree_codes=one, scion=Scion.GROWING)).has_taken
    assert state(GrowthMeasured(happened_on=may, tree_codes=one, growth_mm=150)).has_taken


def test_a_taken_graft_that_breaks_counts_as_taken_and_is_no_tree():
    record = [*beginning(), UnionBroke(happened_on=date(2009, 7, 1), tree_codes=(TREES[0],))]
    tree = replay([written(i, e) for i, e in enumerate(record)]).trees[TREES[0]]
    assert tree.has_taken
    assert not tree.is_alive


def test_a_death_can_be_taken_back():
    entries = [
        *beginning(),
        ScionDied(happened_on=date(2009, 5, 1), tree_codes=(TREES[0],)),
        TakeJudged(happened_on=date(2009, 6, 9), tree_codes=(TREES[0],), scion=Scion.GROWING),
    ]
    tree = replay([written(i, e) for i, e in enumerate(entries)]).trees[TREES[0]]
    assert tree.is_alive
    assert tree.stock is StockState.ALIVE


def test_an_entry_of_an_unknown_kind_is_kept_whole_and_shown():
    line = {
        "entry_id": str(UUID(int=7)),
        "written_at": "2009-03-01T08:00:00+00:00",
        "kind": "MoonPhaseNoted",
        "entry": {"happened_on": "2009-03-01", "code": BUNDLE, "phase": "waning"},
    }
    one = written_from_plain(line)
    assert isinstance(one.entry, NotUnderstoodEntry)
    assert written_to_plain(one)["entry"] == line["entry"]
    assert replay([one]).not_understood == (one.entry,)


def test_trees_of_one_mother_are_sisters():
    notebook = replay([written(i, e) for i, e in enumerate(beginning())])
    sisters = notebook.sisters_of(notebook.trees[TREES[0]])
    assert {tree.code for tree in sisters} == set(TREES[1:])
