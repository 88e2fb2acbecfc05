"""Sticks measured on rendered pictures: how far off, how honest the bands, how often refused.

    python -m benchmarks.photo [--count N] [--first SEED] [--pictures FOLDER] [--json]

Renders N scenes by number (some seconds each; with --pictures they are kept and used again),
measures each, and lays what was read beside what was rendered. The baseline of a thickness is the
figure to reach that was set beforehand, 0.3 mm for 95 of 100. No real photograph is among them.
"""

import argparse
import time
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from tests.photo.judging import Judged, judged
from tests.photo.rendering import picture_bytes
from tests.photo.scenes import scene_of

from benchmarks.figures import Figure, as_json, table
from graftwright.photo import PictureRefused, measure_sticks

_WANTED_MM, _WANTED_PERCENT = 0.3, 95.0
_FIRST_SEED, _COUNT = 1000, 210


def main() -> None:
    """Render, measure and print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=_COUNT)
    parser.add_argument("--first", type=int, default=_FIRST_SEED)
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--json", action="store_true")
    given = parser.parse_args()
    figures = measured(range(given.first, given.first + given.count), given.pictures)
    print(as_json(figures) if given.json else table(figures))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One picture: its sticks judged and the time it took, or why it was refused."""

    sticks: tuple[Judged, ...] = ()
    time_s: float = 0.0
    refused: str = ""


def tried(seed: int, folder: Path | None = None) -> Tried:
    """Render or fetch one picture, measure it, and judge it."""
    content = _content(seed, folder)
    begun = time.process_time()
    try:
        reading = measure_sticks(content)
    except PictureRefused as wrong:
        return Tried(refused=wrong.reason.value)
    time_s = time.process_time() - begun
    scene = scene_of(seed)
    if len(reading.sticks) != len(scene.sticks):
        return Tried(refused="wrong count of sticks, not refused")
    return Tried(sticks=tuple(judged(reading, scene)), time_s=time_s)


def measured(seeds: Sequence[int], folder: Path | None = None) -> list[Figure]:
    """Return the figures over the scenes of these numbers."""
    with ProcessPoolExecutor(max_workers=2) as workers:
        pictures = list(workers.map(partial(tried, folder=folder), seeds))
    found = [stick for one in pictures for stick in one.sticks]
    refused = Counter(one.refused for one in pictures if one.refused)
    times_s = [one.time_s for one in pictures if not one.refused]
    return [
        *_thicknesses("along the sticks", [one for each in found for one in each.diameters]),
        *_thicknesses("base, middle, tip", [one for each in found for one in each.ends]),
        *_lengths(found),
        *_buds(found),
        Figure(what="sticks measured", measured=len(found), unit="sticks"),
        Figure(what="base taken for tip", unit="sticks",
               measured=sum(not one.is_base_right for one in found)),
        Figure(what="pictures tried", measured=len(seeds), unit="pictures"),
        *(Figure(what=f"refused: {why}", measured=count, unit="pictures")
          for why, count in refused.most_common()),
        Figure(what="processor time a picture", measured=float(np.mean(times_s)), unit="s"),
    ]  # fmt: skip


def _content(seed: int, folder: Path | None) -> bytes:
    if folder is None:
        return picture_bytes(scene_of(seed))
    path = folder / f"{seed}.jpg"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        path.write_bytes(picture_bytes(scene_of(seed)))
    return path.read_bytes()


def _thicknesses(what: str, found: list[tuple[float, float]]) -> list[Figure]:
    errors, bands = np.array(found).T
    far = np.abs(errors)
    return [
        Figure(what=f"thickness {what}: counted", measured=len(far), unit="thicknesses"),
        Figure(what=f"thickness {what}: mean error", measured=float(errors.mean()), unit="mm"),
        Figure(
            what=f"thickness {what}: 95 of 100 within",
            measured=float(np.percentile(far, 95)),
            unit="mm",
            baseline=_WANTED_MM,
            baseline_words="wanted",
        ),
        Figure(what=f"thickness {what}: 99 of 100 within",
               measured=float(np.percentile(far, 99)), unit="mm"),
        Figure(what=f"thickness {what}: worst", measured=float(far.max()), unit="mm"),
        Figure(
            what=f"thickness {what}: within 0.3 mm",
            measured=100.0 * float(np.mean(far <= _WANTED_MM)),
            unit="%",
            baseline=_WANTED_PERCENT,
            baseline_words="wanted",
        ),
        Figure(
            what=f"thickness {what}: stated band holds",
            measured=100.0 * float(np.mean(far <= bands)),
            unit="%",
            baseline=_WANTED_PERCENT,
            baseline_words="stated",
        ),
        Figure(what=f"thickness {what}: mean half band", measured=float(bands.mean()), unit="mm"),
    ]  # fmt: skip


def _lengths(found: list[Judged]) -> list[Figure]:
    errors, bands = np.array([one.length for one in found]).T
    far = np.abs(errors)
    return [
        Figure(what="length: 95 of 100 within", measured=float(np.percentile(far, 95)), unit="mm"),
        Figure(
            what="length: stated band holds",
            measured=100.0 * float(np.mean(far <= bands)),
            unit="%",
            baseline=_WANTED_PERCENT,
            baseline_words="stated",
        ),
    ]


def _buds(found: list[Judged]) -> list[Figure]:
    every = sum(one.bud_count for one in found)
    at_side = sum(one.side_bud_count for one in found)
    seen = sum(one.side_bud_found_count for one in found)
    off = [error for one in found for error in one.bud_errors]
    return [
        Figure(what="buds at the side found", measured=100.0 * seen / at_side, unit="%"),
        Figure(what="buds at the side, of all", measured=100.0 * at_side / every, unit="%"),
        Figure(what="buds made up", unit="buds",
               measured=sum(one.false_bud_count for one in found)),
        Figure(what="bud place: 95 of 100 within",
               measured=float(np.percentile(off, 95)), unit="mm"),
    ]  # fmt: skip


if __name__ == "__main__":
    main()
