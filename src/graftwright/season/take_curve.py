"""How the take follows the contact of the cambium: an assumption until own grafts teach better.

Nothing published gives take against contact, so the plan starts from an assumed curve. It counts
as much as ASSUMED_WEIGHT_GRAFTS grafts, half of them on stocks of equal thickness and half with
little contact. A logistic regression with a level for each variety and one slope for all learns
from these and from the nursery's judged whip grafts together; only the slope is learnt here, for
how many take at all is another model's work. Thickness is not written down graft by graft: the
pieces of a bundle and the stocks of a lot are taken as matched thin to thin and thick to thick.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from graftwright.losses import Stage
from graftwright.notebook.entries import Method
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, StockLot, Tree
from graftwright.season.belief import stages_of
from graftwright.season.naming import Names
from graftwright.tongue import say, told
from graftwright.wood import (
    EQUAL_SHARE_FRACTION,
    CuttingRules,
    PairTable,
    Stick,
    TakeCurve,
    assumed_log_odds,
    assumed_pair_table,
    base_to_tip_diameters_mm,
)
from graftwright.wood.division import FloatArray, IntArray

ASSUMED_WEIGHT_GRAFTS = 100
"""As many grafts as the assumed curve counts for (a judgement, no source)."""
FLATTER_TIMES, STEEPER_TIMES = 0.5, 2.0
_LITTLE_SHARE_FRACTION = 0.42
_WHIPS = (Method.WHIP_AND_TONGUE, Method.WHIP)
_STEEPEST_TIMES = 4.0
_STEPS = 60
_SETTLED = 1e-9
_LOOSE_LEVEL = 1e-3  # holds the level of a variety of which all took, or none


@dataclass(frozen=True, slots=True, kw_only=True)
class GraftsAtShare:
    """Judged grafts of one variety with the same expected contact share."""

    variety: str
    share_fraction: float
    tried_count: float
    taken_count: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LearntCurve:
    """The take curve in force, how many own grafts back it, and how much they weigh.

    `own_weight_fraction` is the part of what is known of the slope that comes from own grafts;
    above one half they have taken over.
    """

    curve: TakeCurve
    own_graft_count: int
    own_weight_fraction: float

    @property
    def has_taken_over(self) -> bool:
        """Whether own grafts say more about the slope than the assumption does."""
        return self.own_weight_fraction > 0.5

    @property
    def words(self) -> str:
        """What the pair score rests on, as sentences."""
        if not self.own_graft_count:
            return told(
                "The pair score rests on an assumed take curve. No judged graft of "
                "measured sticks on measured stocks stands in the notebook yet to "
                "replace it; it counts as {ASSUMED_WEIGHT_GRAFTS} grafts.",
                ASSUMED_WEIGHT_GRAFTS=ASSUMED_WEIGHT_GRAFTS,
            )
        whose = (
            say("mostly on your own")
            if self.has_taken_over
            else say("still mostly on an assumption")
        )
        return told(
            "The pair score rests {whose}: {own_graft_count} judged grafts weigh "
            "{own_weight_fraction:.0%}, the assumed curve the rest. Yours make the "
            "curve {slope_times:.1f} times as steep as assumed.",
            whose=whose,
            own_graft_count=self.own_graft_count,
            own_weight_fraction=self.own_weight_fraction,
            slope_times=self.curve.slope_times,
        )


def learnt_curve(notebook: Notebook, *, names: Names, today: date) -> LearntCurve:
    """Return the take curve that the assumption and the nursery's own grafts give together."""
    return fitted_curve(own_grafts(notebook, names=names, today=today))


def learnt_pair_table(notebook: Notebook, *, names: Names, today: date) -> PairTable:
    """Return the scores of pairs under the take curve in force."""
    return assumed_pair_table(curve=learnt_curve(notebook, names=names, today=today).curve)


def fitted_curve(grafts: Sequence[GraftsAtShare]) -> LearntCurve:
    """Return the curve whose slope fits the grafts and the assumption, each by its weight."""
    if not grafts:
        return LearntCurve(curve=TakeCurve(), own_graft_count=0, own_weight_fraction=0.0)
    everything = [*grafts, *_as_assumed()]
    level_of = {name: place for place, name in enumerate(dict.fromkeys(g.variety for g in grafts))}
    level = np.array([level_of.get(g.variety, -1) for g in everything], dtype=np.int64)
    level[len(grafts) :] = len(level_of)  # the assumption has a level of its own
    x = assumed_log_odds(np.array([g.share_fraction for g in everything]))
    tried = np.array([g.tried_count for g in everything], dtype=np.float64)
    taken = np.array([g.taken_count for g in everything], dtype=np.float64)
    slope, weight = _fit(x, level, tried, taken)
    known = _known_of_slope(x, level, weight)
    return LearntCurve(
        curve=TakeCurve(slope_times=round(min(max(slope, 0.0), _STEEPEST_TIMES), 2)),
        own_graft_count=round(sum(g.tried_count for g in grafts)),
        own_weight_fraction=float(known[:-1].sum() / known.sum()),
    )


