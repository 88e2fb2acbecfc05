"""The documents name what the program has: commands, options, pages, make commands, version."""

import argparse
import re
import tomllib
from collections.abc import Iterator

import pytest
from django.urls import URLPattern

from graftwright.cli.main import _parser, main
from graftwright.web.urls import urlpatterns
from tests.house.tree import ROOT, modules

README_LINES = 150
TITLES = (
    "README.md",
    "CONTRIBUTING.md",
    "docs/architecture.md",
    "docs/bench-season.md",
    "docs/certificates.md",
    "docs/commands.md",
    "docs/data.md",
    "docs/decisions.md",
    "docs/equations.md",
    "docs/exchange.md",
    "docs/faults.md",
    "docs/guide.md",
    "docs/hosting.md",
    "docs/howto.md",
    "docs/index.md",
    "docs/licences.md",
    "docs/losses.md",
    "docs/wood.md",
    "docs/models.md",
    "docs/pages.md",
    "docs/people.md",
    "docs/performance.md",
    "docs/scheme.md",
    "docs/sources.md",
    "docs/spreadsheet.md",
    "docs/threats.md",
)
LINK = re.compile(r"\[[^\]]*\]\((?P<target>[^)#]+)(?:#[^)]*)?\)")


def _text(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def _sections(text: str) -> dict[str, str]:
    """Each second-level heading and what stands beneath it."""
    parts = re.split(r"^## (.+)$", text, flags=re.M)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def _commands() -> dict[str, argparse.ArgumentParser]:
    actions = _parser()._actions
    parts = next(one for one in actions if isinstance(one, argparse._SubParsersAction))
    return dict(parts.choices)


def _options(parser: argparse.ArgumentParser) -> Iterator[str]:
    for action in parser._actions:
        yield from action.option_strings


def _address(pattern: URLPattern) -> str:
    return "/" + re.sub(r"<\w+:(\w+)>", r"<\1>", str(pattern.pattern))


def _is_page(pattern: URLPattern) -> bool:
    return getattr(pattern.callback, "__name__", "").endswith("_page")


@pytest.mark.parametrize("name", sorted(_commands()))
def test_every_command_has_its_heading_and_every_option_is_named(name: str) -> None:
    sections = _sections(_text("docs/commands.md"))
    assert name in sections
    common = sections["For every command"]
    missing = [
        option
        for option in _options(_commands()[name])
        if not re.search(rf"`{option}\b", sections[name] + common)
    ]
    assert missing == []


def test_every_setting_of_the_environment_is_named() -> None:
    read = {name for one in modules() for name in re.findall(r"\bGRAFTWRIGHT_[A-Z_]+\b", one.text)}
    assert read
    named = set(re.findall(r"`(GRAFTWRIGHT_[A-Z_]+)`", _text("docs/commands.md")))
    assert named == read


def test_no_command_is_described_that_is_not_there() -> None:
    headings = set(_sections(_text("docs/commands.md")))
    described = {heading for heading in headings if " " not in heading}
    assert described == set(_commands())


def test_every_command_has_one_sentence_of_help() -> None:
    silent = [name for name, part in _commands().items() if not (part.description or "").strip()]
    assert silent == []


def test_every_page_has_its_heading() -> None:
    headings = re.findall(r"^##+ `([^`]+)`", _text("docs/pages.md"), flags=re.M)
    missing = [
        _address(one)
        for one in urlpatterns
        if isinstance(one, URLPattern) and _is_page(one) and _address(one) not in headings
    ]
    assert missing == []


def test_every_address_is_named() -> None:
    named = set(re.findall(r"`(/[^`]*)`", _text("docs/pages.md")))
    addresses = {_address(one) for one in urlpatterns if isinstance(one, URLPattern)}
    assert addresses - named == set()


def test_no_address_is_named_that_is_not_there() -> None:
    named = set(re.findall(r"`(/[^`]*)`", _text("docs/pages.md")))
    addresses = {_address(one) for one in urlpatterns if isinstance(one, URLPattern)}
    assert named - addresses == set()


def test_the_readme_names_both_make_commands_and_stays_short() -> None:
    readme = _text("README.md")
    assert "make demo" in readme
    assert "make test" in readme
    assert readme.count("\n") < README_LINES


def test_the_make_commands_the_readme_names_exist() -> None:
    targets = set(re.findall(r"^([a-z]+):", _text("Makefile"), flags=re.M))
    assert set(re.findall(r"\bmake ([a-z]+)\b", _text("README.md"))) <= targets


def test_the_commands_the_readme_names_exist() -> None:
    named = set(re.findall(r"^ +graftwright ([a-z-]+)", _text("README.md"), flags=re.M))
    assert named
    assert named <= set(_commands())


def test_the_version_is_the_changelog_s_top_heading(capsys: pytest.CaptureFixture[str]) -> None:
    top = re.search(r"^## (\d+\.\d+\.\d+)", _text("CHANGELOG.md"), flags=re.M)
    assert top
    settings = tomllib.loads(_text("pyproject.toml"))
    assert settings["tool"]["hatch"]["version"]["path"] == "CHANGELOG.md"
    with pytest.raises(SystemExit):
        main(["--version"])
    assert capsys.readouterr().out.strip() == top[1]


@pytest.mark.parametrize("name", TITLES)
def test_every_document_has_a_title_and_its_links_lead_somewhere(name: str) -> None:
    text = _text(name)
    assert text.startswith("# ")
    targets = [found["target"] for found in LINK.finditer(text)]
    folder = (ROOT / name).parent
    dead = [
        target
        for target in targets
        if not target.startswith(("http://", "https://")) and not (folder / target).exists()
    ]
    assert dead == []


def test_every_file_of_data_that_ships_is_listed_with_its_terms() -> None:
    text = _text("docs/data.md") + _text("src/graftwright/data/NOTICE.md")
    folder = ROOT / "src" / "graftwright" / "data"
    assert [one.name for one in folder.glob("*.csv") if f"`{one.name}`" not in text] == []


def test_every_decision_is_dated_by_its_name() -> None:
    notes = list((ROOT / "docs" / "decisions").glob("*.md"))
    assert notes
    named = re.compile(r"\d{4}-\d{2}-\d{2}-[a-z0-9-]+\.md")
    assert [one.name for one in notes if not named.fullmatch(one.name)] == []
