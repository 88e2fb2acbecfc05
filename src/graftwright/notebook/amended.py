"""Corrections and withdrawals applied: from what was written to what counts."""

import json
from collections.abc import Iterable
from dataclasses import replace
from uuid import UUID

from graftwright.errors import GraftwrightError, NotUnderstood
from graftwright.notebook.entries import EntryCorrected, EntryWithdrawn, Written
from graftwright.notebook.written import entry_from_plain, entry_to_plain, kind_of
from graftwright.tongue import told

_AMENDMENTS = frozenset({EntryCorrected, EntryWithdrawn})


def effective(written: Iterable[Written]) -> list[Written]:
    """Return the entries that count, corrected, in replay order.

    An entry given twice counts once. A withdrawal that was itself withdrawn has no effect.
    Corrections apply in the order in which they happened; one that would make the entry
    impossible is left out.
    """
    live = not_withdrawn(written)
    corrections: dict[UUID, list[EntryCorrected]] = {}
    for one in live:
        if isinstance(one.entry, EntryCorrected):
            corrections.setdefault(one.entry.target, []).append(one.entry)
    counted = [
        _corrected(one, corrections.get(one.entry_id, [])) if corrections else one
        for one in live
        if type(one.entry) not in _AMENDMENTS
    ]
    # only a correction moves an entry to another day
    return sorted(counted, key=Written.order) if corrections else counted


def not_withdrawn(written: Iterable[Written]) -> list[Written]:
    """Return the entries that nobody withdrew, corrections among them, in replay order."""
    # by number: a UUID's own hash and comparison are slow
    ordered = sorted({one.entry_id.int: one for one in written}.values(), key=Written.order)
    withdrawals: dict[UUID, list[UUID]] = {}
    for one in ordered:
        if isinstance(one.entry, EntryWithdrawn):
            withdrawals.setdefault(one.entry.target, []).append(one.entry_id)
    if not withdrawals:
        return ordered
    nobody: frozenset[UUID] = frozenset()
    return [
        one
        for one in ordered
        if one.entry_id not in withdrawals or not _withdrawn(one.entry_id, withdrawals, nobody)
    ]


def _withdrawn(
    entry_id: UUID, withdrawals: dict[UUID, list[UUID]], on_the_way: frozenset[UUID]
) -> bool:
    return any(
        by not in on_the_way and not _withdrawn(by, withdrawals, on_the_way | {entry_id})
        for by in withdrawals.get(entry_id, ())
    )


def _corrected(one: Written, corrections: list[EntryCorrected]) -> Written:
    for correction in corrections:
        try:
            one = corrected(one, correction)
        except GraftwrightError:
            continue
    return one


def corrected(one: Written, correction: EntryCorrected) -> Written:
    """Return the entry with the correction's fields. Raises if it would be impossible so."""
    body = entry_to_plain(one.entry)
    for change in correction.changes:
        try:
            body[change.field] = json.loads(change.value_json)
        except ValueError as wrong:
            raise NotUnderstood(
                told(
                    "{value_json!r} is no JSON value: {wrong}",
                    value_json=change.value_json,
                    wrong=wrong,
                )
            ) from wrong
    return replace(one, entry=entry_from_plain(kind_of(one.entry), body))
