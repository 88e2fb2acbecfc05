"""What becomes of every graft of a demo season: drawn once, from a seeded generator.

Takes are drawn near published ones (apple bench grafts 0.82: Karamursel and Kalyoncu, African
Journal of Biotechnology; plum 0.83 with 0.72 to 0.95 between stocks: Sumela congress 2025; a
first-timers' course 18 of 25), heights about the 0.85 to 1.46 m of the first of these. The order of
the stocks by height and the size of the steps: common practice, no source.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random

from graftwright.climate import HourlyRecord
from graftwright.demo.codebook import CodeBook
from graftwright.demo.lines import BenchLine, BundleLine, LotLine, Mishap, PromiseLine, RunLine
from graftwright.demo.warmth import BatchDays, batch_days, on_or_after
from graftwright.demo.world import BRAMLEY, CONFERENCE, HESTER, INES, TAM, VICTORIA
from graftwright.notebook.entries import Cause

FIRST_CHECK_AFTER_DAYS = 18
SECOND_CHECK_AFTER_DAYS = 24
_NO_TAKE_FRACTION = {HESTER: 0.07, TAM: 0.11, INES: 0.26}
_MORE_LOST_FRACTION = {CONFERENCE: 0.06, VICTORIA: 0.14}
_HEIGHT_M = {
    "M27": 0.78,
    "M9": 0.98,
    "M26": 1.16,
    "M116": 1.26,
    "M25": 1.4,
    "Quince C": 1.0,
    "St Julien A": 1.15,
}
_HEIGHT_SD_FRACTION = 0.11
_CAUSES = (Cause.DRIED, Cause.NO_CALLUS, Cause.NO_CALLUS, Cause.DISTURBED, Cause.UNKNOWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A season as told: what was promised, cut, bought, grafted, and what went wrong."""

    season: int
    seed: int
    promises: tuple[PromiseLine, ...]
    bundles: tuple[BundleLine, ...]
    lots: tuple[LotLine, ...]
    bench: tuple[BenchLine, ...]
    runs: tuple[RunLine, ...]
    mishaps: tuple[Mishap, ...]
    carried_lots: tuple[LotLine, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Death:
    """How a sapling was lost: never took, or its scion, its stock or its union was lost later."""

    loss: str
    on: date
    cause: Cause
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sapling:
    """One graft and its year."""

    code: str
    run: RunLine
    position: int
    variety: str
    stock: str
    days: BatchDays
    moved_on: date
    height_m: float
    damage: Cause | None = None
    death: Death | None = None
    revived_on: date | None = None

    @property
    def first_check_on(self) -> date:
        """The Saturday on which its batch is judged for the first time."""
        return on_or_after(self.days.buds_moved_on + timedelta(days=FIRST_CHECK_AFTER_DAYS))

    @property
    def second_check_on(self) -> date:
        """The Saturday on which its batch is judged again."""
        return on_or_after(self.first_check_on + timedelta(days=SECOND_CHECK_AFTER_DAYS))

    def is_alive_on(self, day: date) -> bool:
        """Whether it counts as alive in the evening of the day."""
        if self.death is None or day < self.death.on:
            return True
        return self.revived_on is not None and day >= self.revived_on


def saplings_of(script: Script, *, book: CodeBook, hours: HourlyRecord) -> tuple[Sapling, ...]:
    """Return every graft of the season with what became of it."""
    dice = Random(script.seed)
    varieties = {bundle.key: bundle.variety for bundle in script.bundles}
    stocks = {lot.key: lot.stock for lot in (*script.lots, *script.carried_lots)}
    batches = {day: batch_days(day, hours=hours) for day in {r.grafted_on for r in script.runs}}
    grown = [
        _grafted(
            run,
            position,
            code=book.code(f"tree {script.season} {run.number} {position}"),
            days=batches[run.grafted_on],
            pair=(varieties[run.bundle_key], stocks[run.lot_key]),
            dice=dice,
        )
        for run in script.runs
        for position in range(1, run.graft_count + 1)
    ]
    return _one_back(_struck(grown, script.mishaps))


def _grafted(
    run: RunLine, position: int, *, code: str, days: BatchDays, pair: tuple[str, str], dice: Random
) -> Sapling:
    variety, stock = pair
    height_m = _HEIGHT_M[stock] * (1.08 if variety == BRAMLEY else 1.0)
    sapling = Sapling(
        code=code,
        run=run,
        position=position,
        variety=variety,
        stock=stock,
        days=days,
        moved_on=days.buds_moved_on + timedelta(days=dice.randrange(10)),
        height_m=height_m * (1.0 + dice.gauss(0.0, _HEIGHT_SD_FRACTION)),
        damage=_damage(dice.random()),
    )
    lost_fraction = _NO_TAKE_FRACTION[run.grafter] + _MORE_LOST_FRACTION.get(variety, 0.0)
    cause = dice.choice(_CAUSES)
    if dice.random() >= lost_fraction:
        return sapling
    return replace(
        sapling, death=Death(loss="take", on=sapling.second_check_on, cause=cause), damage=None
    )


def _damage(draw: float) -> Cause | None:
    for below, cause in ((0.05, Cause.APHID), (0.08, Cause.MILDEW), (0.10, Cause.LEADER_LOST)):
        if draw < below:
            return cause
    return None


def _struck(saplings: Iterable[Sapling], mishaps: Iterable[Mishap]) -> list[Sapling]:
    struck: Mapping[tuple[int, int], Mishap] = {
        (mishap.run_number, position): mishap
        for mishap in mishaps
        for position in range(mishap.position, mishap.position + mishap.tree_count)
    }
    return [_lost(one, struck.get((one.run.number, one.position))) for one in saplings]


def _lost(sapling: Sapling, mishap: Mishap | None) -> Sapling:
    if mishap is None:
        return sapling
    death = Death(loss=mishap.loss, on=mishap.happened_on, cause=mishap.cause, words=mishap.words)
    return replace(sapling, death=death)


def _one_back(saplings: list[Sapling]) -> tuple[Sapling, ...]:
    """Let the season's first graft that was given up come back: dead can be taken back."""
    given_up = [
        one
        for one in saplings
        if one.death and one.death.loss == "take" and one.death.on == one.second_check_on
    ]
    if not given_up:
        return tuple(saplings)
    back = given_up[0]
    back_on = on_or_after(back.second_check_on + timedelta(days=19))
    return tuple(
        replace(one, revived_on=back_on, height_m=one.height_m * 0.8) if one is back else one
        for one in saplings
    )
