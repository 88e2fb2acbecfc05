"""The sides of a clash as values: in which fields they differ, and what each says there."""

from collections.abc import Sequence

from graftwright.notebook.clashes_of_writing import corrected_fields, shown
from graftwright.notebook.entries import EntryCorrected, Written
from graftwright.notebook.written import entry_to_plain

_NOT_SAID = frozenset({"happened_on", "happened_at", "target", "changes", "reason"})


def differing_values(sides: Sequence[Written]) -> list[dict[str, str]]:
    """Return for each side, by field, what it says where the sides do not all say the same.

    The fields are named in words; sides of one kind are compared, any others say nothing here.
    """
    if len({type(side.entry) for side in sides}) != 1:
        return [{} for _ in sides]
    bodies = [_body(side) for side in sides]
    names = dict.fromkeys(name for body in bodies for name in body)
    differing = [
        name for name in names if any(body.get(name) != bodies[0].get(name) for body in bodies)
    ]
    return [
        {name.replace("_", " "): shown(body.get(name)) for name in differing} for body in bodies
    ]


def _body(side: Written) -> dict[str, object]:
    if isinstance(side.entry, EntryCorrected):
        return corrected_fields(side)
    whole = entry_to_plain(side.entry)
    return {name: value for name, value in whole.items() if name not in _NOT_SAID}
