"""Command about entries that contradict each other: list them, settle one. The notebook is open."""

import argparse
from uuid import UUID

from graftwright.cli.folder import today
from graftwright.errors import NotUnderstood
from graftwright.notebook.clash_sides import differing_values
from graftwright.notebook.doubts import doubt_words
from graftwright.notebook.entries import Written
from graftwright.notebook.written import kind_of
from graftwright.store.clash_list import OpenClash, clash_list, open_clash
from graftwright.store.settling import settle
from graftwright.tongue import say, told


def clashes(asked: argparse.Namespace) -> int:
    """Print every open clash with its sides, or settle one."""
    if asked.settle:
        return _settle(asked)
    found = clash_list()
    for one in found:
        _print(one)
    print(
        told("{count} to settle.", count=len(found))
        if found
        else say("Nothing contradicts itself.")
    )
    return 0


def _print(one: OpenClash) -> None:
    clash = one.clash
    print(f"{one.clash_id}  {clash.key}: {doubt_words(clash.words)}")
    for number, (side, said) in enumerate(
        zip(clash.sides, differing_values(clash.sides), strict=True), 1
    ):
        values = ", ".join(f"{name} {value}" for name, value in said.items())
        print(
            told(
                "  {number}  {kind_of} {marks}{what}",
                number=number,
                kind_of=kind_of(side.entry),
                marks=_marks(side),
                what=f": {values}" if values else "",
            )
        )
    if not one.may_choose:
        print(say("     correct or withdraw what is wrong on its page, or let all stand"))


def _marks(side: Written) -> str:
    who = told(" by {written_by}", written_by=side.written_by) if side.written_by else ""
    device = told(" on {device}", device=side.device) if side.device else ""
    return told(
        "{happened_on}{who}{device}, written {written_at:%Y-%m-%d %H:%M} UTC",
        happened_on=side.entry.happened_on,
        who=who,
        device=device,
        written_at=side.written_at,
    )


def _settle(asked: argparse.Namespace) -> int:
    chosen = _chosen(open_clash(asked.settle), asked.choose)
    done = settle(
        asked.settle, chosen, today=today(), words=asked.words, written_by=asked.by, device="desk"
    )
    if done.new_codes:
        print(
            told(
                "New codes given: {listed}. Write new labels for them.",
                listed=", ".join(done.new_codes),
            )
        )
    print(
        told(
            "Settled; {count} entries written. Every side stays readable.", count=len(done.written)
        )
    )
    return 0


def _chosen(one: OpenClash, text: str) -> UUID | None:
    if text == "all":
        return None
    count = len(one.clash.sides)
    if not text.isdecimal() or not 1 <= int(text[:6]) <= count:
        raise NotUnderstood(
            told(
                "--choose {text!r}; write the number of the side that counts, 1 to "
                "{count}, or all, to let every side stand",
                text=text[:20],
                count=count,
            )
        )
    return one.clash.sides[int(text) - 1].entry_id
