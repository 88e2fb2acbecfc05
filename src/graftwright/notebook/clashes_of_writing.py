"""Clashes in the writing itself: one entry corrected in two ways, one code handed out twice.

Neither shows in the story of a thing: a correction is applied before the story is told, and a
block of codes is about no thing yet.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, pairwise
from uuid import UUID

from graftwright.notebook.clash import APART_DAYS, Clash, ClashSort, hand, unsettled
from graftwright.notebook.entries import CodesHandedOut, EntryCorrected, Written
from graftwright.tagcode import code_from_number
from graftwright.tongue import told


def clashes_of_corrections(
    target: Written, corrections: Iterable[Written], *, settled: Sequence[Written] = ()
) -> list[Clash]:
    """Return where two hands corrected one field of an entry differently within a short time.

    `corrections` are those of this entry that nobody withdrew, `settled` the settlements that
    count. The later correction is applied, the earlier one is hidden by it.
    """
    ordered = sorted(corrections, key=Written.order)
    return unsettled(_differing(target, ordered), settled)


def _differing(target: Written, ordered: Sequence[Written]) -> Iterator[Clash]:
    named = dict.fromkeys(name for one in ordered for name in corrected_fields(one))
    key = next(iter(target.entry.concerns()), str(target.entry_id))
    for name in named:
        said = [one for one in ordered if name in corrected_fields(one)]
        for one, other in pairwise(said):
            before, after = (corrected_fields(side)[name] for side in (one, other))
            days = (other.entry.happened_on - one.entry.happened_on).days
            if before != after and hand(one) != hand(other) and days <= APART_DAYS:
                yield Clash(
                    key=key,
                    sort=ClashSort.CORRECTED_TWICE,
                    sides=(one, other),
                    words=told(
                        "{replace} corrected to {shown}, then to {shown_2}",
                        replace=name.replace("_", " "),
                        shown=shown(before),
                        shown_2=shown(after),
                    ),
                )


def corrected_fields(one: Written) -> dict[str, object]:
    """Return the fields that a correction sets and their values; one that is no JSON as its text.

    Any other entry sets none.
    """
    if not isinstance(one.entry, EntryCorrected):
        return {}
    return {change.field: _value(change.value_json) for change in one.entry.changes}


def shown(value: object) -> str:
    """Return a corrected value in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None or value == "":
        return "nothing"
    if isinstance(value, list):
        is_nested = any(isinstance(part, dict | list) for part in value)
        return (
            told("a list of {count}", count=len(value))
            if is_nested
            else ", ".join(map(shown, value)) or "nothing"
        )
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _value(text: str) -> object:
    try:
        return json.loads(text)
    except ValueError:
        return text


def clashes_of_blocks(blocks: Iterable[Written], *, settled: Sequence[Written] = ()) -> list[Clash]:
    """Return which blocks of codes two devices were given the same codes from.

    Two copies that handed out codes apart, each from the end of the series as it knew it, did so.
    """
    ordered = sorted(blocks, key=Written.order)
    return unsettled(_overlapping(ordered), settled)


def _overlapping(blocks: Sequence[Written]) -> Iterator[Clash]:
    for one, other in combinations(blocks, 2):
        shared = shared_numbers(one, other)
        if not shared or not isinstance(one.entry, CodesHandedOut):
            continue
        first, last = code_from_number(shared[0]), code_from_number(shared[-1])
        yield Clash(
            key=first,
            sort=ClashSort.CODES_HANDED_TWICE,
            sides=(one, other),
            words=told(
                "the {count} codes {first} to {last} were handed out to {whom} and to {whom_2}",
                count=len(shared),
                first=first,
                last=last,
                whom=_whom(one),
                whom_2=_whom(other),
            ),
        )


def shared_numbers(one: Written, other: Written) -> range:
    """Return the numbers of the series that two blocks share."""
    a, b = one.entry, other.entry
    if not isinstance(a, CodesHandedOut) or not isinstance(b, CodesHandedOut):
        return range(0)
    end = min(a.first_number + a.block_count, b.first_number + b.block_count)
    return range(max(a.first_number, b.first_number), max(end, 0))


def _whom(block: Written) -> str:
    device = getattr(block.entry, "to_device", "") or "somebody"
    return (
        told("{device} by {written_by}", device=device, written_by=block.written_by)
        if block.written_by
        else str(device)
    )


def numbers_lost(block: Written, blocks: Iterable[Written], *, kept: Iterable[UUID]) -> set[int]:
    """Return the numbers of a block that another block keeps.

    Where a settlement chose a block (`kept`), that one keeps them; else the one written first.
    """
    chosen = set(kept)
    lost: set[int] = set()
    for other in blocks:
        if other.entry_id == block.entry_id or block.entry_id in chosen:
            continue
        if other.entry_id in chosen or other.order() < block.order():
            lost.update(shared_numbers(block, other))
    return lost
