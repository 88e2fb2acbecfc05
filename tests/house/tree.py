"""The source tree as the house checks see it: modules, functions, and what stands in them."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "graftwright"
CORE_ROOMS = ("wood", "climate", "losses", "planting", "notebook", "season")

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """One source file and its syntax tree."""

    path: Path
    text: str
    syntax: ast.Module

    @property
    def place(self) -> str:
        """The path below the package, such as wood/cut.py."""
        return self.path.relative_to(PACKAGE).as_posix()

    @property
    def room(self) -> str:
        """The first folder, or the module's own name at the top."""
        return self.path.relative_to(PACKAGE).parts[0].removesuffix(".py")

    def functions(self) -> Iterator[Function]:
        """Every function and method, nested ones too."""
        for node in ast.walk(self.syntax):
            if isinstance(node, Function):
                yield node


@cache
def modules() -> tuple[Module, ...]:
    """Every module of the package but the migrations, which Django writes."""
    paths = sorted(path for path in PACKAGE.rglob("*.py") if "migrations" not in path.parts)
    found = []
    for path in paths:
        text = path.read_text(encoding="utf-8")
        found.append(Module(path=path, text=text, syntax=ast.parse(text)))
    return tuple(found)


def body_line_count(function: Function) -> int:
    """Lines of a function from the first statement after the docstring to the last."""
    statements = function.body
    if ast.get_docstring(function, clean=False) is not None:
        statements = statements[1:]
    if not statements:
        return 0
    return (statements[-1].end_lineno or 0) - statements[0].lineno + 1


def tracked_text_files() -> tuple[Path, ...]:
    """Every text file of the project that people write: code, pages, documents, settings."""
    ends = {".py", ".md", ".toml", ".html", ".css", ".js", ".csv", ".txt", ".json", ".svg", ".yml"}
    places = ("src", "tests", "docs", "benchmarks", "requirements")
    below = (path for place in places for path in (ROOT / place).rglob("*"))
    top = (
        ROOT / name
        for name in (
            "README.md",
            "CONTRIBUTING.md",
            "CHANGELOG.md",
            "Makefile",
            "pyproject.toml",
            "LICENSE",
        )
    )
    kept = {
        path
        for path in (*below, *top)
        if path.is_file()
        and (path.suffix in ends or path.name in {"Makefile", "LICENSE"})
        and "__pycache__" not in path.parts
    }
    return tuple(sorted(kept))
