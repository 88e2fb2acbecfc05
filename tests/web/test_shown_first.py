"""Long lists show their first things, say how many there are, and hide none for good."""

import re
from datetime import date

import pytest
from django.test import Client

from graftwright.notebook.entries import (
    Graded,
    GrowthMeasured,
    PromiseMade,
    Scion,
    ScionDied,
    TakeJudged,
    TreeAllocated,
    WoodCut,
)
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write_many
from graftwright.store.codes import next_codes
from graftwright.web.shown_first import MOST_SHOWN

from .small_notebook import Small, graft, write_small

_AUTUMN = date(2009, 11, 7)
_MADE_COUNT = MOST_SHOWN + 4


@pytest.fixture
def small(db: None, settings: object) -> Small:
    settings.STAND_ON = _AUTUMN  # type: ignore[attr-defined]
    return write_small()


def _linked(page: str) -> set[str]:
    """The codes that a page leads to."""
    return set(re.findall(r'href="/trees/(\w{5})/"', page))


def _marked(page: str) -> set[str]:
    """The codes that a page offers to be marked."""
    return set(re.findall(r'name="tree" value="(\w{5})"', page))


def _promises(count: int, *, wanted_count: int = _MADE_COUNT) -> tuple[str, ...]:
    codes = tuple(next_codes(count, today=_AUTUMN))
    write_many(
        PromiseMade(
            happened_on=date(2009, 1, 5),
            code=code,
            who=f"Neighbour {number}",
            variety="Discovery",
            stock="M26",
            wanted_count=wanted_count,
        )
        for number, code in enumerate(codes)
    )
    return codes


def _fit(trees: tuple[str, ...]) -> None:
    write_many(
        [
            TakeJudged(happened_on=date(2009, 5, 20), tree_codes=trees, scion=Scion.GROWING),
            GrowthMeasured(happened_on=date(2009, 8, 1), tree_codes=trees, growth_mm=500.0),
            Graded(happened_on=date(2009, 11, 1), tree_codes=trees, ready=True),
        ]
    )


def test_stocks_without_a_scion_are_counted_whole_and_shown_whole_when_asked(
    client_here: Client, small: Small
) -> None:
    trees = graft(small, _MADE_COUNT)
    write_many([ScionDied(happened_on=date(2009, 5, 20), tree_codes=trees)])
    page = client_here.get("/second-chance/").content.decode()
    assert f"{_MADE_COUNT} living stocks have" in page
    assert f"The first {MOST_SHOWN} of {_MADE_COUNT}." in page
    assert len(_linked(page) & set(trees)) == MOST_SHOWN
    whole = client_here.get("/second-chance/?whole=M26").content.decode()
    assert set(trees) <= _linked(whole)
    assert "The first" not in whole


def test_what_is_set_aside_first_makes_room_for_the_rest(client_here: Client, small: Small) -> None:
    trees = graft(small, _MADE_COUNT)
    _fit(trees)
    (promise,) = _promises(1)
    page = client_here.get("/autumn/").content.decode()
    assert f"The first {MOST_SHOWN} of {_MADE_COUNT}." in page
    assert "Only what is shown is written down." in page
    first = _marked(page)
    assert len(first) == MOST_SHOWN
    assert _marked(client_here.get(f"/autumn/?whole=share-{promise}").content.decode()) == set(
        trees
    )
    client_here.post("/autumn/set-aside", {"tree": sorted(first)})
    after = client_here.get(f"/autumn/?whole={promise}").content.decode()
    assert _marked(after) == set(trees)  # the last four proposed, the first forty to hand over


