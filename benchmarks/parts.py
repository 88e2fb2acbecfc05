"""The parts that are measured: a module with its arguments, its time limit, how it is read."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from benchmarks import reading
from benchmarks.figures import Figure
from benchmarks.results import as_rows

GROWTH = "growth "
PUBLISHED = Path("tests/published")
_LOSSES = PUBLISHED / "losses"
_WOOD = PUBLISHED / "wood"
_DATASETS = 3
MILLION = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One module with its arguments, and how what it prints is read as rows to keep.

    `limit_s` is the time after which it is stopped [s]; the long ones `--quick` leaves out.
    """

    name: str
    module: str
    arguments: tuple[str, ...] = ("--json",)
    read: Callable[[str], list[Figure]] = reading.figures
    limit_s: float = 300.0
    is_long: bool = False

    def rows(self, text: str) -> list[dict[str, Any]]:
        """Read what it printed."""
        if self.name.startswith(GROWTH):
            rows: list[dict[str, Any]] = json.loads(text)
            return rows
        return as_rows(self.read(text))


def parts(scratch: Path, long_record: Path | None = None) -> tuple[Part, ...]:
    """Every part, short ones first; answers that go to a file go to `scratch`.

    `long_record` is the folder of the record of sixty springs, where it is at hand.
    """
    return (
        *_losses(scratch),
        *_wood(),
        *_climate(long_record),
        *_program(),
        *_growth(),
        *_long(),
    )


def _losses(scratch: Path) -> tuple[Part, ...]:
    joint = (_LOSSES / "joint_lines.csv", _LOSSES / "joint_limits.csv")
    return (
        *(
            Part(
                name=f"sizing {kind}",
                module="sizing",
                arguments=(str(_LOSSES / f"sizing_{kind}.csv"),),
                read=partial(reading.sizing, kind=kind),
                limit_s=60,
            )
            for kind in ("single", "chain")
        ),
        Part(
            name="take",
            module="take",
            arguments=(
                str(_first_datasets(_LOSSES / "sim_dev_counts.csv", scratch)),
                "--out",
                str(scratch / "take.csv"),
                "--speed",
            ),
            read=reading.take,
        ),
        Part(name="cover", module="cover", limit_s=600),
        Part(
            name="seasons",
            module="seasons",
            arguments=("--json", "--picture", str(scratch / "seasons.svg")),
        ),
        Part(name="beliefs", module="beliefs", arguments=("--json", "--nurseries", "10")),
        Part(name="trials", module="trials"),
        Part(
            name="joint",
            module="joint",
            arguments=(*map(str, joint), "--large", "--seconds", "5"),
            read=reading.joint,
        ),
    )


def _wood() -> tuple[Part, ...]:
    instances = sorted(_WOOD.glob("small_*.json")) + sorted(_WOOD.glob("medium_*.json"))
    return (
        Part(
            name="cutting",
            module="cutting",
            arguments=tuple(map(str, instances)),
            read=reading.cutting_instances,
        ),
        *(
            Part(
                name=f"cutting {size}",
                module="cutting",
                arguments=("--sizes", size, "--plain"),
                read=reading.cutting,
                limit_s=limit_s,
            )
            for size, limit_s in (("200/500", 120), ("2000/5000", 600))
        ),
        Part(
            name="cutting error",
            module="cutting_error",
            arguments=tuple(map(str, instances[:1])),
            read=reading.cutting_error,
        ),
        Part(name="geometry", module="geometry", arguments=(str(_WOOD),), read=reading.geometry),
        Part(name="labels", module="labels", arguments=(), read=reading.labels),
        Part(
            name="vigour",
            module="vigour",
            arguments=("src/graftwright/data/rootstock_trials.csv",),
            read=reading.vigour,
        ),
    )


def _climate(long_record: Path | None) -> tuple[Part, ...]:
    longer = ("--long", str(long_record)) if long_record else ()
    return (
        Part(
            name="thermal",
            module="thermal",
            arguments=(str(PUBLISHED / "climate"),),
            read=reading.thermal,
        ),
        Part(name="blooms", module="blooms", arguments=("--json", *longer)),
    )


def _program() -> tuple[Part, ...]:
    return (
        Part(name="plan", module="plan"),
        Part(name="starting", module="starting"),
        Part(name="pages", module="pages"),
        Part(name="entries", module="entries"),
        Part(name="phones", module="phones"),
        Part(name="scheme", module="scheme"),
        Part(name="on server", module="on_server"),
    )


def _growth() -> tuple[Part, ...]:
    kinds = {"chill": 200, "joint": 120, "labels": 300, "take": 200, "cutting": 200}
    return (
        *(
            Part(
                name=f"{GROWTH}{kind}", module="growth", arguments=("--only", kind), limit_s=limit_s
            )
            for kind, limit_s in kinds.items()
        ),
        Part(
            name="notebook",
            module="million",
            arguments=("--sizes", "100", "1000", "10000", "100000"),
            read=reading.million,
            limit_s=600,
        ),
    )


def _long() -> tuple[Part, ...]:
    return (
        Part(
            name="cutting 20000/50000",
            module="cutting",
            arguments=("--sizes", "20000/50000"),
            read=reading.cutting,
            limit_s=1_800,
            is_long=True,
        ),
        Part(
            name="million",
            module="million",
            arguments=("--sizes", str(MILLION)),
            read=reading.million,
            limit_s=2_400,
            is_long=True,
        ),
        Part(
            name="phones of a million",
            module="phones",
            arguments=("--json", "--size", str(MILLION)),
            limit_s=1_800,
            is_long=True,
        ),
    )


def _first_datasets(path: Path, scratch: Path) -> Path:
    """Copy the first few data sets of a file of counts; all of them take minutes."""
    head, *rows = path.read_text(encoding="utf-8").splitlines()
    wanted = list(dict.fromkeys(row.split(",")[0] for row in rows))[:_DATASETS]
    kept = [row for row in rows if row.split(",")[0] in wanted]
    short = scratch / path.name
    short.write_text("\n".join([head, *kept]) + "\n", encoding="utf-8")
    return short
