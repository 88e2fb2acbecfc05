"""Settled clashes applied: which entries are set aside for a thing, and for nothing else."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from uuid import UUID

from graftwright.notebook.entries import ClashSettled, Written


def settlements(story: Iterable[Written]) -> list[tuple[UUID, ClashSettled]]:
    """Return the settlements that count, the last one first: a later one may set one aside."""
    found = [(one.entry_id, one.entry) for one in story if isinstance(one.entry, ClashSettled)]
    if not found:
        return []
    void: set[UUID] = set()
    counting = []
    for entry_id, entry in reversed(found):
        if entry_id not in void:
            counting.append((entry_id, entry))
            void |= entry.set_aside()
    return counting


def set_aside_by(story: Iterable[Written]) -> dict[UUID, ClashSettled]:
    """Return each entry that is set aside with what set it aside; where two differ, the last."""
    decided: dict[UUID, ClashSettled | None] = {}
    for _, entry in settlements(story):
        aside = entry.set_aside()
        for side in entry.sides if entry.chosen is not None else ():
            decided.setdefault(side, entry if side in aside else None)
    return {side: entry for side, entry in decided.items() if entry is not None}


def as_settled(key: str, story: Sequence[Written]) -> Sequence[Written]:
    """Return the story of what stands at a key without what was set aside for it.

    In the story of anything else, such as their bundle, an entry that names many trees loses only
    those that the settlement is about.
    """
    if ClashSettled not in {type(one.entry) for one in story}:
        return story
    aside = set_aside_by(story)
    kept = (_without(key, one, aside.get(one.entry_id)) for one in story)
    return [one for one in kept if one is not None]


def _without(key: str, one: Written, settled: ClashSettled | None) -> Written | None:
    if settled is None:
        return one
    if key in settled.about_codes:
        return None
    codes: tuple[str, ...] = getattr(one.entry, "tree_codes", ())
    left = tuple(code for code in codes if code not in settled.about_codes)
    if not left:
        return None
    return replace(one, entry=replace(one.entry, tree_codes=left))  # type: ignore[call-arg]
