"""What this year teaches the next: rates, likely causes of loss, costs, and the plan's changes."""

from collections.abc import Iterable, Sequence
from datetime import date

from graftwright.losses import BetaRate, Stage, chain_rate, grafts_needed
from graftwright.notebook.notebook import Notebook
from graftwright.planting import Catalogue
from graftwright.season.belief import (
    Beliefs,
    StageTally,
    stages_until,
    tallies,
)
from graftwright.season.causes_found import causes_found, noted_causes, signs_seen
from graftwright.season.graft_counts import GraftCount, graft_counts, of_stage
from graftwright.season.lessons import Lessons, LineChange
from graftwright.season.lines import in_order
from graftwright.season.naming import Names
from graftwright.season.private_rates import shown_to
from graftwright.season.rates_found import hidden_rates, rate_rows, recorded_one_way
from graftwright.season.reckoning import cost_of_tree
from graftwright.tongue import say, told

_USUAL_WANTED, _USUAL_SURENESS = 10, 0.9
_TEN = 10


def lessons(
    notebook: Notebook,
    *,
    today: date,
    catalogue: Catalogue,
    reader: str = "",
    season: int | None = None,
    counts: tuple[GraftCount, ...] | None = None,
) -> Lessons:
    """Return what the counts up to `today` teach.

    Parameters
    ----------
    notebook
        Everything as it stands on `today`.
    reader
        The initials of whoever reads; other people's rates are left out unless they show them.
    season
        The season whose losses are searched for causes; the last with a result if None.
    counts
        What `graft_counts` gives for the same notebook and day; counted here if None.

    Stocks that died unworked stand in rows of their own and never in a take rate.
    """
    names = Names(catalogue)
    if counts is None:
        counts = graft_counts(notebook, names=names, today=today)
    counted = tallies(notebook, names=names, today=today)
    seasons = tuple(sorted({one.season for one in counts if one.day}))
    searched = season if season in seasons else max(seasons, default=today.year)
    shown = shown_to(reader, nursery=notebook.nursery)
    trees = [tree for tree in notebook.workings() if tree.season == searched]
    return Lessons(
        season=searched,
        seasons=seasons,
        rates=rate_rows(counts, notebook=notebook, shown=shown),
        hidden=hidden_rates(counts, shown),
        findings=causes_found(counts, notebook=notebook, shown=shown, season=searched),
        noted=noted_causes(trees),
        opened=signs_seen(trees),
        cost=cost_of_tree(notebook, beliefs=Beliefs(counted=counted)) if counted else None,
        changes=tuple(_changes(counted, notebook, names, max(seasons, default=today.year))),
        remarks=tuple(_remarks(counts, notebook, today)),
    )


def _changes(
    counted: Sequence[StageTally], notebook: Notebook, names: Names, season: int
) -> Iterable[LineChange]:
    """Yield the grafts needed for each open promise, or else for ten of each variety grafted,
    by what was known before this season and by what is known now."""
    before = Beliefs(counted=tuple(one for one in counted if one.season < season))
    after = Beliefs(counted=tuple(counted))
    asked = _asked(counted, notebook, names, season)
    chains = [_chains(belief, asked, season) for belief in (before, after)]
    for place, (variety, stock, wanted, sureness) in enumerate(asked):
        rates = [chain[place] for chain in chains]
        grafts = [grafts_needed(wanted, chain, sureness) for chain in rates]
        per_ten = [grafts_needed(_TEN, chain, sureness) for chain in rates]
        yield LineChange(
            variety=variety,
            stock=stock,
            wanted_count=wanted,
            graft_count_before=grafts[0],
            graft_count_after=grafts[1],
            per_ten_before_count=per_ten[0],
            per_ten_after_count=per_ten[1],
            belief_before=_all_the_way(rates[0]),
            belief_after=_all_the_way(rates[1]),
            words=_change_words(grafts[1] - grafts[0], sureness),
        )


def _chains(
    belief: Beliefs, asked: Sequence[tuple[str, str, int, float]], season: int
) -> list[list[BetaRate]]:
    """Return the rates of every stage for each kind of tree, as the plan would take them."""
    grafts = [(variety, stock) for variety, stock, _, _ in asked]
    by_stage = [belief.next_rates(grafts, stage) for stage in stages_until(None, season=season)]
    return [[found[place].rate for found in by_stage] for place in range(len(grafts))]


def _all_the_way(chain: Sequence[BetaRate]) -> str:
    return chain_rate(chain).words()


def _asked(
    counted: Sequence[StageTally], notebook: Notebook, names: Names, season: int
) -> list[tuple[str, str, int, float]]:
    promises = in_order(notebook)
    if promises:
        asked = [
            (names.variety(p.variety), names.stock(p.stock), p.open_count, p.sureness_fraction)
            for p in promises
        ]
        return list(dict.fromkeys(asked))
    pairs = sorted({(one.variety, one.stock) for one in counted if one.season == season})
    return [(variety, stock, _USUAL_WANTED, _USUAL_SURENESS) for variety, stock in pairs]


def _change_words(more: int, sureness_fraction: float) -> str:
    at = told("at {sureness_fraction:.0%} sureness", sureness_fraction=sureness_fraction)
    if more == 0:
        return told("as many grafts as before {at}", at=at)
    return told(
        "{more} {what} than before this season's counts, {at}",
        more=abs(more),
        what=say("more") if more > 0 else say("fewer"),
        at=at,
    )


def _remarks(counts: Sequence[GraftCount], notebook: Notebook, today: date) -> Iterable[str]:
    if not counts:
        yield (
            say(
                "nothing is counted yet: rates rest on published tallies until you "
                "judge takes or enter last year's counts"
            )
        )
        return
    waiting = sum(
        tree.is_here and not tree.has_taken and tree.season == today.year
        for tree in notebook.trees.values()
    )
    if waiting:
        yield told("{waiting} grafts are still undecided and count neither way", waiting=waiting)
    if of_stage(counts, Stage.TAKE):
        for factor, way in recorded_one_way(counts):
            yield told(
                "every graft has the same {factor} ({way}), so nothing can be told of it",
                factor=say(factor),
                way=way,
            )
