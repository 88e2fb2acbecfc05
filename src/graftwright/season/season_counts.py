"""A season in counts: how far its grafts came, what took, when they were made, what was lost."""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.tongue import marked, say


@dataclass(frozen=True, slots=True, kw_only=True)
class CountOf:
    """So many of so many, under a name."""

    name: str
    count: int
    of_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonCounts:
    """One season: the chain from graft to hand-over, take by variety and stock, days, losses.

    Take counts the grafts that were judged: taken, or dead with the stock alive. A stock that died
    is no failure of the graft and stands among the losses alone.
    """

    season: int
    chain: tuple[CountOf, ...]
    by_variety: tuple[CountOf, ...]
    by_stock: tuple[CountOf, ...]
    by_day: tuple[tuple[date, int], ...]
    losses: tuple[CountOf, ...]
    waiting_count: int


def season_counts(notebook: Notebook, *, season: int) -> SeasonCounts:
    """Return what the notebook counts of a season's grafts, each working for itself."""
    grafts = [tree for tree in notebook.workings() if tree.season == season]
    judged = [tree for tree in grafts if tree.has_taken or _failed(tree)]
    return SeasonCounts(
        season=season,
        chain=_chain(grafts),
        by_variety=_taken_by(judged, lambda tree: notebook.variety_of(tree) or "unknown"),
        by_stock=_taken_by(judged, lambda tree: notebook.stock_of(tree) or "unknown"),
        by_day=tuple(sorted(Counter(tree.grafted_on for tree in grafts).items())),
        losses=_losses(grafts),
        waiting_count=len(grafts) - len(judged) - sum(map(_stock_died_first, grafts)),
    )


def seasons_counted(notebook: Notebook) -> tuple[int, ...]:
    """Return the seasons that hold grafts, the latest first."""
    return tuple(sorted({tree.season for tree in notebook.workings()}, reverse=True))


def _failed(tree: Tree) -> bool:
    return tree.scion_died_on is not None and tree.stock_died_on is None


def _stock_died_first(tree: Tree) -> bool:
    return tree.stock_died_on is not None and not tree.has_taken


def _chain(grafts: Iterable[Tree]) -> tuple[CountOf, ...]:
    trees = list(grafts)
    stages = (
        ("grafted", len(trees)),
        ("taken", sum(tree.has_taken for tree in trees)),
        ("alive", sum(tree.is_alive and tree.has_taken for tree in trees)),
        ("ready", sum(bool(tree.ready) and tree.is_alive for tree in trees)),
        (say("handed over"), sum(tree.handed_over_on is not None for tree in trees)),
    )
    return tuple(CountOf(name=name, count=count, of_count=len(trees)) for name, count in stages)


def _taken_by(judged: Iterable[Tree], name_of: Callable[[Tree], str]) -> tuple[CountOf, ...]:
    tried: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    for tree in judged:
        tried[name_of(tree)] += 1
        taken[name_of(tree)] += tree.has_taken
    return tuple(
        CountOf(name=name, count=taken[name], of_count=tried[name])
        for name in sorted(tried, key=lambda name: (-tried[name], name.casefold()))
    )


def _losses(grafts: Iterable[Tree]) -> tuple[CountOf, ...]:
    trees = list(grafts)
    causes = Counter(tree.loss_cause or marked("not known") for tree in trees if not tree.is_alive)
    return tuple(
        CountOf(name=say(cause), count=count, of_count=len(trees))
        for cause, count in causes.most_common()
    )
