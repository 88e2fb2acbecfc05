"""The list of packages and their licences is current and leaves none unsaid."""

import importlib.util
import re
from types import ModuleType

from tests.house.tree import ROOT

_FILE = ROOT / "docs" / "licences.md"


def _maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_licences", ROOT / "docs/make_licences.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_list_of_licences_is_what_the_pins_and_the_packages_say() -> None:
    maker, written = _maker(), _FILE.read_text(encoding="utf-8")
    assert written == maker.page(maker.licences_in(written)), "run docs/make_licences.py"


def test_every_pinned_package_is_listed_with_its_version() -> None:
    pins = (ROOT / "requirements" / "all.txt").read_text(encoding="utf-8")
    pinned = set(re.findall(r"^([a-z0-9._-]+)==([^\s;\\]+)", pins, flags=re.M))
    rows = re.findall(r"^\| ([a-z0-9._-]+) \| (\S+) \|", _FILE.read_text("utf-8"), flags=re.M)
    assert pinned
    assert pinned == set(rows) - {("package", "version")}


def test_what_is_needed_to_run_it_states_its_licence() -> None:
    part = _FILE.read_text(encoding="utf-8").split("## ")[1]
    assert "| django |" in part
    assert "not stated" not in part
