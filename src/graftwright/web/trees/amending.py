"""Correcting an entry: a form made from its fields, giving only what is different."""

import json
from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from enum import StrEnum
from types import NoneType, UnionType
from typing import Union, get_args, get_origin, get_type_hints

from django import forms

from graftwright.notebook.entries import EntryCorrected, FieldChange, Written
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.written import plain
from graftwright.tongue import marked, say
from graftwright.web.trees.fields import CodesField, DayField, choice_field, words_field

_NOT_ASKED = {"happened_at", "run_number", "code"}
_LABELS = {
    "happened_on": marked("When"),
    "tree_codes": marked("Trees"),
    "about_codes": marked("About"),
    "words": marked("In words"),
    "growth_mm": marked("New growth, in millimetres"),
    "height_m": marked("Height, in metres"),
    "pot_litres": marked("Pot, in litres"),
    "to_count": marked("Shoots left"),
    "to_whom": marked("To whom"),
    "lot_code": marked("Stock lot"),
    "ready": marked("Fit to hand over"),
    "granted": marked("Allowed"),
    "union_height_mm": marked("Union above the soil, in millimetres"),
}


def amend_form(entry: Entry, data: Mapping[str, object] | None = None) -> forms.Form:
    """Return a form with the entry's plain fields filled in, and why it is corrected."""
    form = forms.Form(data)
    hints = get_type_hints(type(entry))
    for field in fields(entry):
        asked = None if field.name in _NOT_ASKED else _asked(field.name, hints[field.name])
        if asked is not None:
            value = getattr(entry, field.name)
            asked.initial = " ".join(value) if isinstance(value, tuple) else plain(value)
            form.fields[field.name] = asked
    form.fields["reason"] = words_field(say("Why it is corrected"), most=200)
    return form


def correction_of(
    written: Written, data: Mapping[str, object], *, happened_on: date
) -> EntryCorrected | None:
    """Return the entry that corrects what is different; None if nothing is."""
    changes = tuple(
        FieldChange(field=name, value_json=json.dumps(plain(value), ensure_ascii=False))
        for name, value in data.items()
        if name != "reason" and plain(value) != plain(getattr(written.entry, name))
    )
    if not changes:
        return None
    reason = str(data.get("reason", ""))
    return EntryCorrected(
        happened_on=happened_on, target=written.entry_id, changes=changes, reason=reason
    )


def _asked(name: str, hint: object) -> forms.Field | None:
    label = _LABELS.get(name, name.removesuffix("_code").replace("_", " ").capitalize())
    kind, may_be_none = _bare(hint)
    if get_origin(kind) is tuple:
        return CodesField(label=label) if get_args(kind)[0] is str else None
    if not isinstance(kind, type):
        return None
    return _asked_plain(label, kind, required=not may_be_none)


def _asked_plain(label: str, kind: type, *, required: bool) -> forms.Field | None:
    if issubclass(kind, StrEnum):
        known = choice_field(label, kind, required=required)
        if required:
            return known
        return forms.TypedChoiceField(
            label=label, choices=known.choices, required=False, empty_value=None
        )
    if kind is date:
        return DayField(label=label) if required else forms.DateField(label=label, required=False)
    if kind is bool:
        return forms.TypedChoiceField(
            label=label,
            choices=[("True", marked("Yes")), ("False", marked("No"))],
            coerce=lambda text: text == "True",
        )
    if kind is int:
        return forms.IntegerField(label=label, required=required, min_value=0)
    if kind is float:
        return forms.FloatField(label=label, required=required)
    return words_field(label, most=2000) if kind is str else None


def _bare(hint: object) -> tuple[object, bool]:
    if get_origin(hint) in (Union, UnionType):
        kinds = [kind for kind in get_args(hint) if kind is not NoneType]
        return kinds[0], NoneType in get_args(hint)
    return hint, False
