"""What every page sends with it, and what it weighs."""

import gzip
import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

import graftwright.web
from graftwright.notebook.notebook import Notebook

PAGES = (
    "/", "/plan/", "/promises/", "/wood/", "/cover/", "/trees/", "/bench/", "/results/",
    "/lessons/", "/lessons/causes/", "/lessons/compare/", "/lessons/forecasts/", "/workshop/",
    "/planting/", "/mothers/", "/paper/", "/paper/labels", "/exchange/", "/spreadsheet/",
    "/wood/photo/", "/walk/", "/water/", "/second-chance/", "/autumn/", "/trace/", "/practice/",
    "/sync/",
)  # fmt: skip
_WEB = Path(graftwright.web.__file__).parent


@pytest.mark.parametrize("address", PAGES)
def test_every_page_sends_the_content_policy(client_here: Client, address: str) -> None:
    answer = client_here.get(address)
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["X-Frame-Options"] == "DENY"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("address", PAGES)
def test_no_page_holds_script_or_style_of_its_own(
    client_here: Client, winter: Notebook, address: str
) -> None:
    page = client_here.get(address).content.decode()
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style", page)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", page))
    assert not re.search(r"""(?:src|href|action)=["']?(?:https?:)?//""", page)


@pytest.mark.parametrize("address", PAGES)
def test_every_page_has_one_heading_a_skip_link_and_its_place_in_the_contents(
    client_here: Client, winter: Notebook, address: str
) -> None:
    page = client_here.get(address).content.decode()
    assert page.count("<h1") == 1
    assert 'href="#matter"' in page
    assert 'id="matter"' in page
    assert page.count('aria-current="page"') == 1


@pytest.mark.parametrize("address", ["/", "/promises/", "/spreadsheet/"])
def test_a_first_page_weighs_at_most_100_kilobytes(client_here: Client, address: str) -> None:
    page = client_here.get(address, headers={"accept-encoding": "gzip"}).content
    html = gzip.decompress(page).decode() if page[:2] == b"\x1f\x8b" else page.decode()
    loaded = set(re.findall(r'(?:src|href)="/static/([^"]+)"', html))
    style = (_WEB / "static" / "look.css").read_text(encoding="utf-8")
    loaded |= set(re.findall(r'url\("([^"]+)"\)', style))
    assert len(page) + sum(map(_packed_weight, loaded)) <= 100_000


def _packed_weight(name: str) -> int:
    """Return how much of a file comes over, packed as the program packs it."""
    assert finders.find(name), name
    packed = Client().get(f"/static/{name}", headers={"accept-encoding": "gzip"})
    assert packed.status_code == 200
    return len(packed.getvalue())


def test_the_packed_script_is_the_script(client_here: Client) -> None:
    plain = _WEB / "static" / "vendor" / "htmx.min.js"
    assert gzip.decompress(Path(f"{plain}.gz").read_bytes()) == plain.read_bytes()
    assert plain.with_name("htmx.LICENSE.txt").exists()


def test_a_form_sent_from_elsewhere_is_refused(db: None) -> None:
    strict = Client(enforce_csrf_checks=True)
    assert strict.post("/promises/make", {}).status_code == 403


def test_a_page_nobody_wrote_is_not_found_calmly(client_here: Client) -> None:
    answer = client_here.get("/no/such/page")
    assert answer.status_code == 404
    assert "There is no such page" in answer.content.decode()
