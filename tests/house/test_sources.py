"""Every named source stands in the bibliography, and none that was not checked grounds a test."""

import ast
import importlib.util
import re
from collections.abc import Iterator
from types import ModuleType

from graftwright.sources import SOURCES
from tests.house.tree import ROOT, modules

SEEN = {"read", "second-hand", "memory", "software", "data"}
SECTION = re.compile(r"^ *Source\n *-{3,}\n(?P<words>.*?)(?=^ *\w+\n *-{3,}|\Z)", re.M | re.S)
KEY_LIKE = re.compile(r"\b(?:[A-Z][A-Za-z]*(?:19|20)\d\d|[A-Z][a-z]+(?:[A-Z][A-Za-z]*)+)\b")
PLAIN_WORDS = {"PhenoFlex", "GraftMade"}


def _docstrings() -> Iterator[tuple[str, str]]:
    for module in modules():
        for node in ast.walk(module.syntax):
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef):
                yield f"{module.place}:{getattr(node, 'name', '')}", ast.get_docstring(node) or ""


def _source_sections() -> list[tuple[str, str]]:
    return [
        (place, found["words"])
        for place, words in _docstrings()
        for found in SECTION.finditer(words)
    ]


def _marked_keys() -> Iterator[tuple[str, str]]:
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr == "source"
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                yield f"{path.name}:{node.lineno}", str(node.args[0].value)


def _reference() -> ModuleType:
    """The script that makes the documents, loaded from its file: docs/ is no package."""
    spec = importlib.util.spec_from_file_location(
        "make_reference", ROOT / "docs" / "make_reference.py"
    )
    assert spec
    assert spec.loader
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    return script


def test_source_sections_and_marks_were_found() -> None:
    assert len(_source_sections()) > 10
    assert len(list(_marked_keys())) > 50


def test_every_source_section_names_a_listed_source_or_says_that_there_is_none() -> None:
    bare = [
        (place, words.strip())
        for place, words in _source_sections()
        if not any(re.search(rf"\b{re.escape(key)}\b", words) for key in SOURCES)
        and "no source" not in words
    ]
    assert bare == []


def test_no_docstring_names_a_source_that_is_not_listed() -> None:
    dangling = [
        (place, key)
        for place, words in _source_sections()
        for key in KEY_LIKE.findall(words)
        if key not in SOURCES and key not in PLAIN_WORDS
    ]
    assert dangling == []


def test_no_comment_or_docstring_names_an_author_and_year_that_is_not_listed() -> None:
    key_with_year = re.compile(r"\b[A-Z][a-z]+[A-Za-z]*(?:19|20)\d\d\b")
    dangling = [
        (module.place, key)
        for module in modules()
        if module.room != "sources"
        for key in key_with_year.findall(module.text)
        if key not in SOURCES
    ]
    assert dangling == []


def test_every_source_a_test_names_is_listed() -> None:
    assert [(place, key) for place, key in _marked_keys() if key not in SOURCES] == []


def test_no_test_rests_on_a_source_that_was_not_checked() -> None:
    unchecked = [
        (place, key)
        for place, key in _marked_keys()
        if key in SOURCES and SOURCES[key].checked == "memory"
    ]
    assert unchecked == []


def test_every_source_says_how_it_was_seen_and_where_it_is_found() -> None:
    poor = [
        key
        for key, source in SOURCES.items()
        if source.checked not in SEEN or not (source.author and source.title and source.where)
    ]
    assert poor == []


def test_no_key_is_listed_in_two_rooms() -> None:
    script = _reference()
    count = sum(len(sources) for _, sources in script._ROOMS)
    assert count == len(SOURCES)


def test_the_bibliography_page_is_current() -> None:
    written = (ROOT / "docs" / "sources.md").read_text(encoding="utf-8")
    assert written == _reference().sources_text(), "run docs/make_reference.py"


def test_the_page_of_sheets_and_columns_is_current() -> None:
    written = (ROOT / "docs" / "spreadsheet.md").read_text(encoding="utf-8")
    assert written == _reference().spreadsheet_text(), "run docs/make_reference.py"
