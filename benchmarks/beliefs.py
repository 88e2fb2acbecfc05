"""Which belief foretells the next season: each variety by itself, or one model of all counts.

    python -m benchmarks.beliefs [--json] [--nurseries N]

Invented nurseries of the demo's size (eight varieties, five stocks, three counted seasons of some
ten lines) differ mildly, as usual, or strongly. From their counts both ways foretell the season to
come, and size promises of 1 to 12 trees at a sureness of 0.9. Surprise is minus the log chance of
what came, in nats; less is better.
"""

import argparse
import sys
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from scipy import stats
from scipy.special import expit

from benchmarks.figures import Figure, as_json, table
from graftwright.losses import FloatArray, Stage, grafts_needed_from_draws
from graftwright.season.belief import Beliefs
from graftwright.season.tally import StageTally

STAGES: Final = (Stage.TAKE, Stage.SHOOT, Stage.SALEABLE)
TRUTHS: Final = {"mild": 0.25, "usual": 1.0, "strong": 2.0}
_MEANS: Final = {Stage.TAKE: 1.5, Stage.SHOOT: 2.6, Stage.SALEABLE: 2.4}
_SPREADS: Final = {"variety": 0.6, "stock": 0.4, "method": 0.3, "season": 0.35, "cell": 0.35}
_SEASONS: Final = (2006, 2007, 2008)
_SURENESS: Final = 0.9
_FRESH_COUNT: Final = 12
_DRAWS_COUNT: Final = 2_000
_MOST_GRAFTS: Final = 400
_NURSERIES: Final = 40
_SEED: Final = 7
_BY_ITSELF, _MODEL = "each variety by itself", "one model"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A promise of the season to come, with the rates that its stages will truly have."""

    variety: str
    stock: str
    wanted_count: int
    rates: tuple[float, ...]


@dataclass(slots=True)
class Nature:
    """The true terms of one nursery, drawn when first asked for."""

    rng: np.random.Generator
    scale: float
    terms: dict[tuple[str, ...], float] = field(default_factory=dict)

    def rate(self, stage: Stage, variety: str, stock: str, method: str, season: int) -> float:
        """Return the rate of one make-up in one season."""
        levels = {
            "variety": variety,
            "stock": stock,
            "method": method,
            "season": str(season),
            "cell": f"{variety} {stock} {method} {season}",
        }
        logit = _MEANS[stage] + self._term(stage, "general", "", 0.4)
        later = 1.0 if stage is Stage.TAKE else 0.7
        for kind, level in levels.items():
            logit += self._term(stage, kind, level, _SPREADS[kind] * self.scale * later)
        return float(expit(logit))

    def _term(self, stage: str, kind: str, level: str, spread: float) -> float:
        key = (stage, kind, level)
        if key not in self.terms:
            self.terms[key] = float(self.rng.normal(0.0, spread))
        return self.terms[key]


def nursery(nature: Nature) -> tuple[tuple[StageTally, ...], tuple[Line, ...]]:
    """Return the counts of a nursery and the promises of its season to come."""
    rng = nature.rng
    stocks = [f"stock {place}" for place in range(5)]
    pairs = [
        (f"variety {place}", str(stock))
        for place in range(8)
        for stock in rng.choice(stocks, rng.integers(1, 3), replace=False)
    ]
    counted: list[StageTally] = []
    for season in _SEASONS:
        for variety, stock in pairs:
            if rng.random() < 0.7:
                method = "whip and tongue" if rng.random() < 0.8 else "cleft"
                counted += _counts(nature, variety, stock, method, season)
    coming = [*pairs, ("a new variety", stocks[0])]
    return tuple(counted), tuple(
        Line(
            variety=variety,
            stock=stock,
            wanted_count=int(rng.choice([1, 2, 3, 4, 6, 8, 12])),
            rates=tuple(
                nature.rate(stage, variety, stock, "whip and tongue", _SEASONS[-1] + 1)
                for stage in STAGES
            ),
        )
        for variety, stock in coming
        if rng.random() < 0.8
    )


def _counts(
    nature: Nature, variety: str, stock: str, method: str, season: int
) -> Iterable[StageTally]:
    tried = int(np.clip(round(np.exp(nature.rng.normal(2.1, 0.5))), 3, 25))
    for stage in STAGES:
        rate = nature.rate(stage, variety, stock, method, season)
        passed = int(nature.rng.binomial(tried, rate))
        if tried:
            yield StageTally(
                season=season, variety=variety, stock=stock, method=method, grafter="",
                bundle_code="", stage=str(stage), tried_count=tried, passed_count=passed,
            )  # fmt: skip
        tried = passed


def judged(draws: list[FloatArray], lines: tuple[Line, ...], fresh: list[int]) -> dict[str, float]:
    """Hold one way's draws of each stage, shape (draws, lines), against what is true."""
    final = np.prod(draws, axis=0)
    true = np.array([np.prod(line.rates) for line in lines])
    low, high = np.quantile(draws[0], [0.05, 0.95], axis=0)
    takes = np.array([line.rates[0] for line in lines])
    chances = [
        stats.binom(_FRESH_COUNT, draws[0][:, place]).pmf(alive).mean()
        for place, alive in enumerate(fresh)
    ]
    grafts = [
        min(_MOST_GRAFTS, grafts_needed_from_draws(line.wanted_count, drawn, _SURENESS))
        for line, drawn in zip(lines, final.T, strict=True)
    ]
    wanted = np.array([line.wanted_count for line in lines])
    made = np.maximum(1, np.round(1.8 * wanted))
    stated = stats.binom.sf(wanted - 1, made, final)
    kept = stats.binom.sf(wanted - 1, made, true)
    each = np.clip(stated.mean(axis=0), 1e-6, 1 - 1e-6)
    together = float(np.clip(stated.prod(axis=1).mean(), 1e-6, 1 - 1e-6))
    return {
        "surprise of 12 grafts, nats": float(-np.log(chances).mean()),
        "90 % range holds the rate": float(((low <= takes) & (takes <= high)).mean()),
        "surprise of a promise, nats": float(_surprise(kept, each).mean()),
        "surprise of all promises, nats": float(_surprise(kept.prod(), together)),
        "kept at a sureness of 0.9": float(stats.binom.sf(wanted - 1, grafts, true).mean()),
        "grafts a tree": sum(grafts) / int(wanted.sum()),
    }


