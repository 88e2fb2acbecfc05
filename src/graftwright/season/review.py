"""What this year teaches the next: rates, likely causes of loss, and the plan's changes."""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date

from graftwright.losses import BetaRate, Stage, grafts_needed
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.planting import Catalogue
from graftwright.season.belief import (
    STAGE_WORDS,
    STOCK_STAGE,
    VARIETY_PRECISION,
    Beliefs,
    StageTally,
    stages_of,
    stages_until,
    tallies,
)
from graftwright.season.clumps import Clump, Fate, clumps
from graftwright.season.lessons import CauseRow, LessonRow, Lessons, LineChange
from graftwright.season.lines import in_order
from graftwright.season.naming import Names

_FACTORS = ("variety", "stock", "method", "grafter", "bundle")
_USUAL_WANTED, _USUAL_SURENESS = 10, 0.9


def lessons(notebook: Notebook, *, today: date, catalogue: Catalogue) -> Lessons:
    """Return what the counts up to `today` teach.

    Stocks that died unworked stand in rows of their own and never in a take rate.
    """
    names = Names(catalogue)
    counted = tallies(notebook, names=names, today=today)
    seasons = [tree.season for tree in notebook.trees.values()] + [one.season for one in counted]
    season = max(seasons, default=today.year)
    return Lessons(
        season=season,
        rates=tuple(_rates(counted, notebook)),
        causes=tuple(_causes(notebook, season, names, today)),
        changes=tuple(_changes(counted, notebook, names, season)),
        remarks=tuple(_remarks(counted, notebook, today)),
    )


def _rates(counted: Sequence[StageTally], notebook: Notebook) -> Iterable[LessonRow]:
    beliefs = Beliefs(counted=tuple(counted))
    for stage in STAGE_WORDS:
        yield _row("all", "all grafts", stage, beliefs.general(stage), _sum(counted, stage))
    for factor in _FACTORS:
        levels = sorted({_level(one, factor) for one in counted if _level(one, factor)})
        for level in levels:
            mine = [one for one in counted if _level(one, factor) == level]
            stage = STOCK_STAGE if factor == "stock" else str(Stage.TAKE)
            for shown in dict.fromkeys((str(Stage.TAKE), stage)):
                tried, passed = _sum(mine, shown)
                if tried:
                    general = beliefs.general(shown)
                    loose = general.as_known_from(min(VARIETY_PRECISION, general.precision))
                    rate = loose.updated(alive_count=passed, lost_count=tried - passed)
                    yield _row(
                        factor, _shown(factor, level, notebook), shown, rate, (tried, passed)
                    )


def _level(one: StageTally, factor: str) -> str:
    return {
        "variety": one.variety,
        "stock": one.stock,
        "method": one.method,
        "grafter": one.grafter,
        "bundle": one.bundle_code,
    }[factor]


def _shown(factor: str, level: str, notebook: Notebook) -> str:
    if factor == "bundle":
        return f"{level} {notebook.variety_of_bundle(level)}".strip()
    return level


def _sum(counted: Iterable[StageTally], stage: str) -> tuple[int, int]:
    mine = [one for one in counted if one.stage == stage]
    return sum(one.tried_count for one in mine), sum(one.passed_count for one in mine)


def _row(by: str, name: str, stage: str, rate: BetaRate, counts: tuple[int, int]) -> LessonRow:
    interval = rate.interval(0.9)
    return LessonRow(
        by=by,
        name=name,
        stage=STAGE_WORDS[stage],
        tried_count=counts[0],
        passed_count=counts[1],
        mean_fraction=rate.mean,
        low_fraction=interval.low_fraction,
        high_fraction=interval.high_fraction,
        words=interval.words(),
    )


