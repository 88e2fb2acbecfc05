"""Jobs on shoots: the stock's by the scion's state, the scion's two then one, and canes."""

from collections.abc import Sequence
from datetime import timedelta

from graftwright.notebook.entries import Scion
from graftwright.notebook.standing import Tree
from graftwright.season.practice import rule, said_lately, way
from graftwright.season.tree_work import Due, Season, days_since, is_first_summer
from graftwright.tongue import marked, told

WIND = marked("strongest wind expected")
_WIND_DAYS = 1
_STILL_UNDECIDED = (Scion.WAITING, Scion.MOVING, Scion.DOUBTFUL)


def rub_off_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees whose scion grows and can feed the roots alone."""
    every = rule(season.notebook.nursery, "rub off stock shoots every")
    due = tuple(
        tree
        for tree in season.growing(trees)
        if days_since(tree.stock_shoots_off_on, season.today) >= every.value
    )
    return Due(
        trees=due,
        why=told(
            "the scion grows, so it can feed the roots; every {every:g} days ({every_words})",
            every=every.value,
            every_words=every.words,
        ),
    )


def rub_off_waiting_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the undecided trees for those whose own practice is to rub off all the same."""
    ways = way(season.notebook.nursery, "stock shoots while the scion waits")
    if ways.value != "rub off":
        return Due(trees=(), why="")
    every = rule(season.notebook.nursery, "rub off stock shoots every")
    due = tuple(
        tree
        for tree in _undecided(trees, season)
        if days_since(tree.stock_shoots_off_on, season.today) >= every.value
    )
    return Due(
        trees=due,
        why=told(
            "the scion still waits; rub off all the same ({ways_words})", ways_words=ways.words
        ),
    )


def pinch_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the undecided trees: one stock shoot is kept to feed the roots."""
    ways = way(season.notebook.nursery, "stock shoots while the scion waits")
    if ways.value != "pinch and keep one":
        return Due(trees=(), why="")
    every = rule(season.notebook.nursery, "pinch stock shoots every")
    due = tuple(
        tree
        for tree in _undecided(trees, season)
        if days_since(tree.stock_shoot_kept_on, season.today) >= every.value
    )
    return Due(
        trees=due,
        why=told(
            "the scion is not growing yet, so one shoot pinched to a few leaves "
            "feeds the roots; every {every:g} days ({ways_words})",
            every=every.value,
            ways_words=ways.words,
        ),
    )


def _undecided(trees: Sequence[Tree], season: Season) -> list[Tree]:
    """Trees in leaf time whose scion has not begun to grow, five weeks after grafting or later."""
    if not season.is_month(5, 6, 7, 8):
        return []
    return [
        tree
        for tree in trees
        if tree.scion in _STILL_UNDECIDED
        and not tree.is_budded
        and is_first_summer(tree, season.today)
        and days_since(tree.grafted_on, season.today) >= 35
    ]


def to_two_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees to thin to two shoots."""
    limit = rule(season.notebook.nursery, "thin to two shoots from")
    due = tuple(
        t for t in season.growing(trees) if t.shoot_count == 0 and t.growth_mm >= limit.value
    )
    return Due(
        trees=due,
        why=told(
            "{limit:g} mm of growth or more ({limit_words}); keep a spare until the leader is tied",
            limit=limit.value,
            limit_words=limit.words,
        ),
    )


def cane_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees to cane and tie."""
    limit = rule(season.notebook.nursery, "cane from")
    due = tuple(t for t in season.growing(trees) if not t.caned and t.growth_mm >= limit.value)
    return Due(
        trees=due,
        why=told(
            "{limit:g} mm of growth or more and no cane: wind breaks a new union ({limit_words})",
            limit=limit.value,
            limit_words=limit.words,
        ),
    )


def wind_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the uncaned trees that an expected wind may break, over the length set alone."""
    nursery = season.notebook.nursery
    wind_km_h = said_lately(nursery, WIND, today=season.today, days=_WIND_DAYS)
    breaks = rule(nursery, "wind that breaks unions")
    if wind_km_h is None or wind_km_h < breaks.value:
        return Due(trees=(), why="")
    limit = rule(nursery, "cane before wind from")
    due = tuple(t for t in season.growing(trees) if not t.caned and t.growth_mm >= limit.value)
    return Due(
        trees=due,
        why=told(
            "wind of {wind_km_h:g} km/h is expected, {breaks:g} breaks unions "
            "({breaks_words}); these have {limit:g} mm or more and no cane",
            wind_km_h=wind_km_h,
            breaks=breaks.value,
            breaks_words=breaks.words,
            limit=limit.value,
        ),
        last_safe_on=season.today + timedelta(days=_WIND_DAYS) if due else None,
    )


def to_one_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the trees to thin to one: tied to a cane, and not moved or potted of late."""
    nursery = season.notebook.nursery
    limit = rule(nursery, "thin to one shoot from")
    rest = rule(nursery, "leave shoots alone after a move")
    due = tuple(
        t
        for t in season.growing(trees)
        if t.shoot_count == 2
        and t.caned
        and t.growth_mm >= limit.value
        and days_since(t.potted_on, season.today) >= rest.value
        and days_since(t.placed_on, season.today) >= rest.value
    )
    return Due(
        trees=due,
        why=told(
            "{limit:g} mm of growth or more, tied to its cane ({limit_words}), and "
            "neither moved nor potted on in the last {rest:g} days",
            limit=limit.value,
            limit_words=limit.words,
            rest=rest.value,
        ),
    )
