"""Changed cells written into the entries that state them."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import cast, get_type_hints
from uuid import UUID

from graftwright.errors import GraftwrightError, NotUnderstood
from graftwright.exchange.cells_back import read_cell
from graftwright.exchange.changed_cells import ChangedCell
from graftwright.exchange.column import Column
from graftwright.exchange.columns_of_tables import COLUMNS
from graftwright.notebook.amended import effective
from graftwright.notebook.entries import Entry, MotherTreeEntered, StickMeasured, Written
from graftwright.notebook.replay import entries_by_key
from graftwright.notebook.written import (
    KINDS,
    Plain,
    entry_from_plain,
    entry_to_plain,
    kind_of,
)
from graftwright.tongue import say

Body = dict[str, Plain]
Stories = Mapping[str, Sequence[Written]]


@dataclass(slots=True)
class Rewriting:
    """Entries with new bodies, by their ids, and what could not be written into any.

    `apart` holds what is said of single trees of an entry that tells of several, by their codes;
    `added` the entries that say it of them alone.
    """

    bodies: dict[UUID, tuple[Written, Body]] = field(default_factory=dict)
    apart: dict[UUID, dict[str, Body]] = field(default_factory=dict)
    added: list[Entry] = field(default_factory=list)
    refusals: list[str] = field(default_factory=list)

    def body(self, one: Written) -> Body:
        """Return the body of an entry to be altered, as far as it is altered already."""
        return self.bodies.setdefault(one.entry_id, (one, entry_to_plain(one.entry)))[1]


def rewritten(cells: Iterable[ChangedCell], record: Sequence[Written]) -> Rewriting:
    """Return the entries that state these cells, with what the cells say now.

    Cells of derived columns are passed over: whether they came out right is seen afterwards.
    """
    counted = effective(record)
    stories: dict[str, Sequence[Written]] = {**entries_by_key(counted)}
    stories |= {str(one.entry_id): [one] for one in counted}
    rewriting = Rewriting()
    for cell in cells:
        column = COLUMNS[cell.table][cell.column]
        if column.stated:
            try:
                _write(cell, column, stories.get(cell.key[0], ()), rewriting)
            except GraftwrightError as wrong:
                rewriting.refusals.append(cell.words(str(wrong)))
    by_id = {one.entry_id: one for one in counted}
    for entry_id, told in rewriting.apart.items():
        _part(by_id[entry_id], told, rewriting)
    for one, body in rewriting.bodies.values():
        try:
            entry_from_plain(kind_of(one.entry), body)
        except GraftwrightError as wrong:
            rewriting.refusals.append(_impossible(one, cells, wrong))
    return rewriting


def _part(one: Written, told: Mapping[str, Body], rewriting: Rewriting) -> None:
    """Take single trees out of an entry, each change with an entry of its own; keep the rest."""
    groups: dict[str, list[str]] = {}
    for code in getattr(one.entry, "tree_codes", ()):
        groups.setdefault(json.dumps(told.get(code, {}), sort_keys=True), []).append(code)
    kept = "{}" if "{}" in groups else next(iter(groups))
    for changes, codes in groups.items():
        if changes != kept:
            body = {**entry_to_plain(one.entry), **json.loads(changes), "tree_codes": [*codes]}
            rewriting.added.append(entry_from_plain(kind_of(one.entry), body))
    body = rewriting.body(one)
    body |= {**json.loads(kept), "tree_codes": [*groups[kept]]}


def _write(
    cell: ChangedCell, column: Column, story: Sequence[Written], rewriting: Rewriting
) -> None:
    told = _stating(column, story)
    if not told:
        raise NotUnderstood(
            say("nothing is written down yet that says so; write it down on the page of the thing")
        )
    if cell.table == "sticks":
        _write_stick(cell, told, rewriting)
    elif column.in_turn:
        _write_in_turn(cell, told, rewriting)
    else:
        one, name = _latest(told)
        if len(getattr(one.entry, "tree_codes", ())) > 1 and cell.table == "trees":
            body = rewriting.apart.setdefault(one.entry_id, {}).setdefault(cell.key[0], {})
            body[name] = _value(one, name, cell.found)
        elif name:
            rewriting.body(one)[name] = _value(one, name, cell.found)
        else:
            _write_whole(one, _listed(cell.found), rewriting)


def _stating(column: Column, story: Sequence[Written]) -> list[tuple[Written, str]]:
    """Return the entries of a story that may state the column, each with its field, in order."""
    names = dict(column.stated)
    told = [(one, names[kind_of(one.entry)]) for one in story if kind_of(one.entry) in names]
    # a mother tree's other entries count only from where it was entered
    return sorted(told, key=lambda pair: not isinstance(pair[0].entry, MotherTreeEntered))


def _latest(told: Sequence[tuple[Written, str]]) -> tuple[Written, str]:
    """Return the last that says something, else the last."""
    saying = [(one, name) for one, name in told if not name or _says(getattr(one.entry, name))]
    return (saying or told)[-1]


def _says(value: object) -> bool:
    return value not in (None, "")


def _value(one: Written, name: str, found: object) -> Plain:
    return read_cell(found, get_type_hints(KINDS[kind_of(one.entry)])[name])


def _write_in_turn(
    cell: ChangedCell, told: Sequence[tuple[Written, str]], rewriting: Rewriting
) -> None:
    values = _listed(cell.found)
    if not isinstance(values, list) or len(values) != len(told):
        raise NotUnderstood(
            say("a list of {count} was expected, one for each entry; write a new one down on the "
                "page of the thing, or withdraw one there").format(count=len(told))
        )  # fmt: skip
    for (one, name), value in zip(told, values, strict=True):
        if not name:
            _write_whole(one, value, rewriting)
        elif value != entry_to_plain(one.entry).get(name):
            rewriting.body(one)[name] = value


def _write_whole(one: Written, value: Plain, rewriting: Rewriting) -> None:
    if not isinstance(value, dict):
        raise NotUnderstood(say("the parts of an entry as JSON were expected, as they went out"))
    before = entry_to_plain(one.entry)
    for name, part in value.items():
        if part != before.get(name):
            rewriting.body(one)[name] = part


def _write_stick(
    cell: ChangedCell, told: Sequence[tuple[Written, str]], rewriting: Rewriting
) -> None:
    holding = [one for one, _ in told if getattr(one.entry, "sticks", ())]
    number, _, copy = " ".join(cell.key[1:]).partition(" ")
    sticks = cast("list[Body]", rewriting.body(holding[-1])["sticks"])
    alike = [place for place, stick in enumerate(sticks) if str(stick["number"]) == number]
    place = alike[int(copy.strip("()") or 1) - 1]
    hint = get_type_hints(StickMeasured)[cell.column]
    sticks[place] = {**sticks[place], cell.column: read_cell(cell.found, hint)}


def _listed(found: object) -> Plain:
    try:
        return cast("Plain", json.loads(str(found)))
    except (ValueError, RecursionError) as wrong:
        raise NotUnderstood(
            say("JSON was expected, as it went out ({wrong})").format(wrong=wrong)
        ) from wrong


def _impossible(one: Written, cells: Iterable[ChangedCell], wrong: GraftwrightError) -> str:
    keys = {str(one.entry_id), *one.entry.concerns()}
    for cell in cells:
        if cell.key[0] in keys:
            return cell.words(str(wrong))
    return str(wrong)