def test_every_promise_with_trees_to_go_stands_on_one_of_the_pages(
    client_here: Client, small: Small
) -> None:
    trees = graft(small, _MADE_COUNT)[:23]
    _fit(trees)
    promises = _promises(len(trees))
    write_many(
        TreeAllocated(happened_on=_AUTUMN, tree_codes=(tree,), promise_code=promise)
        for tree, promise in zip(trees, promises, strict=True)
    )
    pages = [client_here.get(f"/autumn/?page={number}").content.decode() for number in (1, 2)]
    assert "Promises 1 to 20 of 23" in pages[0]
    assert "Promises 21 to 23 of 23" in pages[1]
    shown = [_marked(page) for page in pages]
    assert [len(one) for one in shown] == [20, 3]
    assert shown[0] | shown[1] == set(trees)


def test_every_promise_that_would_get_trees_stands_on_one_of_the_pages(
    client_here: Client, small: Small
) -> None:
    trees = graft(small, 23)
    _fit(trees)
    _promises(len(trees), wanted_count=1)
    pages = [client_here.get(f"/autumn/?shares={number}").content.decode() for number in (1, 2)]
    assert "Promises 1 to 20 of 23, in the order of the rule." in pages[0]
    assert 'href="?shares=2#share"' in pages[0]
    shown = [_marked(page) for page in pages]
    assert [len(one) for one in shown] == [20, 3]
    assert shown[0] | shown[1] == set(trees)
    client_here.post("/autumn/set-aside", {"tree": sorted(shown[1])})
    after = client_here.get("/autumn/").content.decode()
    assert _marked(after) == set(trees)  # twenty proposed, three to hand over


def test_open_promises_without_a_tree_are_all_named_when_asked(
    client_here: Client, small: Small
) -> None:
    graft(small, 1)
    promises = set(_promises(MOST_SHOWN + 2))

    def named(page: str) -> set[str]:
        return set(re.findall(r'href="/promises/(\w{5})/"', page))

    first = client_here.get("/autumn/").content.decode()
    assert f"The first {MOST_SHOWN} of {MOST_SHOWN + 2}." in first
    assert len(named(first)) == MOST_SHOWN
    assert named(client_here.get("/autumn/?whole=order").content.decode()) == promises


def test_codes_that_hinder_a_handing_over_are_all_shown_when_asked(
    client_here: Client, small: Small
) -> None:
    trees = graft(small, _MADE_COUNT)
    (promise,) = _promises(1)
    write_many([TreeAllocated(happened_on=_AUTUMN, tree_codes=trees, promise_code=promise)])

    def unfit(address: str) -> int:
        page = client_here.get(address).content.decode()
        return sum(code in page for code in trees)

    assert unfit("/autumn/") == MOST_SHOWN
    assert unfit(f"/autumn/?whole=unfit-{promise}") == _MADE_COUNT


def test_stocks_matched_to_many_promises_stand_on_pages_and_a_refusal_shows_its_own(
    client_here: Client, small: Small
) -> None:
    trees = graft(small, 23)
    write_many([ScionDied(happened_on=date(2009, 5, 20), tree_codes=trees)])
    last = max(_promises(len(trees), wanted_count=1))
    pages = [
        client_here.get(f"/second-chance/?page={number}").content.decode() for number in (1, 2)
    ]
    assert "23 of them fit" in pages[0]
    assert 'href="?page=2#short"' in pages[0]
    linked = [_linked(page) & set(trees) for page in pages]
    assert [len(one) for one in linked] == [20, 3]
    assert linked[0] | linked[1] == set(trees)
    for promise, page in ((last, pages[1]), (last, _refused(client_here, last))):
        assert "Promises 21 to 23 of 23, first served first." in page
        assert promise in page


def _refused(client: Client, promise: str) -> str:
    answer = client.post("/second-chance/bud", {"promise": promise})
    assert answer.status_code == 422
    return answer.content.decode()


