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
)
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


def _promises(count: int) -> tuple[str, ...]:
    codes = tuple(next_codes(count, today=_AUTUMN))
    write_many(
        PromiseMade(
            happened_on=date(2009, 1, 5),
            code=code,
            who=f"Neighbour {number}",
            variety="Discovery",
            stock="M26",
            wanted_count=_MADE_COUNT,
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
