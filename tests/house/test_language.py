"""The second language: every message has it, nothing is left over, and rooms done stay done."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from importlib.util import module_from_spec, spec_from_file_location

import pytest

from tests.house.tree import ROOT, Module, modules

# Rooms in which every text for a reader goes through the seam. The list only grows.
COMPLETE_ROOMS: tuple[str, ...] = (
    *("tongue", "tagcode", "solver", "season", "notebook", "wood", "climate", "losses", "planting"),
    *("paper", "exchange", "cli", "photo"),
)
_SAYING = {"say", "says", "told", "marked", "counted", "count_words", "count_of"}
_LEFT = "# not said"
_WORDS = re.compile(r"[A-Za-z]{2,} |[A-Za-z] [A-Za-z]{2,}")
# between the fields of a text one word is enough; keys, addresses and units have other signs
_ONE_WORD = re.compile(r"(?:^|[ ;,(])[A-Za-z]{3,}(?:$|[ :;,.)])")

_spec = spec_from_file_location("make_catalogues", ROOT / "docs" / "make_catalogues.py")
assert _spec is not None
assert _spec.loader is not None
make_catalogues = module_from_spec(_spec)
_spec.loader.exec_module(make_catalogues)
ROOMS = make_catalogues.rooms()


def test_messages_are_found_where_they_stand() -> None:
    assert len(make_catalogues.messages_of("core")) > 20


@pytest.mark.parametrize("room", ROOMS)
def test_every_message_has_its_german_and_no_german_is_left_over(room: str) -> None:
    missing = [one.one for one in make_catalogues.missing_in(room)]
    assert (missing, make_catalogues.stale_in(room)) == ([], ())


@pytest.mark.parametrize("room", ROOMS)
def test_german_has_the_same_named_fields_and_none_is_doubtful(room: str) -> None:
    catalogue = make_catalogues.read_catalogue(room)
    wrong = []
    for message in make_catalogues.messages_of(room):
        english = make_catalogues.fields_of(message.one) | make_catalogues.fields_of(message.many)
        # a singular may say its count in words
        forms = make_catalogues.said_in(catalogue, message)
        for form in forms:
            fields = make_catalogues.fields_of(form)
            lacking = english - fields - ({"count"} if message.many else set())
            if lacking or fields - english:
                wrong.append((message.one, form))
    assert wrong == []
    assert [one.id for one in catalogue if one.id and one.fuzzy] == []


@pytest.mark.parametrize("room", ROOMS)
def test_the_compiled_catalogue_is_the_written_one(room: str) -> None:
    if not make_catalogues.messages_of(room):
        return
    folder = make_catalogues.folder_of(room)
    compiled = make_catalogues.compiled(make_catalogues.read_catalogue(room))
    assert (folder / "django.mo").read_bytes() == compiled


def _docstrings(tree: ast.Module) -> set[int]:
    return {
        id(one.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        for one in node.body
        if isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant)
    }


def _spoken(tree: ast.Module) -> Iterator[int]:
    calls = (one for one in ast.walk(tree) if isinstance(one, ast.Call))
    for call in calls:
        if isinstance(call.func, ast.Name) and call.func.id in _SAYING:
            yield from (id(one) for one in ast.walk(call))


def _chosen(tree: ast.Module) -> Iterator[int]:
    """The values of choices: each is a message where the class is a Choice, else a word of data."""
    kinds = {"Choice", "StrEnum", "Enum"}
    for node in ast.walk(tree):
        bases = node.bases if isinstance(node, ast.ClassDef) else []
        if any(isinstance(base, ast.Name) and base.id in kinds for base in bases):
            yield from (id(one) for one in ast.walk(node) if isinstance(one, ast.Constant))


@cache
def _known() -> frozenset[str]:
    return frozenset(one.one for room in ROOMS for one in make_catalogues.messages_of(room))


def _unsaid(module: Module) -> Iterator[str]:
    lines = module.text.splitlines()
    passed = _docstrings(module.syntax) | set(_spoken(module.syntax)) | set(_chosen(module.syntax))
    for node in ast.walk(module.syntax):
        if isinstance(node, ast.JoinedStr):
            passed |= {id(one) for one in node.values}
            parts = [str(x.value) if isinstance(x, ast.Constant) else "{}" for x in node.values]
            words = "".join(parts)
            looked_for = _ONE_WORD if " " in words else _WORDS
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            words, looked_for = node.value, _WORDS
        else:
            continue
        # a word that is a message elsewhere is a key here; drawings and addresses are no words
        if (
            id(node) in passed
            or words in _known()
            or words.startswith("<")
            or (not looked_for.search(words))
        ):
            continue
        here = lines[node.lineno - 1 : node.end_lineno]
        if not any(_LEFT in x for x in here):
            yield f"{module.place}:{node.lineno}: {words[:60]}"


@pytest.mark.parametrize("room", COMPLETE_ROOMS)
def test_a_room_done_has_no_words_that_nobody_says(room: str) -> None:
    found = [one for module in modules() if module.room == room for one in _unsaid(module)]
    assert found == []


def test_words_that_nobody_says_are_noticed() -> None:
    text = 'x = "two words"\ny = f"{x} more words"\nz = say("two words")\nw = "a b c"  # not said\n'
    module = Module(path=ROOT / "src/graftwright/made.py", text=text, syntax=ast.parse(text))
    assert len(list(_unsaid(module))) == 2


_READ_ALOUD = """
import os, pkgutil, importlib
from enum import StrEnum
from gettext import NullTranslations
import django, graftwright
from graftwright.tongue import speaking

class Loud(NullTranslations):
    def gettext(self, message): return f"!{message}!"
    def ngettext(self, one, many, count): return f"!{one}!"

os.environ["DJANGO_SETTINGS_MODULE"] = "graftwright.web.settings"

def every(kind):
    for one in kind.__subclasses__():
        yield from one
        yield from every(one)

with speaking(Loud(), language="de"):
    django.setup()
    for module in pkgutil.walk_packages(graftwright.__path__, "graftwright."):
        if not module.name.endswith("__main__"):
            try:
                importlib.import_module(module.name)
            except ImportError:
                pass  # an extra that is not installed
print(sorted(repr(one) for one in every(StrEnum) if "!" in one.value or "!" in str.__str__(one)))
print(len(list(every(StrEnum))))
"""


def test_closed_lists_keep_their_words_whatever_is_spoken_when_they_are_read() -> None:
    """A module may be read for the first time while another language is spoken."""
    run = subprocess.run(
        [sys.executable, "-c", _READ_ALOUD], capture_output=True, text=True, check=True
    )
    said, count = run.stdout.splitlines()
    assert said == "[]"
    assert int(count) > 300
