"""Clashes settled: by an entry that says which side counts, a correction, or a code of its own."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID, uuid4

from graftwright.errors import OutOfRange
from graftwright.notebook.clash import ClashSort, hand
from graftwright.notebook.clashes_of_writing import corrected_fields
from graftwright.notebook.entries import ClashSettled, EntryCorrected, FieldChange, Written
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.recoding import recoding
from graftwright.store.append import write
from graftwright.store.clash_list import OpenClash, open_clash
from graftwright.store.codes import next_codes
from graftwright.store.in_turn import in_turn
from graftwright.store.read import counted_story_of
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What became of a clash: the entries written, and the codes that were newly given."""

    written: tuple[Written, ...]
    new_codes: tuple[str, ...] = ()


def settle(
    clash_id: str,
    chosen: UUID | None,
    *,
    today: date,
    words: str = "",
    written_by: str = "",
    device: str = "desk",
) -> Settled:
    """Settle one clash, all or nothing: `chosen` counts; without it every side stands as it is.

    Where one code names two things, the chosen one keeps it and the others get new codes. Raises
    UnknownCode where the clash is open no longer, OutOfRange where the choice is none of its sides.
    """
    with in_turn():
        found = open_clash(clash_id)
        _check_choice(found, chosen)
        entries, codes = _entries(found, chosen, today=today, words=words)
        written = tuple(
            write(entry, written_by=written_by, device=device, entry_id=entry_id)
            for entry_id, entry in entries
        )
    return Settled(written=written, new_codes=codes)


def _check_choice(found: OpenClash, chosen: UUID | None) -> None:
    if chosen is None:
        return
    if chosen not in [side.entry_id for side in found.clash.sides]:
        raise OutOfRange(
            told("{chosen} is no side of this clash; choose one that is shown", chosen=chosen)
        )
    if not found.may_choose:
        raise OutOfRange(
            say(
                "no side of this can count without the others: correct or withdraw "
                "what is wrong on the page of the thing, or let all of them stand"
            )
        )


_Made = tuple[list[tuple[UUID, Entry]], tuple[str, ...]]


def _entries(found: OpenClash, chosen: UUID | None, *, today: date, words: str) -> _Made:
    sort = found.clash.sort
    if sort is ClashSort.CODE_TWICE and chosen is not None:
        return _given_anew(found, chosen, today=today)
    if sort is ClashSort.CORRECTED_TWICE:
        return _corrected_once_more(found, chosen, today=today, words=words), ()
    settled = ClashSettled(
        happened_on=today,
        about_codes=(found.clash.key,),
        sides=tuple(side.entry_id for side in found.clash.sides),
        chosen=chosen,
        words=words,
    )
    return [(uuid4(), settled)], ()


def _corrected_once_more(
    found: OpenClash, chosen: UUID | None, *, today: date, words: str
) -> list[tuple[UUID, Entry]]:
    """Return the correction to the chosen values, and that all of them were looked at."""
    sides = [side.entry_id for side in found.clash.sides]
    entries: list[tuple[UUID, Entry]] = []
    counting = found.clash.sides[-1]
    if chosen is not None and chosen != counting.entry_id and found.corrected is not None:
        (side,) = (one for one in found.clash.sides if one.entry_id == chosen)
        anew = EntryCorrected(
            happened_on=max(today, counting.entry.happened_on),
            target=found.corrected.entry_id,
            changes=_changes_back(side, counting),
            reason=words or "two corrections differed; this one was chosen",
        )
        entries.append((uuid4(), anew))
        sides.append(entries[0][0])
    about = found.corrected.entry.concerns() if found.corrected else ()
    settled = ClashSettled(
        happened_on=today,
        about_codes=about or (found.clash.key,),
        sides=tuple(sides),
        words=words,
    )
    return [*entries, (uuid4(), settled)]


def _changes_back(side: Written, counting: Written) -> tuple[FieldChange, ...]:
    """Return what the chosen correction says of the fields that the later one set otherwise."""
    later = corrected_fields(counting)
    mine = corrected_fields(side)
    both = {name for name in mine if name in later and mine[name] != later[name]}
    changes = side.entry.changes if isinstance(side.entry, EntryCorrected) else ()
    return tuple(change for change in changes if change.field in both)


def _given_anew(found: OpenClash, chosen: UUID, *, today: date) -> _Made:
    """Return the corrections by which every thing but the chosen one has a code of its own.

    What the same hand wrote of it goes along. What nobody can tell apart stays with the code.
    """
    code = found.clash.key
    (keeper,) = (side for side in found.clash.sides if side.entry_id == chosen)
    others = [side for side in found.clash.sides if side.entry_id != chosen]
    codes = next_codes(len(others), today=today, without=(code,))
    story = counted_story_of(code)
    makers = {side.entry_id for side in found.clash.sides}
    taken = {hand(keeper)}
    entries: list[tuple[UUID, Entry]] = []
    for other, new_code in zip(others, codes, strict=True):
        going = [other]
        if hand(other) not in taken:
            going += _also_of(other, story, makers)
            taken.add(hand(other))
        entries += [
            (uuid4(), recoding(one, code=code, new_code=new_code, on=today)) for one in going
        ]
    return entries, codes


def _also_of(maker: Written, story: Iterable[Written], makers: set[UUID]) -> list[Written]:
    return [
        one
        for one in story
        if hand(one) == hand(maker)
        and one.entry_id not in makers
        and not isinstance(one.entry, ClashSettled)
    ]
