"""Writing entries down and reading them back."""

from datetime import date, timedelta
from itertools import permutations
from uuid import uuid4

import pytest

from graftwright.errors import CannotFollow, UnknownCode
from graftwright.notebook.amended import effective
from graftwright.notebook.entries import (
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    MotherTreeEntered,
    NameDecided,
    PromiseMade,
    RunGrafted,
    StickMeasured,
    StockGrade,
    StocksArrived,
    TakeJudged,
    WoodCut,
)
from graftwright.notebook.entries.trees import Scion
from graftwright.store.append import add_written, write, write_many
from graftwright.store.codes import next_codes
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.read import (
    all_written,
    counted_on,
    read_notebook,
    rebuild_standings,
    standings_that_differ,
    story_of,
)
from graftwright.tagcode import code_from_number

pytestmark = pytest.mark.django_db
DAY = date(2009, 3, 2)
LABELS = "labels 2009"
BUNDLE, LOT, TREE, TREE_B, OTHER = (code_from_number(n) for n in range(1000, 1005))
STICK = StickMeasured(number=1, length_mm=600, base_mm=9, tip_mm=5, bud_count=12)


def first_run(trees=(TREE, TREE_B)):
    return [
        WoodCut(happened_on=DAY, code=BUNDLE, variety="James Grieve", sticks=(STICK,)),
        StocksArrived(
            happened_on=DAY,
            code=LOT,
            arrived_count=2,
            grade=StockGrade(stock="M26", low_mm=8, high_mm=10),
        ),
        RunGrafted(happened_on=DAY, tree_codes=trees, bundle_code=BUNDLE, lot_code=LOT),
    ]


def test_a_run_gives_every_graft_its_own_tree_and_uses_wood_and_stocks():
    write_many(first_run())
    notebook = read_notebook()
    assert set(notebook.trees) == {TREE, TREE_B}
    assert notebook.variety_of(notebook.trees[TREE]) == "James Grieve"
    assert notebook.stock_of(notebook.trees[TREE]) == "M26"
    assert notebook.lots[LOT].in_hand_count == 0
    assert notebook.bundles[BUNDLE].used_count == 2


def test_an_entry_sent_twice_is_written_once():
    mark = uuid4()
    entry = PromiseMade(
        happened_on=DAY,
        code=OTHER,
        who="The school",
        variety="Discovery",
        stock="M26",
        wanted_count=3,
    )
    first = write(entry, entry_id=mark)
    assert write(entry, entry_id=mark) == first
    assert WrittenEntry.objects.count() == 1


def test_a_batch_with_one_impossible_entry_writes_nothing():
    with pytest.raises(CannotFollow, match="2 stocks in hand, 3 are named"):
        write_many(first_run(trees=(TREE, TREE_B, OTHER)))
    assert WrittenEntry.objects.count() == 0
    assert Standing.objects.count() == 0


def test_a_code_never_written_down_is_refused_with_the_way_out():
    with pytest.raises(UnknownCode, match="no tree has the code 22223; check the tag"):
        write(TakeJudged(happened_on=DAY, tree_codes=("22223",), scion=Scion.GROWING))


def test_a_correction_changes_what_counts_and_leaves_what_was_written():
    _, _, run = write_many(first_run(trees=(TREE,)))
    change = FieldChange(field="grafter", value_json='"HL"')
    write(EntryCorrected(happened_on=DAY, target=run.entry_id, changes=(change,)))
    assert read_notebook().trees[TREE].grafter == "HL"
    story = story_of(TREE)
    assert [type(one.entry).__name__ for one in story] == ["RunGrafted", "EntryCorrected"]
    assert story[0].entry.grafter == ""


def test_a_correction_to_another_tree_moves_the_graft_and_frees_the_first_code():
    _, _, run = write_many(first_run(trees=(TREE,)))
    change = FieldChange(field="tree_codes", value_json=f'["{OTHER}"]')
    write(EntryCorrected(happened_on=DAY, target=run.entry_id, changes=(change,)))
    assert set(read_notebook().trees) == {OTHER}
    assert standings_that_differ() == []


