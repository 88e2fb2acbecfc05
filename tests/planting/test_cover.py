"""The smallest cover, against trying every choice."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.planting.cover import fewest_that_serve

_SIZE = 6
_ROW = st.lists(st.booleans(), min_size=_SIZE, max_size=_SIZE)


def _is_enough(
    chosen: tuple[int, ...], servers: list[list[bool]], dependants: list[list[bool] | None]
) -> bool:
    served = all(any(row[place] for place in chosen) for row in servers)
    rows = [(place, dependants[place]) for place in chosen]
    kept = all(
        row is None or any(row[other] for other in chosen if other != place) for place, row in rows
    )
    return served and kept


def _without_self(rows: list[list[bool] | None]) -> list[list[bool] | None]:
    return [
        None if row is None else [serves and other != place for other, serves in enumerate(row)]
        for place, row in enumerate(rows)
    ]


@given(
    servers=st.lists(_ROW, max_size=4),
    drawn=st.lists(st.none() | _ROW, min_size=_SIZE, max_size=_SIZE),
    merits=st.lists(st.floats(0.0, 9.0), min_size=_SIZE, max_size=_SIZE),
)
def test_no_smaller_choice_serves_everyone(
    servers: list[list[bool]], drawn: list[list[bool] | None], merits: list[float]
) -> None:
    dependants = _without_self(drawn)
    found = fewest_that_serve(merits=merits, servers=servers, dependants=dependants)
    enough = [
        chosen
        for count in range(_SIZE + 1)
        for chosen in combinations(range(_SIZE), count)
        if _is_enough(chosen, servers, dependants)
    ]
    if not enough:
        assert found is None
        return
    assert found is not None
    assert _is_enough(found, servers, dependants)
    assert len(found) == len(enough[0])
    equally_few = [chosen for chosen in enough if len(chosen) == len(found)]
    best = max(sum(merits[place] for place in chosen) for chosen in equally_few)
    assert sum(merits[place] for place in found) == pytest.approx(best, abs=1e-4)


def test_nobody_to_choose_from_serves_only_nobody() -> None:
    assert fewest_that_serve(merits=[], servers=[], dependants=[]) == ()
    assert fewest_that_serve(merits=[], servers=[[]], dependants=[]) is None
