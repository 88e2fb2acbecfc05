"""The documents' site: nothing left out, nothing stale, nothing loaded from elsewhere."""

import importlib.util
import json
import re
from calendar import month_name

from tests.house.tree import ROOT

DOCS = ROOT / "docs"
TREE = re.compile(r"```\{toctree\}\n(?P<body>.*?)```", re.S)


def _named(name: str) -> set[str]:
    text = (DOCS / name).read_text(encoding="utf-8")
    lines = [line for found in TREE.finditer(text) for line in found["body"].splitlines()]
    return {line.strip() for line in lines if line.strip() and not line.startswith(":")}


def test_every_document_has_its_place_in_the_contents() -> None:
    named = _named("index.md") | _named("reference.md")
    there = {one.relative_to(DOCS).with_suffix("").as_posix() for one in DOCS.rglob("*.md")}
    there = {one for one in there if not one.startswith("decisions/")} - {"index"}
    assert there - named == set()
    assert named - there == set()


def test_the_description_of_the_address_for_programs_is_current() -> None:
    place = DOCS / "make_reference.py"
    spec = importlib.util.spec_from_file_location("make_reference", place)
    assert spec
    assert spec.loader
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    written = json.loads((DOCS / "openapi.json").read_text(encoding="utf-8"))
    current = json.loads(script.openapi_text())
    assert written == current, "run docs/make_reference.py"


def test_the_guide_goes_through_every_month_of_the_year() -> None:
    headings = re.findall(r"^## (\w+):", (DOCS / "guide.md").read_text(encoding="utf-8"), re.M)
    assert sorted(headings) == sorted(list(month_name)[1:])


def test_every_picture_shown_is_made_by_the_script_and_every_one_made_is_there() -> None:
    script = (DOCS / "make_pictures.py").read_text(encoding="utf-8")
    made = set(re.findall(r'"([a-z0-9-]+\.png)"', script))
    texts = [one.read_text(encoding="utf-8") for one in (*DOCS.rglob("*.md"), ROOT / "README.md")]
    shown = {name for text in texts for name in re.findall(r"pictures/([a-z0-9-]+\.png)", text)}
    assert shown <= made
    assert made == {one.name for one in (DOCS / "pictures").glob("*.png")}


def test_the_site_loads_nothing_from_elsewhere() -> None:
    settings = (DOCS / "conf.py").read_text(encoding="utf-8")
    style = (DOCS / "site" / "site.css").read_text(encoding="utf-8")
    assert "mathjax" not in settings
    assert not re.search(r"url\(.?(?:https?:)?//", style)
