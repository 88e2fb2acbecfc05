"""Who gets which tree, carried on over entries, is what sharing out afresh gives."""

from datetime import date

import pytest

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    Graded,
    GrowthMeasured,
    PracticeSet,
    PromiseMade,
    Scion,
    ScionDied,
    TakeJudged,
    TreeAllocated,
    TreeSeen,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.season.naming import Names
from graftwright.season.setting_aside import Sharing, proposed_sharing
from graftwright.store.append import write
from graftwright.store.codes import next_codes
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.web.autumn.kept import sharing_kept

from .small_notebook import graft, write_small

pytestmark = pytest.mark.django_db
_MAY, _AUTUMN = date(2009, 5, 20), date(2009, 11, 7)


def _after(entry: Entry) -> Sharing:
    """The sharing carried on over an entry, held to that of the notebook as it then is."""
    write(entry)
    return _held()


def _held() -> Sharing:
    carried_on = sharing_kept(read_notebook())
    assert carried_on == proposed_sharing(read_notebook(), names=Names(shipped_catalogue()))
    return carried_on


def _promise(code: str, wanted_count: int, on: date) -> PromiseMade:
    return PromiseMade(
        happened_on=on,
        code=code,
        who=f"Neighbour {code}",
        variety="Discovery",
        stock="M26",
        wanted_count=wanted_count,
    )


def test_what_is_carried_on_over_entries_of_many_kinds_is_shared_out_afresh() -> None:
    trees = graft(write_small(), 12)
    first, second = next_codes(2, today=_AUTUMN)
    _after(_promise(first, 9, date(2009, 1, 4)))
    _after(_promise(second, 3, date(2009, 1, 5)))
    _after(TakeJudged(happened_on=_MAY, tree_codes=trees, scion=Scion.GROWING))
    measured = GrowthMeasured(happened_on=_MAY, tree_codes=trees, growth_mm=500.0)
    assert _after(measured).ungraded_count == 12
    for code in trees[:5]:
        _after(Graded(happened_on=_AUTUMN, tree_codes=(code,), ready=True, height_m=1.2))
    assert [len(one.trees) for one in _held().shares] == [5, 0]
    seen = _after(TreeSeen(happened_on=_AUTUMN, tree_codes=(trees[0], trees[-1])))
    assert seen.ungraded_count == 7
    _after(ScionDied(happened_on=_AUTUMN, tree_codes=trees[4:6]))
    smallest = PracticeSet(
        happened_on=_AUTUMN,
        practice="who gets trees first",
        value="smallest promises first",
        words="many are helped soon",
    )
    assert [len(one.trees) for one in _after(smallest).shares] == [3, 1]
    _after(TreeAllocated(happened_on=_AUTUMN, tree_codes=trees[:2], promise_code=first))
    mother = entries_of_kind("MotherTreeEntered")[0].entry_id
    wood = entries_of_kind("WoodCut")[0].entry_id
    for target in (mother, wood):
        change = FieldChange(field="variety", value_json='"James Grieve"')
        _after(EntryCorrected(happened_on=_AUTUMN, target=target, changes=(change,)))
    assert not any(one.trees for one in _held().shares)
    _after(EntryWithdrawn(happened_on=_AUTUMN, target=entries_of_kind("PromiseMade")[0].entry_id))
