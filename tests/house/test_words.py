"""Words and names: no path of one machine, no registry, no drawer, one spelling."""

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from pathlib import Path

from tests.house.test_limits import DRAWER_NAMES
from tests.house.tree import ROOT, tracked_text_files

# Synonyms that other people's spreadsheets use are read in any spelling.
OTHERS_WORDS = re.compile(
    r"intake/(columns|choices|headers|units)|demo/messy|tests/intake/|docs/spreadsheet"
)
VENDORED = re.compile(r"static/vendor/|tests/web/vendor/|tests/published/|graftwright/data/|fonts/")
MACHINE_PATH = re.compile(r"(?<![\w.*}])/(?:home|root|tmp|mnt|work|workspace|Users)/\w")
REGISTRY = re.compile(
    r"py(?:pi|thonhosted)\.org|index-url|registry\.npm|anaconda\.org|crates\.io|ghcr\.io", re.I
)
AMERICAN = re.compile(
    r"\b(?:colors?|colored|grays?|behaviors?|centers?|centered|favorites?|neighbors?|neighboring|"
    r"molds?|moldy|fibers?|liters?|meters|millimeters|labeled|labeling|catalogs?|organiz\w+|"
    r"recogniz\w+|minimiz\w+|optimiz\w+|analyz\w+|summariz\w+)\b",
    re.I,
)
# Names that libraries, web standards and open formats fix, and titles quoted from a source.
FIXED_BY_OTHERS = re.compile(
    r"fillColor|strokeColor|text-align: ?center|theme-color|[\"'](?:color|center)[\"']|"
    r"color-scheme|[-a-z]+: ?center|current[Cc]olor|color-contrast|color:|_color|Color\(|"
    r"\.color\b|align[=_]|scipy\.optimize(?:\.minimize)?\b|systemd-analyze\b"
)


def _own_files() -> Iterator[tuple[str, Path]]:
    for path in tracked_text_files():
        place = path.relative_to(ROOT).as_posix()
        if not VENDORED.search(place) and place != "tests/house/test_words.py":
            yield place, path


def _found(pattern: re.Pattern[str]) -> list[str]:
    return [
        f"{place}:{number}: {line.strip()[:80]}"
        for place, path in _own_files()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if pattern.search(line)
    ]


def _words_and_names(path: Path) -> Iterator[tuple[int, str]]:
    """What people write in a Python file: comments, strings, and names given here."""
    text = path.read_text(encoding="utf-8")
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type in {tokenize.COMMENT, tokenize.STRING}:
            yield token.start[0], token.string
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.lineno, node.name.replace("_", " ")
        if isinstance(node, ast.arg):
            yield node.lineno, node.arg.replace("_", " ")


def _written_words(path: Path) -> Iterator[tuple[int, str]]:
    if path.suffix == ".py":
        yield from _words_and_names(path)
    elif path.suffix in {".md", ".html", ".txt"} and "requirements" not in path.parts:
        yield from enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)


def test_files_were_found() -> None:
    assert len(list(_own_files())) > 200


def test_no_file_names_a_path_of_one_machine() -> None:
    assert _found(MACHINE_PATH) == []


def test_no_file_names_a_package_registry() -> None:
    assert _found(REGISTRY) == []


def test_no_file_or_folder_is_a_drawer() -> None:
    names = {
        part.split(".")[0].strip("_") for place, _ in _own_files() for part in place.split("/")
    }
    assert names & DRAWER_NAMES == set()


def test_one_spelling_is_kept() -> None:
    american = [
        f"{place}:{number}: {found}"
        for place, path in _own_files()
        if not OTHERS_WORDS.search(place)
        for number, words in _written_words(path)
        for found in AMERICAN.findall(FIXED_BY_OTHERS.sub("", words))
    ]
    assert american == []
