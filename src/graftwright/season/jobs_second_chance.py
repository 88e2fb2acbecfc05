"""Jobs on stocks whose graft failed: keep a shoot, bud them, look at the buds, cut back to them."""

from collections.abc import Sequence
from datetime import date

from graftwright.notebook.entries import Scion
from graftwright.notebook.standing import Tree
from graftwright.season.practice import rule
from graftwright.season.tree_work import Due, Season, days_since
from graftwright.tongue import say, told

_AUTUMN_DAYS = 120
_NONE = Due(trees=(), why="")


def keep_shoot_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the free stocks on which one shoot should be chosen to be budded."""
    if not season.is_month(4, 5, 6, 7):
        return _NONE
    due = tuple(
        t for t in trees if t.is_free_stock and (t.stock_shoot_kept_on or date.min) < _lost_on(t)
    )
    return Due(
        trees=due,
        why=say(
            "the scion is lost and the stock lives: keep its best shoot, straight "
            "and low, and take the others off; it can be budded in summer or "
            "grafted next winter"
        ),
    )


def _lost_on(tree: Tree) -> date:
    days = [day for day in (tree.scion_died_on, tree.union_broke_on) if day is not None]
    return min(days, default=tree.grafted_on)


def bud_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the free stocks that may be budded now, from July to early September."""
    today = season.today
    if not (season.is_month(7, 8) or (season.is_month(9) and today.day <= 15)):
        return _NONE
    due = tuple(t for t in trees if t.is_free_stock)
    last = date(today.year, season.month_here(9), 15)
    return Due(
        trees=due,
        why=say(
            "a living stock without its scion, and the months in which buds of "
            "this summer's shoots are ripe: chip bud at any time, T-bud while the "
            "bark lifts. The second chance page matches them to what is still "
            "promised"
        ),
        last_safe_on=last if due else None,
    )


def look_at_buds_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the budded stocks whose buds should show by now whether they took."""
    after = rule(season.notebook.nursery, "look at set buds after")
    due = tuple(
        t
        for t in trees
        if t.is_budded
        and t.scion is Scion.WAITING
        and after.value <= days_since(t.grafted_on, season.today) <= _AUTUMN_DAYS
        and (t.seen_on is None or days_since(t.grafted_on, t.seen_on) < after.value)
    )
    return Due(
        trees=due,
        why=told(
            "budded at least {after:g} days ago ({after_words}): a stalk that "
            "drops at a touch and a plump green chip have taken, a shrivelled one "
            "has not",
            after=after.value,
            after_words=after.words,
        ),
    )


def cut_back_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the stocks to cut back to their bud, before growth begins in its spring."""
    if not season.is_month(2, 3):
        return _NONE
    due = tuple(
        t
        for t in trees
        if t.is_budded
        and t.season == season.today.year
        and t.scion is not Scion.DEAD
        and t.cut_back_on is None
    )
    last = date(season.today.year, season.month_here(3), 31)
    return Due(
        trees=due,
        why=say(
            "the bud rested through the winter; cut the stock just above it before "
            "growth begins, with a slope away from the bud"
        ),
        last_safe_on=last if due else None,
    )


def spring_buds_due(trees: Sequence[Tree], season: Season) -> Due:
    """Return the budded trees whose bud should move in this, its spring."""
    every = rule(season.notebook.nursery, "look at waiting grafts every")
    due = tuple(
        t
        for t in trees
        if t.is_budded
        and season.is_month(4, 5, 6)
        and t.season == season.today.year
        and t.scion is Scion.WAITING
        and days_since(t.seen_on, season.today) >= every.value
    )
    return Due(
        trees=due,
        why=told(
            "buds set last summer move with the spring; waiting is not dead; every "
            "{every:g} days ({every_words})",
            every=every.value,
            every_words=every.words,
        ),
    )
