"""Bench days as the page shows them: each with its runs in working order."""

from dataclasses import dataclass

from graftwright.season.planned import BenchDay, Plan, Run


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAtBench:
    """One bench day and its runs; without a day, the runs that no day has room for."""

    bench_day: BenchDay | None
    runs: tuple[Run, ...]

    @property
    def graft_count(self) -> int:
        """Grafts of all its runs."""
        return sum(run.graft_count for run in self.runs)


def days_at_bench(plan: Plan) -> tuple[DayAtBench, ...]:
    """Return the days that have runs, in order; then the runs left over."""
    runs = {run.number: run for run in plan.runs}
    days = [
        DayAtBench(
            bench_day=day,
            runs=tuple(runs.pop(number) for number in day.run_numbers if number in runs),
        )
        for day in plan.bench_days
    ]
    left_over = DayAtBench(bench_day=None, runs=tuple(runs.values()))
    return tuple(day for day in (*days, left_over) if day.runs)
