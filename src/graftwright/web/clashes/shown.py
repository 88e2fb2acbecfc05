"""Clashes as the page shows them: every side with its words, its values, who said it and when."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from graftwright.notebook.clash import ClashSort
from graftwright.notebook.clash_sides import differing_values
from graftwright.notebook.doubts import doubt_words
from graftwright.notebook.entries import NURSERY_KEY, CodesHandedOut, EntryCorrected, Written
from graftwright.notebook.notebook import Notebook
from graftwright.store.clash_list import OpenClash
from graftwright.tagcode import code_from_number
from graftwright.tongue import say
from graftwright.web.trees.sentences import sentence_of

_IN_VALUES = frozenset(
    {
        ClashSort.CORRECTED_TWICE,
        ClashSort.PROMISE_CHANGED,
        ClashSort.PLACE_CHANGED,
        ClashSort.PRACTICE_CHANGED,
        ClashSort.TWO_NAMES,
        ClashSort.PERMISSION,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SideShown:
    """One side: what it says, in which values it differs, by whom, on what and when."""

    entry_id: UUID
    words: str
    values: tuple[tuple[str, str], ...]
    happened_on: date
    written_by: str
    device: str
    written_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ClashShown:
    """One clash, and what can be done about it. `code` is empty where no page is about it."""

    clash_id: str
    code: str
    sort: str
    words: str
    about: str
    sides: tuple[SideShown, ...]
    may_choose: bool
    is_practice: bool
    choose_words: str
    stand_words: str


def clashes_shown(found: Iterable[OpenClash], notebook: Notebook) -> list[ClashShown]:
    """Return clashes as the page shows them."""
    return [_shown(one, notebook) for one in found]


def _shown(one: OpenClash, notebook: Notebook) -> ClashShown:
    clash = one.clash
    # elsewhere the sentences of the sides say all
    said_by = differing_values(clash.sides) if clash.sort in _IN_VALUES else [{}] * len(clash.sides)
    return ClashShown(
        clash_id=one.clash_id,
        code=clash.key if notebook.kind_of_code(clash.key) else "",
        sort=str(clash.sort),
        words=doubt_words(clash.words),
        about=_about(one, notebook),
        sides=tuple(
            _side(side, tuple(said.items()), notebook)
            for side, said in zip(clash.sides, said_by, strict=True)
        ),
        may_choose=one.may_choose,
        is_practice=clash.key == NURSERY_KEY,
        choose_words=_choose_words(clash.sort),
        stand_words=_stand_words(one),
    )


def _about(one: OpenClash, notebook: Notebook) -> str:
    if one.corrected is None:
        return ""
    first = one.corrected
    words = sentence_of(first.entry, notebook)
    return say("First written: {words}").format(words=words)


def _side(side: Written, values: tuple[tuple[str, str], ...], notebook: Notebook) -> SideShown:
    return SideShown(
        entry_id=side.entry_id,
        words=_words(side, notebook),
        values=values,
        happened_on=side.entry.happened_on,
        written_by=side.written_by,
        device=side.device,
        written_at=side.written_at,
    )


def _words(side: Written, notebook: Notebook) -> str:
    entry = side.entry
    if isinstance(entry, EntryCorrected):
        return entry.reason
    if isinstance(entry, CodesHandedOut):
        first = code_from_number(entry.first_number)
        last = code_from_number(entry.first_number + entry.block_count - 1)
        words = say("Codes {first} to {last} handed out to {device}.")
        return words.format(first=first, last=last, device=entry.to_device)
    return sentence_of(entry, notebook)


def _choose_words(sort: ClashSort) -> str:
    if sort is ClashSort.CODE_TWICE:
        return say("This one keeps the code")
    if sort is ClashSort.CODES_HANDED_TWICE:
        return say("This one keeps the codes")
    return say("This one counts")


def _stand_words(one: OpenClash) -> str:
    if one.clash.sort is ClashSort.CORRECTED_TWICE:
        return say("It stands as it is now")
    return say("Both are true: let them stand")
