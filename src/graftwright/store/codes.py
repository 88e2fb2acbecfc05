"""Tag codes handed out in blocks, so that no two devices ever give the same one."""

from collections.abc import Collection, Iterator
from datetime import date
from uuid import uuid4

from graftwright.notebook.amended import effective
from graftwright.notebook.clashes_of_writing import numbers_lost
from graftwright.notebook.entries import ClashSettled, CodesHandedOut, Written
from graftwright.store.append import write
from graftwright.store.in_turn import in_turn
from graftwright.store.pages import standings_at
from graftwright.store.read import entries_of_kind
from graftwright.tagcode import code_from_number, codes_in_block

_DESK_BLOCK_COUNT = 50


def hand_out_block(block_count: int, *, to_device: str, today: date) -> tuple[str, ...]:
    """Give a device the next codes of the series; raise OutOfRange at the end of the series."""
    with in_turn():  # looking for the end of the series and writing are one step
        first = max((b.first_number + b.block_count for b in _blocks()), default=0)
        codes = tuple(codes_in_block(first, block_count))
        block = CodesHandedOut(
            happened_on=today, first_number=first, block_count=block_count, to_device=to_device
        )
        write(block, entry_id=uuid4())  # an id of its own, whatever sending asks for the codes
    return codes


def code_stream(*, device: str = "desk", today: date) -> Iterator[str]:
    """Yield codes that name nothing yet for as long as they are asked for, block after block.

    For a batch that may itself name codes of this notebook's blocks, so that a fixed number could
    run short.
    """
    yield from _free_codes(device)
    while True:
        yield from hand_out_block(_DESK_BLOCK_COUNT, to_device=device, today=today)


def next_codes(
    count: int, *, device: str = "desk", today: date, without: Collection[str] = ()
) -> tuple[str, ...]:
    """Return so many codes that name nothing yet, from the device's own blocks, then new ones.

    Codes in `without` are passed over, as those that stand on a label already.
    """
    free = [code for code in _free_codes(device) if code not in without][:count]
    missing = count - len(free)
    if missing:
        size = max(missing, _DESK_BLOCK_COUNT if device == "desk" else missing)
        free += hand_out_block(size, to_device=device, today=today)[:missing]
    return tuple(free)


def _blocks() -> list[CodesHandedOut]:
    return [entry for one in _written_blocks() if isinstance(entry := one.entry, CodesHandedOut)]


def _written_blocks() -> list[Written]:
    return entries_of_kind("CodesHandedOut")


def _free_codes(device: str) -> list[str]:
    """Return the codes of a device's blocks that name nothing, each once.

    Copies that were apart may have handed out the same ones: one block alone keeps them.
    """
    blocks = _written_blocks()
    settled = (one.entry for one in effective(entries_of_kind("ClashSettled", "EntryWithdrawn")))
    kept = {one.chosen for one in settled if isinstance(one, ClashSettled) and one.chosen}
    numbers = {
        number
        for one in blocks
        if isinstance(one.entry, CodesHandedOut) and one.entry.to_device == device
        for number in _numbers(one.entry) - numbers_lost(one, blocks, kept=kept)
    }
    given = [code_from_number(number) for number in sorted(numbers)]
    used = set(standings_at(given).values_list("key", flat=True))
    return [code for code in given if code not in used]


def _numbers(block: CodesHandedOut) -> set[int]:
    return set(range(block.first_number, block.first_number + block.block_count))
