"""Compare the climate models with a folder of reference vectors, and time chill portions.

    python -m benchmarks.thermal FOLDER [--no-speed]

FOLDER holds any of the tables named in CHECKS; what is not there is passed over. Prints JSON: for
each figure the worst error, the tolerance, how many values were compared and whether all are
within; then bloom accuracy where FOLDER/accuracy has the records; then speed beside a plain loop.
"""

import argparse
import csv
import json
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from math import exp
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from graftwright.climate import (
    BloomForm,
    Cutoff,
    DegreeDayMethod,
    PercentileDefinition,
    PhenoFlexParameters,
    PlaceKind,
    SunForm,
    bench_graft_clock,
    callus_dates,
    chill_portions,
    chilling_hours,
    daylength_h,
    degree_days,
    fit_bloom,
    graft_temperatures,
    growing_degree_hours,
    hourly_from_daily,
    hourly_record,
    last_frosts,
    mended_days,
    percentiles,
    phenoflex,
    place_model,
    sun_times,
    utah_chill_units,
)

Row = dict[str, str]
Pair = tuple[str, float, float, float]  # what, ours, published, tolerance
WINTER_HOURS = 5832
WINTER_COUNT = 100
COUNTS: dict[str, tuple[Callable[..., NDArray[np.float64]], float]] = {
    "chilling_hours": (chilling_hours, 1e-9),
    "utah_units": (utah_chill_units, 1e-9),
    "chill_portions": (chill_portions, 1e-9),
    "gdh": (growing_degree_hours, 1e-8),
}
PARAMETERS = {
    "yc": "chill_need",
    "zc": "heat_need",
    "s1": "steepness",
    "Tu": "best_c",
    "Tb": "base_c",
    "Tc": "ceiling_c",
    "slope": "slope",
    "Tf": "tf_c",
    "E0": "e0_k",
    "E1": "e1_k",
    "A0": "a0",
    "A1": "a1_per_hour",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """The worst error of one figure; NaN where one side has a value and the other none."""

    file: str
    figure: str
    worst_error: float
    tolerance: float
    value_count: int
    within: bool


def rows_of(path: Path) -> list[Row]:
    """Read a table."""
    with path.open(newline="") as table:
        return list(csv.DictReader(table))


def number(text: str) -> float:
    """Read a cell; an empty one, or NA, is not-a-number."""
    return float(text) if text not in ("", "NA") else float("nan")


def column(rows: list[Row], name: str) -> NDArray[np.float64]:
    """Read a column."""
    return np.array([number(row[name]) for row in rows])


def grouped(rows: list[Row], name: str) -> dict[str, list[Row]]:
    """Rows by the value of one column."""
    groups: dict[str, list[Row]] = {}
    for row in rows:
        groups.setdefault(row[name], []).append(row)
    return groups


def running_counts(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Cumulative chill and heat over hourly series."""
    series = grouped(rows, "series") if "series" in rows[0] else {"": rows}
    for run in series.values():
        hours = column(run, "temp_C")
        for name, (count, tolerance) in COUNTS.items():
            for ours, published in zip(count(hours), column(run, name), strict=True):
                yield name, ours, published, tolerance


def constant_counts(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Cumulative chill and heat at a constant temperature."""
    for temperature, run in grouped(rows, "temp_C").items():
        after = column(run, "hours_elapsed").astype(int) - 1
        hours = np.full(int(after.max()) + 1, float(temperature))
        for name, (count, tolerance) in COUNTS.items():
            for ours, published in zip(count(hours)[after], column(run, name), strict=True):
                yield name, ours, published, tolerance


def single_hours(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Weights of single hours."""
    for row in rows:
        for name in ("chilling_hours", "utah_units", "gdh"):
            if name in row:
                ours = COUNTS[name][0]([float(row["temp_C"])])[0]
                yield name, ours, float(row[name]), 1e-12


def spencer_days(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Sunrise, sunset and daylength in the Spencer form."""
    for row in rows:
        day_number = int(row["day_of_year"])
        year = 2024 if day_number == 366 else 2023
        on = date(year, 1, 1) + timedelta(days=day_number - 1)
        sun = sun_times(float(row["latitude"]), on=on, form=SunForm.SPENCER)
        yield "daylength_h", sun.daylength_h, float(row["daylength_h"]), 1e-9
        for name, ours in (("sunrise_h", sun.sunrise_h), ("sunset_h", sun.sunset_h)):
            polar = abs(float(row[name])) == 99
            published = float("nan") if polar else float(row[name])
            yield name, float("nan") if ours is None else ours, published, 1e-9


def independent_days(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Daylength beside another algorithm. [minutes]"""
    for row in rows:
        on, latitude_deg = date.fromisoformat(row["date"]), float(row["latitude"])
        published = 60 * float(row["daylength_h_spa"])
        yield "meeus_minutes", 60 * daylength_h(latitude_deg, on=on), published, 0.5
        if abs(latitude_deg) <= 60:
            spencer = 60 * daylength_h(latitude_deg, on=on, form=SunForm.SPENCER)
            yield "spencer_minutes", spencer, published, 5.0


def _block_hours(rows: list[Row]) -> NDArray[np.float64]:
    first = rows[0]
    return hourly_from_daily(
        column(rows, "Tmin"),
        maximum_c=column(rows, "Tmax"),
        latitude_deg=float(first["latitude"]),
        first_day=date(int(first["Year"]), int(first["Month"]), int(first["Day"])),
        form=SunForm.SPENCER,
    ).reshape(-1, 24)


def continuous_hours(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Hours made from days, every one."""
    for block in grouped(rows, "block").values():
        for ours, row in zip(_block_hours(block), block, strict=True):
            for hour in range(24):
                yield "hourly_c", ours[hour], number(row[f"Hour_{hour}"]), 1e-9


def routine_hours(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Hours made from days, where the published routine is to be followed."""
    for block in grouped(rows, "block").values():
        hours = _block_hours(block)
        for day, row in enumerate(block[:-1]):
            if {float(row["Daylength"]), float(block[day + 1]["Daylength"])} & {0.0, 24.0}:
                continue
            for hour in range(24):
                if hour >= float(row["Sunrise"]):
                    yield "hourly_c", hours[day, hour], number(row[f"Hour_{hour}"]), 1e-9


def degree_day_rows(rows: list[Row], _: Path) -> Iterator[Pair]:
    """Degree-days of single days."""
    methods = {
        "single_sine_quadrature": DegreeDayMethod.SINGLE_SINE,
        "single_sine": DegreeDayMethod.SINGLE_SINE,
        "double_sine": DegreeDayMethod.DOUBLE_SINE,
        "simple_average": DegreeDayMethod.SIMPLE_AVERAGE,
        "simple_clamped": DegreeDayMethod.CLAMPED_AVERAGE,
    }
    for row in rows:
        upper_c = float(row["upper_C"]) if row["upper_C"] else None
        lows = [float(row["tmin_C"]), float(row["tmin_next_C"])]
        highs = [float(row["tmax_C"]), max(float(row["tmax_C"]), lows[1])]
        for name, method in methods.items():
            ours = degree_days(
                lows,
                maximum_c=highs,
                lower_c=float(row["lower_C"]),
                upper_c=upper_c,
                method=method,
                cutoff=Cutoff.HORIZONTAL if upper_c is None else Cutoff(row["cutoff"]),
            )
            yield name, float(ours[0]), float(row[name]), 1e-9


def phenoflex_rows(rows: list[Row], folder: Path) -> Iterator[Pair]:
    """PhenoFlex over the measured winter."""
    hours = column(rows_of(folder / "hourly_winter_measured.csv"), "temp_C")
    parameters = grouped(rows_of(folder / "phenoflex_params.csv"), "case")
    for case, run in grouped(rows, "case").items():
        named = {PARAMETERS[row["param"]]: float(row["value"]) for row in parameters[case]}
        ours = phenoflex(hours, parameters=PhenoFlexParameters(**named))
        at = column(run, "hour_index").astype(int)
        for name, values in (
            ("x", ours.intermediate),
            ("y", ours.portions),
            ("z", ours.heat_h),
        ):
            for mine, published in zip(values[at], column(run, name), strict=True):
                yield name, mine, published, 1e-9
        event = float("nan") if ours.event_hour_count is None else float(ours.event_hour_count)
        yield "event_hour", event, number(run[0]["first_hour_index_reaching_zc"]), 0.0


def clock_constant_rows(rows: list[Row], _: Path) -> Iterator[Pair]:
    """The bench-graft clock at constant temperature."""
    for row in rows:
        hours = np.full(24 * 700, float(row["temp_C"]))
        clock = bench_graft_clock(hours, bud_hourly_c=hours)
        moments = (clock.joined_h, clock.buds_move_h, clock.tie_h)
        names = ("joined_days", "buds_move_days", "tie_days")
        for name, moment_h in zip(names, moments, strict=True):
            ours = float("nan") if moment_h is None else moment_h / 24
            yield name, ours, number(row[name]), 1e-6


def clock_series_rows(rows: list[Row], folder: Path) -> Iterator[Pair]:
    """The bench-graft clock over measured hours."""
    for row in rows:
        hours = column(rows_of(folder / f"{row['series']}.csv"), "temp_C")
        hours = hours[int(row["start_hour_index"]) :]
        mean = hours.mean()
        shaped = mean + float(row["damping"]) * (hours - mean) + float(row["offset_C"])
        clock = bench_graft_clock(shaped, bud_hourly_c=shaped)
        moments = (clock.joined_h, clock.buds_move_h, clock.tie_h)
        names = ("joined_hours", "buds_move_hours", "tie_hours")
        for name, moment_h in zip(names, moments, strict=True):
            ours = float("nan") if moment_h is None else moment_h
            yield name, ours, number(row[name]), 1e-6


def frost_rows(rows: list[Row], folder: Path) -> Iterator[Pair]:
    """Percentiles of the last frost by both definitions."""
    years = rows_of(folder / "frost_last_day_of_year.csv")
    columns = {"le_0": "last_tmin_le_0", "le_minus2_2": "last_tmin_le_minus2_2"}
    percents = column(rows, "percentile").tolist()
    for short, name in columns.items():
        values = [float(year[name]) for year in years if year[name]]
        for definition in PercentileDefinition:
            ours = percentiles(values, percents=percents, definition=definition)
            figure = f"{short}_{definition.value}"
            for mine, published in zip(ours, column(rows, figure), strict=True):
                yield figure, mine, published, 1e-9


CHECKS: dict[str, Callable[[list[Row], Path], Iterator[Pair]]] = {
    "hourly_constant.csv": constant_counts,
    "hourly_thresholds.csv": single_hours,
    "hourly_cycles.csv": running_counts,
    "hourly_winter_measured.csv": running_counts,
    "daylength.csv": spencer_days,
    "daylength_independent.csv": independent_days,
    "daily_to_hourly_continuous.csv": continuous_hours,
    "daily_to_hourly_r_package.csv": routine_hours,
    "degree_days.csv": degree_day_rows,
    "phenoflex.csv": phenoflex_rows,
    "clock_constant.csv": clock_constant_rows,
    "clock_series.csv": clock_series_rows,
    "accuracy/frost_percentiles.csv": frost_rows,
}


def worst_errors(folder: Path) -> list[Worst]:
    """The worst error of every figure of every table the folder holds."""
    found = []
    for name, check in CHECKS.items():
        path = folder / name
        if path.exists():
            pairs: dict[tuple[str, float], list[float]] = {}
            for figure, ours, published, tolerance in check(rows_of(path), path.parent):
                both_empty = np.isnan(ours) and np.isnan(published)
                error = 0.0 if both_empty else abs(float(ours) - float(published))
                pairs.setdefault((figure, tolerance), []).append(error)
            found += [_worst(name, *key, errors) for key, errors in pairs.items()]
    return found


def _worst(file: str, figure: str, tolerance: float, errors: list[float]) -> Worst:
    worst = float(np.max(errors))
    return Worst(
        file=file,
        figure=figure,
        worst_error=worst,
        tolerance=tolerance,
        value_count=len(errors),
        within=bool(worst <= tolerance),
    )


def bloom_accuracy(folder: Path) -> list[dict[str, object]]:
    """Root mean square error of bloom with each year left out, beside the calendar's. [days]"""
    records = sorted(folder.glob("accuracy/klein_altendorf_daily_*.csv"))
    blooms = sorted(folder.glob("accuracy/klein_altendorf_bloom_*.csv"))
    if not records or not blooms:
        return []
    days = rows_of(records[0])
    mended = mended_days(
        [date.fromisoformat(row["date"]) for row in days],
        minimum_c=column(days, "tmin_C").tolist(),
        maximum_c=column(days, "tmax_C").tolist(),
        latitude_deg=50.6,
    )
    hours = hourly_record(mended.record)
    answers: list[dict[str, object]] = [
        {
            "swapped_days": mended.report.swapped_day_count,
            "springs_with_frost": sum(
                frost.last_on is not None for frost in last_frosts(mended.record)
            ),
        }
    ]
    for crop, rows in grouped(rows_of(blooms[0]), "crop").items():
        for stage in ("first_bloom", "full_bloom"):
            dates = [date.fromisoformat(row[stage]) for row in rows if row[stage]]
            for form in BloomForm:
                model = fit_bloom(hours, blooms=dates, latitude_deg=50.6, form=form)
                answers.append(
                    {
                        "crop": crop,
                        "stage": stage,
                        "form": form.value,
                        "winters": len(model.checks),
                        "error_days": round(model.error_days, 2),
                        "calendar_error_days": round(model.calendar_error_days, 2),
                    }
                )
    return answers


def plain_portions(hours: list[float]) -> float:
    """The Dynamic Model as its papers write it, hour by hour: the baseline of the timing."""
    level = portions = 0.0
    for temperature_c in hours:
        kelvin = temperature_c + 273.0
        target = 139500.0 / 2.567e18 * exp((12888.8 - 4153.5) / kelvin)
        level = target - (target - level) * exp(-2.567e18 * exp(-12888.8 / kelvin))
        if level >= 1.0:
            power = exp(1.6 * 277.0 * (kelvin - 277.0) / kelvin)
            gain = power / (1.0 + power) * level
            portions += gain
            level -= gain
    return portions


def speed() -> dict[str, float]:
    """Milliseconds of processor time, ours beside the plain way of doing the same."""
    chance = np.random.default_rng(1)
    hour = np.arange(WINTER_HOURS)
    season = 6.0 - 7.0 * np.sin(np.pi * hour / WINTER_HOURS) + 4.0 * np.sin(2 * np.pi * hour / 24)
    winters = season + chance.normal(0.0, 2.0, (WINTER_COUNT, WINTER_HOURS))
    ours = min(_seconds(lambda: chill_portions(winters)) for _ in range(5))
    lists = winters.tolist()
    plain = min(_seconds(lambda: [plain_portions(row) for row in lists]) for _ in range(2))
    dates, clocks = _dating_seconds(winters[:30])
    return {
        "callus_dates_30_years_200_draws_ms": round(1000 * dates, 1),
        "clock_run_for_each_draw_ms": round(1000 * clocks, 1),
        "chill_portions_100_winters_ms": round(1000 * ours, 1),
        "plain_loop_100_winters_ms": round(1000 * plain, 1),
        "times_faster_than_plain_loop": round(plain / ours, 2),
    }


def _dating_seconds(outdoor: NDArray[np.float64]) -> tuple[float, float]:
    """One batch dated, and what running the clock anew for each of its draws would take."""
    hours = graft_temperatures(outdoor[:, :4320], model=place_model(PlaceKind.COLD_GREENHOUSE))
    dates = min(
        _seconds(lambda: callus_dates(hours, grafted_on=date(2026, 2, 20), seed=1))
        for _ in range(3)
    )
    once = _seconds(lambda: [bench_graft_clock(row, bud_hourly_c=row) for row in hours.union_c])
    return dates, 200 * once


def _seconds(work: Callable[[], object]) -> float:
    """Processor time: all of this runs in one thread, and the machine may be shared."""
    started = time.process_time()
    work()
    return time.process_time() - started


def main() -> int:
    """Print everything as JSON; exit 1 if a figure is outside its tolerance."""
    reader = argparse.ArgumentParser(description="Compare climate models with reference vectors.")
    reader.add_argument("folder", type=Path)
    reader.add_argument("--no-speed", action="store_true")
    chosen = reader.parse_args()
    if not chosen.folder.is_dir():
        print(f"found no folder {chosen.folder}; a folder of tables was expected", file=sys.stderr)
        return 2
    errors = worst_errors(chosen.folder)
    answer = {
        "worst_errors": [asdict(worst) for worst in errors],
        "all_within": all(worst.within for worst in errors),
        "bloom": bloom_accuracy(chosen.folder),
        "speed": None if chosen.no_speed else speed(),
    }
    print(json.dumps(answer, indent=1))
    return 0 if answer["all_within"] else 1


if __name__ == "__main__":
    raise SystemExit(main())
