"""Promises kept over simulated seasons whose losses clump, beside trees divided by the rate.

    python -m benchmarks.seasons [--json] [--picture FILE]

Each season six promises of 2 to 80 trees are sized and grafted. All grafts of a line share the
rates that the season draws for it, stage by stage: as believed (each from its own Beta), or
otherwise (normal on the logit, the rate with the same mean and variance, half of the logit's
variance shared by every line of the season). Sizes come from the exact sums and from draws of the
final rate. The picture of the shares kept is drawn anew.
"""

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import root
from scipy.special import expit, logit

from benchmarks.figures import Figure, as_json, table
from graftwright.losses import (
    BetaRate,
    Stage,
    StageCounts,
    chance_of_enough,
    grafts_needed,
    grafts_needed_from_draws,
    naive_order,
    rates_from_counts,
)

SURENESSES: Final = (0.5, 0.6, 0.7, 0.8, 0.9, 0.95)
SEASONS_COUNT: Final = 10_000
_DRAWS_COUNT: Final = 20_000
_SEED: Final = 2009
_PICTURE: Final = Path("docs/pictures/seasons.svg")
_PAPER, _INK, _GREEN, _RUST = "#faf8f1", "#1c1b17", "#2c6431", "#9c3d14"
# trees wanted; grafts counted before: started, taken, grown, wintered, fit (invented)
_LINES: Final = (
    (2, (0, 0, 0, 0, 0)),
    (5, (12, 9, 8, 8, 7)),
    (10, (40, 30, 27, 26, 24)),
    (20, (0, 0, 0, 0, 0)),
    (40, (60, 51, 47, 45, 41)),
    (80, (120, 90, 82, 78, 70)),
)
_GAUSS_NODES, _RAW_WEIGHTS = np.polynomial.hermite_e.hermegauss(40)
_GAUSS_WEIGHTS: Final = _RAW_WEIGHTS / _RAW_WEIGHTS.sum()

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """Trees wanted of one line, and what is believed of its rates."""

    wanted_count: int
    rates: tuple[BetaRate, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """What six promises come to at one sureness: shares kept by each way of sizing, and grafts."""

    sureness_fraction: float
    stated_fraction: float
    by_sums_fraction: float
    by_draws_fraction: float
    otherwise_fraction: float
    plain_fraction: float
    plain_otherwise_fraction: float
    grafts_each: float
    plain_grafts_each: float


def promises() -> tuple[Promise, ...]:
    """Give the promises of every season, each with beliefs and counts put together."""
    return tuple(
        Promise(wanted_count=wanted_count, rates=rates_from_counts(_counts(passed)))
        for wanted_count, passed in _LINES
    )


def _counts(passed: tuple[int, ...]) -> list[StageCounts]:
    return [
        StageCounts(stage=stage, started_count=started, alive_count=alive)
        for stage, started, alive in zip(Stage, passed, passed[1:], strict=False)
    ]


def shares_as_believed(lines: tuple[Promise, ...], rng: np.random.Generator) -> Floats:
    """Draw the share that comes through. Shape (seasons, lines)."""
    return np.column_stack([_final_draws(line, SEASONS_COUNT, rng) for line in lines])


def _final_draws(line: Promise, draws_count: int, rng: np.random.Generator) -> Floats:
    drawn = [rng.beta(rate.a, rate.b, draws_count) for rate in line.rates]
    return np.asarray(np.prod(drawn, axis=0))


def shares_otherwise(lines: tuple[Promise, ...], rng: np.random.Generator) -> Floats:
    """Draw the share where logits are normal and half their variance is the season's."""
    shares = np.ones((SEASONS_COUNT, len(lines)))
    for stage in range(len(Stage)):
        season = rng.standard_normal((SEASONS_COUNT, 1))
        own = rng.standard_normal(shares.shape)
        moments = np.array([_logit_moments(line.rates[stage]) for line in lines])
        shares *= expit(moments[:, 0] + moments[:, 1] * (season + own) * np.sqrt(0.5))
    return shares


def _logit_moments(rate: BetaRate) -> tuple[float, float]:
    """Give mean and deviation on the logit whose rate has this mean and variance."""

    def missed(moments: Floats) -> Floats:
        rates = expit(moments[0] + np.exp(moments[1]) * _GAUSS_NODES)
        mean = _GAUSS_WEIGHTS @ rates
        spread = np.sqrt(_GAUSS_WEIGHTS @ (rates - mean) ** 2)
        return np.array([mean - rate.mean, spread - np.sqrt(rate.variance)])

    found = root(missed, [logit(rate.mean), np.log(0.5)])
    if not found.success:
        raise SystemExit(f"no normal logit has the mean {rate.mean} and its variance")
    return float(found.x[0]), float(np.exp(found.x[1]))


def kept_fraction(
    grafts_counts: list[int],
    lines: tuple[Promise, ...],
    shares: Floats,
    rng: np.random.Generator,
) -> float:
    """Graft every line in every season and give the share of promises kept."""
    wanted = np.array([line.wanted_count for line in lines])
    return float(np.mean(rng.binomial(grafts_counts, shares) >= wanted))


def points() -> tuple[Point, ...]:
    """Size and simulate at each sureness."""
    rng = np.random.default_rng(_SEED)
    lines = promises()
    believed, otherwise = shares_as_believed(lines, rng), shares_otherwise(lines, rng)
    drawn = [_final_draws(line, _DRAWS_COUNT, rng) for line in lines]
    wanted_count = sum(line.wanted_count for line in lines)
    plain = [naive_order(line.wanted_count, line.rates).grafts_count for line in lines]
    plain_kept = [kept_fraction(plain, lines, shares, rng) for shares in (believed, otherwise)]
    found = []
    for sureness in SURENESSES:
        sums = [grafts_needed(line.wanted_count, line.rates, sureness) for line in lines]
        by_draws = [
            grafts_needed_from_draws(line.wanted_count, draws, sureness)
            for line, draws in zip(lines, drawn, strict=True)
        ]
        stated = [
            chance_of_enough(grafts, line.wanted_count, line.rates)
            for grafts, line in zip(sums, lines, strict=True)
        ]
        found.append(
            Point(
                sureness_fraction=sureness,
                stated_fraction=float(np.mean(stated)),
                by_sums_fraction=kept_fraction(sums, lines, believed, rng),
                by_draws_fraction=kept_fraction(by_draws, lines, believed, rng),
                otherwise_fraction=kept_fraction(sums, lines, otherwise, rng),
                plain_fraction=plain_kept[0],
                plain_otherwise_fraction=plain_kept[1],
                grafts_each=sum(sums) / wanted_count,
                plain_grafts_each=sum(plain) / wanted_count,
            )
        )
    return tuple(found)


def figures(found: tuple[Point, ...]) -> list[Figure]:
    """Give the shares kept beside those of trees divided by the rate."""
    rows = []
    for point in found:
        asked = f"sureness {point.sureness_fraction:.2f}"
        stated = f"trees over rate, same seasons; sums state {point.stated_fraction:.3f}"
        for way, kept, plain in (
            ("exact sums", point.by_sums_fraction, point.plain_fraction),
            ("draws", point.by_draws_fraction, point.plain_fraction),
            (
                "exact sums, clumped otherwise",
                point.otherwise_fraction,
                point.plain_otherwise_fraction,
            ),
        ):
            rows.append(
                Figure(
                    what=f"promises kept, {asked}, {way}",
                    measured=kept,
                    unit="of all",
                    baseline=plain,
                    baseline_words=stated,
                )
            )
        rows.append(
            Figure(
                what=f"grafts for a tree promised, {asked}",
                measured=point.grafts_each,
                unit="grafts",
                baseline=point.plain_grafts_each,
                baseline_words="trees over rate",
            )
        )
    return [*rows, _furthest(found)]


def _furthest(found: tuple[Point, ...]) -> Figure:
    away = [
        abs(kept - point.stated_fraction)
        for point in found
        for kept in (point.by_sums_fraction, point.otherwise_fraction)
    ]
    return Figure(
        what="promises kept, furthest from the chance that the sums state",
        measured=100.0 * max(away),
        unit="points of 100",
        baseline=1.0,
        baseline_words="figure to stay within",
    )


def picture(found: tuple[Point, ...]) -> str:
    """Return the shares kept against the sureness asked, as SVG; marks differ by shape too."""
    sums = [(point.sureness_fraction, point.by_sums_fraction) for point in found]
    draws = [(point.sureness_fraction, point.by_draws_fraction) for point in found]
    plain = [(point.sureness_fraction, point.plain_fraction) for point in found]
    above = [100.0 * (kept - asked) for asked, kept in sums]
    apart = 100.0 * max(abs(a[1] - b[1]) for a, b in zip(sums, draws, strict=True))
    words = (
        f"Across: sureness asked, from {sums[0][0]:.0%} to {sums[-1][0]:.0%}. Up: promises kept in "
        f"{SEASONS_COUNT:,} simulated seasons. Sized by exact sums, the share kept goes from "
        f"{sums[0][1]:.1%} to {sums[-1][1]:.1%}, {min(above):.1f} to {max(above):.1f} points "
        f"above what was asked; by draws it differs by {apart:.1f} points at most. Trees divided "
        f"by the rate keep {plain[0][1]:.1%} whatever is asked."
    )
    parts = [
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 480" role="img" '
        'aria-labelledby="seasons-title seasons-desc" font-family="Georgia, serif" font-size="15">',
        '<title id="seasons-title">Promises kept against the sureness asked</title>',
        f'<desc id="seasons-desc">{words}</desc>',
        f'<rect width="720" height="480" fill="{_PAPER}"/>',
        *_axes(),
        _line([(0.5, 0.5), (1.0, 1.0)], f'stroke="{_INK}" stroke-width="1" stroke-dasharray="5 4"'),
        _line(sums, f'stroke="{_GREEN}" stroke-width="2.5"'),
        *(_disc(*_at(*spot)) for spot in sums),
        *(_cross(*_at(*spot)) for spot in draws),
        _line(plain, f'stroke="{_RUST}" stroke-width="2.5"'),
        *(_square(*_at(*spot)) for spot in plain),
        *_key(),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _at(sureness_fraction: float, kept_share: float) -> tuple[float, float]:
    return 90.0 + 1160.0 * (sureness_fraction - 0.5), 400.0 - 680.0 * (kept_share - 0.5)


def _axes() -> list[str]:
    parts = []
    for place in (0.5, 0.6, 0.7, 0.8, 0.9, 1.0):
        x, y = _at(place, place)
        parts += [
            f'<path d="M90 {y:.1f}H670" stroke="{_INK}" stroke-width="0.4"/>',
            _text(80, y + 5, f"{place:.0%}", "end"),
            _text(x, 422, f"{place:.0%}", "middle"),
        ]
    return [
        *parts,
        _text(380, 456, "sureness asked", "middle"),
        _text(20, 36, f"promises kept, {SEASONS_COUNT:,} simulated seasons", "start"),
    ]


def _key() -> list[str]:
    """Name each line and mark, in the corner that no line enters."""
    return [
        _disc(112, 86),
        _text(126, 91, "sized by exact sums", "start"),
        _cross(112, 112),
        _text(126, 117, "sized by draws of the rate", "start"),
        _square(112, 138),
        _text(126, 143, "trees divided by the rate", "start"),
        f'<path d="M102 164H122" stroke="{_INK}" stroke-dasharray="5 4"/>',
        _text(126, 169, "kept exactly as asked", "start"),
    ]


def _line(spots: list[tuple[float, float]], strokes: str) -> str:
    joined = " ".join(f"{x:.1f},{y:.1f}" for x, y in (_at(*spot) for spot in spots))
    return f'<polyline points="{joined}" fill="none" {strokes}/>'


def _disc(x: float, y: float) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="5.5" fill="{_GREEN}"/>'


def _cross(x: float, y: float) -> str:
    path = f"M{x - 8:.1f} {y:.1f}h16M{x:.1f} {y - 8:.1f}v16"
    return f'<path d="{path}" stroke="{_INK}" stroke-width="1.3"/>'


def _square(x: float, y: float) -> str:
    return f'<rect x="{x - 5:.1f}" y="{y - 5:.1f}" width="10" height="10" fill="{_RUST}"/>'


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="{_INK}">{words}</text>'


def main(arguments: list[str]) -> int:
    """Simulate, print, draw."""
    parser = argparse.ArgumentParser(prog="benchmarks.seasons", description=__doc__)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    parser.add_argument("--picture", type=Path, default=_PICTURE, help="where the picture goes")
    asked = parser.parse_args(arguments)
    found = points()
    asked.picture.write_text(picture(found), encoding="utf-8")
    print(as_json(figures(found)) if asked.json else table(figures(found)))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