def _as_assumed() -> list[GraftsAtShare]:
    half = ASSUMED_WEIGHT_GRAFTS / 2.0
    found = []
    for share in (EQUAL_SHARE_FRACTION, _LITTLE_SHARE_FRACTION):
        odds = float(np.exp(assumed_log_odds(np.array(share))))
        found.append(
            GraftsAtShare(
                variety="",
                share_fraction=share,
                tried_count=half,
                taken_count=half * odds / (1.0 + odds),
            )
        )
    return found


def _fit(
    x: FloatArray, level: IntArray, tried: FloatArray, taken: FloatArray
) -> tuple[float, FloatArray]:
    """Return the slope on the assumed log odds, and each group's weight at the fit.

    Newton's steps, halved while they overshoot. Shapes: one value per group of grafts.
    """
    design = np.column_stack([x, np.eye(int(level.max()) + 1)[level]])
    hold = np.r_[0.0, np.full(design.shape[1] - 1, _LOOSE_LEVEL)]
    beta = np.r_[1.0, np.zeros(design.shape[1] - 1)]

    def likely(at: FloatArray) -> float:
        eta = design @ at
        return float(taken @ eta - tried @ np.logaddexp(0.0, eta) - 0.5 * hold @ at**2)

    for _ in range(_STEPS):
        chance = 1.0 / (1.0 + np.exp(-(design @ beta)))
        weight = tried * chance * (1.0 - chance)
        curvature = (design * weight[:, None]).T @ design + np.diag(hold + 1e-12)
        step = np.linalg.solve(curvature, design.T @ (taken - tried * chance) - hold * beta)
        while likely(beta + step) < likely(beta) and np.abs(step).max() > _SETTLED:
            step = step / 2.0
        beta = beta + step
        if np.abs(step).max() <= _SETTLED:
            break
    return float(beta[0]), weight


def _known_of_slope(x: FloatArray, level: IntArray, weight: FloatArray) -> FloatArray:
    """Return what each level tells of the slope: the weighted spread of x within it."""
    total = np.bincount(level, weights=weight)
    mean = np.bincount(level, weights=weight * x) / np.maximum(total, 1e-12)
    return np.asarray(np.bincount(level, weights=weight * (x - mean[level]) ** 2), dtype=np.float64)


def own_grafts(notebook: Notebook, *, names: Names, today: date) -> tuple[GraftsAtShare, ...]:
    """Return the judged whip grafts made of measured sticks on measured stocks, run by run."""
    runs: dict[tuple[str, str, str], list[Tree]] = {}
    for tree in notebook.workings():
        if tree.method in _WHIPS and not tree.interstem_bundle_code:
            runs.setdefault((str(tree.run_id), tree.bundle_code, tree.lot_code), []).append(tree)
    return tuple(
        found
        for (_, bundle_code, lot_code), trees in runs.items()
        for found in _of_run(
            trees,
            notebook.bundles.get(bundle_code),
            notebook.lots.get(lot_code),
            names.variety(notebook.variety_of(trees[0])),
            today,
        )
    )


def _of_run(
    trees: Sequence[Tree], bundle: Bundle | None, lot: StockLot | None, variety: str, today: date
) -> Iterator[GraftsAtShare]:
    if bundle is None or lot is None or not bundle.sticks or not lot.diameters_mm:
        return
    outcomes = [dict(stages_of(tree, today=today)).get(Stage.TAKE.value) for tree in trees]
    judged = [outcome for outcome in outcomes if outcome is not None]
    share = _usual_share(bundle, lot.diameters_mm, len(trees))
    if judged and share is not None:
        yield GraftsAtShare(
            variety=variety,
            share_fraction=share,
            tried_count=float(len(judged)),
            taken_count=float(sum(judged)),
        )


def _usual_share(bundle: Bundle, stocks_mm: Sequence[float], graft_count: int) -> float | None:
    """Return the mean contact share to expect, thin pieces on thin stocks; None if none fits."""
    pieces_mm = base_to_tip_diameters_mm(
        [
            Stick(
                name=str(one.number),
                variety=bundle.code,
                length_mm=one.length_mm,
                base_mm=one.base_mm,
                tip_mm=one.tip_mm,
                buds_mm=one.buds_mm,
                bud_count=None if one.buds_mm else one.bud_count,
            )
            for one in bundle.sticks
        ],
        rules=CuttingRules(is_bud_allowed_behind_slant=True),
    )
    if not pieces_mm:
        return None
    part = (np.arange(graft_count) + 0.5) / graft_count
    table = assumed_pair_table()
    shares = [
        share
        for scion_mm, stock_mm in zip(
            np.quantile(pieces_mm, part), np.quantile(stocks_mm, part), strict=True
        )
        if (share := table.share_at(round(scion_mm * 10), round(stock_mm * 10))) is not None
        and np.isfinite(share)
    ]
    return float(np.mean(shares)) if shares else None
