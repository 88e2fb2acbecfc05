"""A room's face of which each name is loaded when it is first asked for.

Whoever needs one module of a room with heavy libraries then waits for that module alone.
"""

import sys
from collections.abc import Mapping, Sequence
from importlib import import_module
from types import ModuleType

__all__ = ["load_when_asked"]


def load_when_asked(room: str, names_of: Mapping[str, Sequence[str]]) -> None:
    """Let a package show names of its modules without loading them.

    Parameters
    ----------
    room
        The package, as its `__name__` says.
    names_of
        For each of its modules the names it gives to the face; `name as other` shows it as other.
        For whoever checks types the package imports the same under TYPE_CHECKING.
    """
    package = sys.modules[room]
    places: dict[str, tuple[str, str]] = {}
    for module, names in names_of.items():
        for name in names:
            own, _, shown = name.partition(" as ")
            places[shown or own] = (f"{room}.{module}", own)
    package.__dict__["_places"] = places
    package.__class__ = _Face


class _Face(ModuleType):
    """A package whose `_places` say in which module a name stands and what it is called there."""

    def __getattr__(self, name: str) -> object:
        place = self.__dict__["_places"].get(name)
        if place is None:
            raise AttributeError(f"module {self.__name__!r} has no attribute {name!r}")
        module, own = place
        found: object = getattr(import_module(module), own)
        self.__dict__[name] = found
        return found

    def __setattr__(self, name: str, value: object) -> None:
        # loading a module binds it to its package: a function of the same name goes before it
        if not (isinstance(value, ModuleType) and name in self.__dict__["_places"]):
            super().__setattr__(name, value)

    def __dir__(self) -> list[str]:
        return sorted({*super().__dir__(), *self.__dict__["_places"]})