def test_a_withdrawal_takes_an_entry_out_and_its_own_withdrawal_puts_it_back():
    _, _, run = write_many(first_run(trees=(TREE,)))
    gone = write(EntryWithdrawn(happened_on=DAY, target=run.entry_id))
    assert read_notebook().trees == {}
    assert read_notebook().lots[LOT].in_hand_count == 2
    write(EntryWithdrawn(happened_on=DAY, target=gone.entry_id))
    assert set(read_notebook().trees) == {TREE}
    assert standings_that_differ() == []


def test_copies_joined_in_any_order_stand_the_same():
    _, _, run = write_many(first_run())
    change = FieldChange(field="tree_codes", value_json=f'["{TREE}"]')
    fixed = write(EntryCorrected(happened_on=DAY, target=run.entry_id, changes=(change,)))
    write(EntryWithdrawn(happened_on=DAY, target=fixed.entry_id))
    write(TakeJudged(happened_on=date(2009, 5, 9), tree_codes=(TREE,), scion=Scion.GROWING))
    record, notebook = all_written(), read_notebook()
    for order in list(permutations(record))[::29]:
        Standing.objects.all().delete()
        EntryAbout.objects.all().delete()
        WrittenEntry.objects.all().delete()
        add_written(order, check=False)
        assert standings_that_differ() == []
        assert read_notebook() == notebook


def test_the_standings_can_be_made_anew_from_the_record():
    write_many(first_run())
    Standing.objects.filter(kind="tree").delete()
    assert standings_that_differ() == sorted([f"tree {TREE}", f"tree {TREE_B}"])
    rebuild_standings()
    assert standings_that_differ() == []


def test_a_devices_codes_stay_the_same_until_a_tree_bears_them():
    first = next_codes(4, device=LABELS, today=DAY)
    assert next_codes(4, device=LABELS, today=DAY) == first
    write_many(first_run(trees=(first[0], first[1])))
    assert next_codes(2, device=LABELS, today=DAY) == first[2:]
    assert not set(next_codes(10, today=DAY)) & set(first)


def test_a_name_decided_on_the_mother_tree_goes_to_every_descendant():
    mother = code_from_number(9)
    entries = first_run()
    entries[0] = WoodCut(
        happened_on=DAY, code=BUNDLE, variety="unknown", mother_tree_code=mother, sticks=(STICK,)
    )
    write(MotherTreeEntered(happened_on=DAY, code=mother, variety="unknown, Fellside farmhouse"))
    write_many(entries)
    write(NameDecided(happened_on=DAY, code=mother, variety="Keswick Codlin", evidence="DNA"))
    notebook = read_notebook()
    assert notebook.variety_of(notebook.trees[TREE]) == "Keswick Codlin"
    assert notebook.mother_trees[mother].names[0] == "unknown, Fellside farmhouse"


def test_what_counts_on_a_day_is_what_the_whole_record_says_of_it():
    # brute-force twin: all entries read, corrected and looked through
    def agree():
        for on in (DAY, DAY + timedelta(days=1)):
            whole = [one for one in effective(all_written()) if one.entry.happened_on == on]
            mine = [one for one in whole if isinstance(one.entry, PromiseMade)]
            assert counted_on(on, "PromiseMade") == mine
            found.append(len(mine))

    found = []
    promises = write_many(
        [
            PromiseMade(
                happened_on=DAY,
                code=code,
                who="The school",
                variety="Discovery",
                stock="M26",
                wanted_count=3,
            )
            for code in (OTHER, TREE, TREE_B)
        ]
    )
    agree()
    later = FieldChange(field="happened_on", value_json=f'"{DAY + timedelta(days=1)}"')
    moved = write(EntryCorrected(happened_on=DAY, target=promises[0].entry_id, changes=(later,)))
    agree()
    target = moved.entry_id
    for _ in range(2):  # the correction taken back, and that taken back in its turn
        target = write(EntryWithdrawn(happened_on=DAY, target=target)).entry_id
        agree()
    write(EntryWithdrawn(happened_on=DAY, target=promises[1].entry_id))
    agree()
    assert found == [3, 0, 2, 1, 3, 0, 2, 1, 1, 1]