def test_a_budding_for_no_promise_names_the_stocks_that_are_shown(
    client_here: Client, small: Small
) -> None:
    trees = graft(small, _MADE_COUNT)
    (bundle,) = next_codes(1, today=_AUTUMN)
    write_many(
        [
            ScionDied(happened_on=date(2009, 5, 20), tree_codes=trees),
            WoodCut(happened_on=_AUTUMN, code=bundle, variety="Discovery"),
        ]
    )

    def filled_in(address: str) -> set[str]:
        page = client_here.get(address).content.decode()
        assert ("Only what is shown is written down." in page) == ("whole" not in address)
        found = re.search(r'<textarea name="bud--codes"[^>]*>([^<]*)', page)
        assert found
        return set(found.group(1).split())

    assert filled_in("/second-chance/") < set(trees)
    assert filled_in("/second-chance/?whole=M26") == set(trees)


def test_a_long_walk_shows_its_first_stops_and_all_when_asked(
    client_here: Client, winter: Notebook, settings, monkeypatch
) -> None:
    settings.STAND_ON = date(2009, 2, 17)

    def jobs_on(page: str) -> list[str]:
        return re.findall(r'name="job" value="(\w+)"|<h3>([^<]+)</h3>', page)

    every = jobs_on(client_here.get("/").content.decode())
    monkeypatch.setattr("graftwright.web.today.shown._JOBS_ON_THE_PAGE", 2)
    page = client_here.get("/").content.decode()
    assert "jobs of" in page
    first = jobs_on(page)
    assert 0 < len(first) < len(every)
    assert first == every[: len(first)]
    assert jobs_on(client_here.get("/?whole=walk").content.decode()) == every


def test_of_many_promises_the_first_are_shown_and_all_when_asked(
    client_here: Client, small: Small
) -> None:
    codes = set(_promises(_MADE_COUNT))
    page = client_here.get("/promises/").content.decode()
    assert f"The first {MOST_SHOWN} of {_MADE_COUNT}." in page
    assert len(set(re.findall(r"/promises/(\w{5})/", page)) & codes) == MOST_SHOWN
    whole = client_here.get("/promises/?whole=open").content.decode()
    assert codes <= set(re.findall(r"/promises/(\w{5})/", whole))


def test_of_many_bundles_the_first_are_shown_and_all_when_asked(
    client_here: Client, small: Small, monkeypatch
) -> None:
    monkeypatch.setattr("graftwright.web.trees.views._OTHERS_SHOWN", 1)
    graft(small, 1)
    page = client_here.get("/trees/").content.decode()
    assert not {small.bundle, small.other_bundle} <= _linked(page)
    whole = client_here.get("/trees/?whole=bundles").content.decode()
    assert {small.bundle, small.other_bundle} <= _linked(whole)


def test_every_page_of_a_list_is_one_link_away_and_leaves_the_other_list_where_it_is(
    client_here: Client, small: Small
) -> None:
    trees = graft(small, 41)
    _fit(trees[:1])
    promises = _promises(len(trees), wanted_count=2)
    write_many(
        TreeAllocated(happened_on=_AUTUMN, tree_codes=(tree,), promise_code=promise)
        for tree, promise in zip(trees[1:], promises[1:], strict=True)
    )
    page = client_here.get("/autumn/?page=2&shares=3").content.decode()
    to_go = set(re.findall(r'href="\?page=(\d)&amp;shares=3#go"', page))
    shares = set(re.findall(r'href="\?shares=(\d)&amp;page=2#share"', page))
    assert (to_go, shares) == ({"1"}, {"1", "2", "3"})


def test_of_many_lines_of_the_plan_the_first_are_shown_and_all_when_asked(
    client_here: Client, small: Small
) -> None:
    codes = set(_promises(_MADE_COUNT))

    def named(address: str) -> set[str]:
        page = client_here.get(address).content.decode()
        return set(re.findall(r"/promises/(\w{5})/", page.split('id="grafts"')[1])) & codes

    assert len(named("/plan/?sureness=80")) == MOST_SHOWN
    page = client_here.get("/plan/?sureness=80").content.decode()
    assert f"The first {MOST_SHOWN} of {_MADE_COUNT}." in page
    assert "?whole=lines&amp;sureness=80" in page
    assert named("/plan/?whole=lines&sureness=80") == codes
