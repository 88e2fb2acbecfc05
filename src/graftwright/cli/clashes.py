"""Command about entries that contradict each other: list them, settle one. The notebook is open."""

import argparse
from uuid import UUID

from graftwright.cli.folder import today
from graftwright.errors import NotUnderstood
from graftwright.notebook.clash_sides import differing_values
from graftwright.notebook.entries import Written
from graftwright.notebook.written import kind_of
from graftwright.store.clash_list import OpenClash, clash_list, open_clash
from graftwright.store.settling import settle


def clashes(asked: argparse.Namespace) -> int:
    """Print every open clash with its sides, or settle one."""
    if asked.settle:
        return _settle(asked)
    found = clash_list()
    for one in found:
        _print(one)
    print(f"{len(found)} to settle." if found else "Nothing contradicts itself.")
    return 0


def _print(one: OpenClash) -> None:
    clash = one.clash
    print(f"{one.clash_id}  {clash.key}: {clash.words}")
    for number, (side, said) in enumerate(
        zip(clash.sides, differing_values(clash.sides), strict=True), 1
    ):
        values = ", ".join(f"{name} {value}" for name, value in said.items())
        print(f"  {number}  {kind_of(side.entry)} {_marks(side)}{f': {values}' if values else ''}")
    if not one.may_choose:
        print("     correct or withdraw what is wrong on its page, or let all stand")


def _marks(side: Written) -> str:
    who = f" by {side.written_by}" if side.written_by else ""
    device = f" on {side.device}" if side.device else ""
    return f"{side.entry.happened_on}{who}{device}, written {side.written_at:%Y-%m-%d %H:%M} UTC"


def _settle(asked: argparse.Namespace) -> int:
    chosen = _chosen(open_clash(asked.settle), asked.choose)
    done = settle(
        asked.settle, chosen, today=today(), words=asked.words, written_by=asked.by, device="desk"
    )
    if done.new_codes:
        print(f"New codes given: {', '.join(done.new_codes)}. Write new labels for them.")
    print(f"Settled; {len(done.written)} entries written. Every side stays readable.")
    return 0


def _chosen(one: OpenClash, text: str) -> UUID | None:
    if text == "all":
        return None
    count = len(one.clash.sides)
    if not text.isdecimal() or not 1 <= int(text[:6]) <= count:
        raise NotUnderstood(
            f"--choose {text[:20]!r}; write the number of the side that counts, 1 to {count}, "
            f"or all, to let every side stand"
        )
    return one.clash.sides[int(text) - 1].entry_id
