"""What each room shows: a sorted list of names, each there and each explained."""

import ast
from importlib import import_module
from inspect import isclass, isfunction
from types import FunctionType, ModuleType

import pytest

from tests.house.tree import PACKAGE

CORE_FACES = ("wood", "climate", "losses", "planting", "notebook", "sources")
EDGE_FACES = ("paper", "exchange", "intake", "demo", "photo")
INNER_FACES = ("notebook.entries", "notebook.standing")
FACES = (*CORE_FACES, *EDGE_FACES, *INNER_FACES)


def _room(name: str) -> ModuleType:
    return import_module(f"graftwright.{name}")


@pytest.mark.parametrize("name", FACES)
def test_the_names_a_room_shows_are_sorted_and_named_once(name: str) -> None:
    shown = _room(name).__all__
    assert list(shown) == sorted(set(shown), key=_sorting)


def _sorting(name: str) -> tuple[int, str]:
    """Constants, then classes, then functions, each by the alphabet."""
    group = 0 if name.isupper() else 1 if name[0].isupper() else 2
    return group, name


@pytest.mark.parametrize("name", FACES)
def test_every_name_a_room_shows_is_there(name: str) -> None:
    room = _room(name)
    assert [one for one in room.__all__ if not hasattr(room, one)] == []


@pytest.mark.parametrize("name", FACES)
def test_every_function_and_class_a_room_shows_is_explained(name: str) -> None:
    room = _room(name)
    silent = [
        one
        for one in room.__all__
        if isclass(shown := getattr(room, one)) or isfunction(shown)
        if not _own_docstring(shown).strip()
    ]
    assert silent == []


def _own_docstring(shown: type | FunctionType) -> str:
    """The words written for it; the signature a dataclass gets in their place does not count."""
    words, name = shown.__doc__ or "", shown.__name__
    return "" if words.startswith(f"{name}(") else words


def test_every_room_says_what_it_is_in_its_first_line() -> None:
    silent = [
        path.parent.name
        for path in PACKAGE.glob("*/__init__.py")
        if not (ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or "").strip()
    ]
    assert silent == []


@pytest.mark.parametrize("name", FACES)
def test_nothing_public_is_imported_into_a_room_and_left_out_of_its_list(name: str) -> None:
    path = PACKAGE / name.replace(".", "/") / "__init__.py"
    syntax = ast.parse(path.read_text(encoding="utf-8"))
    for_checkers = [one for node in syntax.body if isinstance(node, ast.If) for one in node.body]
    imported = {
        alias.asname or alias.name
        for node in (*syntax.body, *for_checkers)
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    submodules = {one.stem for one in path.parent.glob("*.py")}
    public = {one for one in imported if not one.startswith("_")} - submodules
    seams = {"Final", "TYPE_CHECKING", "load_when_asked"}
    assert public - set(_room(name).__all__) - seams == set()
