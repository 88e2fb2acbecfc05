"""Counts shown to others never tell one person's results; checked by playing the curious reader."""

from collections import Counter
from datetime import date
from itertools import combinations
from random import Random

import pytest

from graftwright.losses import Stage
from graftwright.season.graft_counts import GraftCount
from graftwright.season.scheme import LEAST_GRAFTS_COUNT, LEAST_PEOPLE_COUNT
from graftwright.season.scheme.pooled_cells import pooled_counts

AFTER = date(2010, 1, 1)


def _count(grafter: str, tried: int, passed: int, *, season: int = 2008, variety: str = "James"):
    return GraftCount(
        stage=str(Stage.TAKE),
        season=season,
        tried_count=tried,
        passed_count=passed,
        variety=variety,
        stock="M26",
        method="whip and tongue",
        grafter=grafter,
    )


def test_one_person_or_two_are_never_shown():
    assert pooled_counts([_count("HQ", 50, 40)], today=AFTER) == ()
    # either of two could take their own grafts off the sum and see the other's
    assert pooled_counts([_count("HQ", 50, 40), _count("TO", 50, 30)], today=AFTER) == ()


def test_three_people_are_shown_together_and_only_their_sum():
    counts = [_count("HQ", 10, 8), _count("TO", 10, 6), _count("IW", 8, 3)]
    (shown,) = pooled_counts(counts, today=AFTER)
    assert (shown.grafts_count, shown.taken_count) == (28, 17)
    assert not any(name in repr(shown) for name in ("HQ", "TO", "IW"))


@pytest.mark.parametrize(
    "counts",
    [
        [_count("HQ", 3, 2), _count("TO", 3, 2), _count("IW", 3, 1)],  # too few grafts
        [_count("HQ", 90, 70), _count("TO", 5, 4), _count("IW", 5, 4)],  # nearly all of one
        [_count("HQ", 10, 10), _count("TO", 10, 10), _count("IW", 10, 10)],  # all: so each one's
        [_count("HQ", 10, 0), _count("TO", 10, 0), _count("IW", 10, 0)],  # none: so each one's
        [_count("", 10, 5), _count("", 10, 5), _count("HQ", 10, 5)],  # nobody named is one person
    ],
)
def test_a_group_in_which_somebody_stands_out_is_left_out(counts):
    assert pooled_counts(counts, today=AFTER) == ()


def test_a_season_not_over_is_not_shown():
    counts = [_count(name, 10, 6, season=2010) for name in ("HQ", "TO", "IW")]
    assert pooled_counts(counts, today=date(2010, 7, 1)) == ()
    assert pooled_counts(counts, today=date(2010, 11, 1)) != ()


def test_no_colleague_who_takes_their_own_grafts_off_learns_of_one_other_alone():
    """Every sum of shown rows, less what a colleague made, still holds two other people."""
    random = Random(7)
    for _ in range(60):
        counts = [
            _count(who, tried, random.randint(0, tried), variety=random.choice("AB"))
            for who in random.sample(("HQ", "TO", "IW", "BS", "EK"), random.randint(2, 5))
            for tried in (random.randint(1, 15),)
        ]
        shown = pooled_counts(counts, today=AFTER)
        for size in range(1, len(shown) + 1):
            for rows in combinations(shown, size):
                _check_hidden(rows, counts)


def _check_hidden(rows, counts):
    varieties = {row.variety for row in rows if row.variety}
    makers = Counter()
    for one in counts:
        if one.variety in varieties or any(not row.variety for row in rows):
            makers[one.grafter] += one.tried_count
    assert sum(row.grafts_count for row in rows) >= LEAST_GRAFTS_COUNT
    assert len(makers) >= LEAST_PEOPLE_COUNT
