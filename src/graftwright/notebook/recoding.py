"""A thing given another code: what an entry must be corrected to so that it names the new one."""

import json
from datetime import date

from graftwright.notebook.entries import EntryCorrected, FieldChange, Written
from graftwright.notebook.written import Plain, entry_to_plain


def recoded(one: Written, *, code: str, new_code: str) -> tuple[FieldChange, ...]:
    """Return the changes by which an entry, as it counts now, names the new code for the old.

    Only fields that name things are changed, never words. Empty where the entry does not name it.
    """
    body = entry_to_plain(one.entry)
    naming = [name for name in body if name == "code" or name.endswith(("_code", "_codes"))]
    changes = []
    for name in naming:
        value = _renamed(body[name], code, new_code)
        if value != body[name]:
            changes.append(FieldChange(field=name, value_json=json.dumps(value)))
    return tuple(changes)


def _renamed(value: Plain, code: str, new_code: str) -> Plain:
    if isinstance(value, list):
        return [_renamed(part, code, new_code) for part in value]
    return new_code if value == code else value


def recoding(one: Written, *, code: str, new_code: str, on: date) -> EntryCorrected:
    """Return the correction, of a day, that lets an entry name the new code for the old."""
    return EntryCorrected(
        happened_on=on,
        target=one.entry_id,
        changes=recoded(one, code=code, new_code=new_code),
        reason=f"{code} was given twice; this one is {new_code} now",  # not said
    )