def _causes(notebook: Notebook, season: int, names: Names, today: date) -> Iterable[CauseRow]:
    trees = [tree for tree in notebook.workings() if tree.season == season]
    for kind, lost in (
        ("grafts that did not take", _fates(trees, notebook, names, str(Stage.TAKE), today)),
        ("stocks that died", _fates(trees, notebook, names, STOCK_STAGE, today)),
    ):
        for clump in clumps(lost):
            yield _clump_row(clump, kind)
    noted = Counter(tree.loss_cause for tree in trees if not tree.is_alive and tree.loss_cause)
    gone = sum(not tree.is_alive for tree in trees)
    for cause, count in noted.most_common():
        yield CauseRow(
            cause=cause,
            count=count,
            of_count=gone,
            words=f"written down as the cause for {count} of {gone} lost",
        )


def _fates(
    trees: Iterable[Tree], notebook: Notebook, names: Names, stage: str, today: date
) -> list[Fate]:
    found = []
    for tree in trees:
        outcome = dict(stages_of(tree, today=today))
        if stage in outcome:
            # where it stood first: the living move on, so where it stands now is an outcome
            place = notebook.places.get(tree.first_place_code)
            levels = (
                ("bundle", tree.bundle_code),
                ("stock lot", tree.lot_code),
                ("variety", names.variety(notebook.variety_of(tree))),
                ("grafter", tree.grafter if stage != STOCK_STAGE else ""),
                ("day", f"{tree.grafted_on:%-d %B}"),
                ("binding", str(tree.binding)),
                ("place", place.name if place else ""),
            )
            found.append(Fate(code=tree.code, is_lost=not outcome[stage], levels=levels))
    return found


def _clump_row(clump: Clump, kind: str) -> CauseRow:
    others = ", ".join(f"{factor} {level}" for factor, level in clump.same_grafts_as)
    apart = f"; cannot be told apart from {others}, which holds the same grafts" if others else ""
    odds = f"{clump.chance_fraction:.3f}" if clump.chance_fraction >= 0.001 else "under 0.001"
    return CauseRow(
        cause=f"{clump.factor} {clump.level}",
        count=clump.lost_count,
        of_count=clump.of_count,
        words=f"{kind}: {clump.lost_count} of {clump.of_count}; chance alone would do this with "
        f"probability {odds}{apart}",
    )


def _changes(
    counted: Sequence[StageTally], notebook: Notebook, names: Names, season: int
) -> Iterable[LineChange]:
    """Yield the grafts needed for each open promise, or else for ten of each variety grafted,
    by what was known before this season and by what is known now."""
    before = Beliefs(counted=tuple(one for one in counted if one.season < season))
    after = Beliefs(counted=tuple(counted))
    stages = stages_until(None, season=season)
    for variety, stock, wanted, sureness in _asked(counted, notebook, names, season):
        grafts = [
            grafts_needed(wanted, [belief.of_variety(variety, stage) for stage in stages], sureness)
            for belief in (before, after)
        ]
        yield LineChange(
            variety=variety,
            stock=stock,
            wanted_count=wanted,
            graft_count_before=grafts[0],
            graft_count_after=grafts[1],
            words=_change_words(grafts[1] - grafts[0], sureness),
        )


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
    at = f"at {sureness_fraction:.0%} sureness"
    if more == 0:
        return f"as many grafts as before {at}"
    return f"{abs(more)} {'more' if more > 0 else 'fewer'} than before this season's counts, {at}"


def _remarks(counted: Sequence[StageTally], notebook: Notebook, today: date) -> Iterable[str]:
    if not counted:
        yield (
            "nothing is counted yet: rates rest on published tallies until you judge takes "
            "or enter last year's counts"
        )
        return
    waiting = sum(
        tree.is_here and not tree.has_taken and tree.season == today.year
        for tree in notebook.trees.values()
    )
    if waiting:
        yield f"{waiting} grafts are still undecided and count neither way"
    yield (
        f"one variety is held to the nursery's rate as firmly as {VARIETY_PRECISION:g} grafts "
        f"would hold it (a judgement, no source)"
    )