def _surprise(kept: FloatArray | float, stated: FloatArray | float) -> FloatArray:
    return np.asarray(-kept * np.log(stated) - (1.0 - kept) * np.log1p(-np.asarray(stated)))


def by_itself(
    beliefs: Beliefs, lines: tuple[Line, ...], rng: np.random.Generator
) -> list[FloatArray]:
    """Draw each line's stages from its variety's own Beta, lines of a variety together."""
    found = []
    for stage in STAGES:
        drawn = {}
        for line in lines:
            rate = beliefs.of_variety(line.variety, str(stage))
            drawn.setdefault(line.variety, rng.beta(rate.a, rate.b, _DRAWS_COUNT))
        found.append(np.column_stack([drawn[line.variety] for line in lines]))
    return found


def by_model(beliefs: Beliefs, lines: tuple[Line, ...]) -> list[FloatArray]:
    """Draw all lines' stages from the model that plans use."""
    grafts = [(line.variety, line.stock) for line in lines]
    return [
        beliefs.drawn(grafts, str(stage), draws_count=_DRAWS_COUNT, seed=place)
        for place, stage in enumerate(STAGES)
    ]


def run(truth: str, nurseries_count: int) -> list[Figure]:
    """Foretell the season to come of many nurseries of one kind."""
    rng = np.random.default_rng(_SEED)
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    while len(found[(_MODEL, "grafts a tree")]) < nurseries_count:
        counted, lines = nursery(Nature(rng=rng, scale=TRUTHS[truth]))
        beliefs = Beliefs(counted=counted)
        if not lines or not all(beliefs.is_modelled(str(stage)) for stage in STAGES):
            continue
        fresh = [int(rng.binomial(_FRESH_COUNT, line.rates[0])) for line in lines]
        for way, draws in (
            (_BY_ITSELF, by_itself(beliefs, lines, rng)),
            (_MODEL, by_model(beliefs, lines)),
        ):
            for what, value in judged(draws, lines, fresh).items():
                found[(way, what)].append(value)
    whats = dict.fromkeys(what for _, what in found)
    return [
        Figure(
            what=f"{truth} differences: {what}",
            measured=float(np.mean(found[(_MODEL, what)])),
            unit="",
            baseline=float(np.mean(found[(_BY_ITSELF, what)])),
            baseline_words=_BY_ITSELF,
        )
        for what in whats
    ]


def main(arguments: list[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="benchmarks.beliefs", description=__doc__)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    parser.add_argument("--nurseries", type=int, default=_NURSERIES, help="of each kind")
    asked = parser.parse_args(arguments)
    figures = [figure for truth in TRUTHS for figure in run(truth, asked.nurseries)]
    print(as_json(figures) if asked.json else table(figures))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
