"""The schema of values as JSON Schema (2020-12), from the types of their fields."""

from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date, datetime
from enum import StrEnum
from types import NoneType, UnionType
from typing import Union, get_args, get_origin, get_type_hints
from uuid import UUID

from graftwright.notebook.written import Plain

Schema = dict[str, Plain]
_SCALARS: dict[object, Schema] = {
    str: {"type": "string"},
    int: {"type": "integer"},
    float: {"type": "number"},
    bool: {"type": "boolean"},
    date: {"type": "string", "format": "date"},
    datetime: {"type": "string", "format": "date-time"},
    UUID: {"type": "string", "format": "uuid"},
}


class Schemas:
    """Schemas of dataclasses, each under its name, gathered as they are met."""

    def __init__(self) -> None:
        self.named: dict[str, Schema] = {}

    def of(self, kind: object) -> Schema:
        """Return the schema of a type: a reference for a dataclass, which is gathered."""
        origin = get_origin(kind)
        if origin in (Union, UnionType):
            kinds = [one for one in get_args(kind) if one is not NoneType]
            none: list[Plain] = [{"type": "null"}] if NoneType in get_args(kind) else []
            return {"anyOf": [*(self.of(one) for one in kinds), *none]}
        if origin is tuple:
            return {"type": "array", "items": self.of(get_args(kind)[0])}
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            return {"type": "string", "enum": [word.value for word in kind]}
        if isinstance(kind, type) and is_dataclass(kind):
            return self._reference(kind)
        return dict(_SCALARS[kind])

    def _reference(self, kind: type) -> Schema:
        if kind.__name__ not in self.named:
            self.named[kind.__name__] = {}  # met while it is made: a part of its own kind
            self.named[kind.__name__] = self._object(kind)
        return {"$ref": f"#/components/schemas/{kind.__name__}"}

    def _object(self, kind: type) -> Schema:
        hints = get_type_hints(kind)
        parts: Schema = {field.name: self.of(hints[field.name]) for field in fields(kind)}
        needed: list[Plain] = [field.name for field in fields(kind) if _is_needed(field)]
        whole: Schema = {
            "type": "object",
            "description": " ".join((kind.__doc__ or "").split("\n\n")[0].split()),
            "properties": parts,
            "additionalProperties": False,
        }
        return whole | ({"required": needed} if needed else {})


def _is_needed(field: "Field[object]") -> bool:
    return field.default is MISSING and field.default_factory is MISSING
