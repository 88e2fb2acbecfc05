"""Labels as they were printed for a season, kept so that the bench finds them again."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from uuid import uuid4

from graftwright.notebook.written import from_plain, plain
from graftwright.season.labels import PrintedLabel, label_of, labels_at_bench
from graftwright.season.planned import Plan
from graftwright.store.codes import next_codes
from graftwright.store.forecasts import keep_forecast
from graftwright.store.in_turn import in_turn
from graftwright.store.models import PlanKept, Standing

_KIND = "labels"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Printed:
    labels: tuple[PrintedLabel, ...]


def print_labels(plan: Plan, *, today: date) -> tuple[str, ...]:
    """Return a code for each graft of the plan in working order, and keep which is for which.

    A graft of the same bundle, lot and promise gets the code it had on an earlier printing, as
    long as no tree bears it; other codes printed and not used are given out again. Labels are what
    a plan is acted upon by, so what it foretells is kept as well.
    """
    with in_turn():
        return _print(plan, today)


def _print(plan: Plan, today: date) -> tuple[str, ...]:
    keep_forecast(plan)
    before = printed_labels(plan.season)
    free = [label for label in before if not _is_used(label.code)]
    codes = _codes_for(plan, free, today)
    labels = tuple(label_of(join, code) for code, join in zip(codes, plan.joins, strict=True))
    spare = [label for label in free if label.code not in set(codes)]
    if (*labels, *spare) != before:
        PlanKept.objects.create(
            kept_id=uuid4(),
            kept_at=datetime.now(UTC),
            season=plan.season,
            kind=_KIND,
            body=plain(_Printed(labels=(*labels, *spare))),
        )
    return codes


def _codes_for(plan: Plan, free: Sequence[PrintedLabel], today: date) -> tuple[str, ...]:
    waiting: dict[tuple[str, str, str], list[str]] = {}
    for label in free:
        key = (label.bundle_code, label.lot_code, label.promise_code)
        waiting.setdefault(key, []).append(label.code)
    keys = [(join.bundle_code, join.lot_code, join.promise_code) for join in plan.joins]
    kept = [waiting[key].pop(0) if waiting.get(key) else "" for key in keys]
    missing = kept.count("")
    left = [code for codes in waiting.values() for code in codes][:missing]
    new = next_codes(
        missing - len(left),
        device=f"labels {plan.season}",
        today=today,
        without={label.code for label in free},
    )
    others = iter([*left, *new])
    return tuple(code or next(others) for code in kept)


def printed_labels(season: int) -> tuple[PrintedLabel, ...]:
    """Return the labels of the last printing of a season, in working order."""
    row = PlanKept.objects.filter(season=season, kind=_KIND).order_by("-kept_at").first()
    return from_plain(_Printed, row.body).labels if row else ()


def codes_at_bench(
    season: int,
    *,
    bundle_code: str,
    lot_code: str,
    count: int,
    promise_code: str = "",
    run_number: int = 0,
) -> tuple[str, ...]:
    """Return the printed codes that lie ready for a run, at most `count`, none used yet."""
    ready = labels_at_bench(
        printed_labels(season),
        bundle_code=bundle_code,
        lot_code=lot_code,
        is_used=_is_used,
        promise_code=promise_code,
        run_number=run_number,
    )
    return tuple(label.code for label in ready[:count])


def _is_used(code: str) -> bool:
    return Standing.objects.filter(kind="tree", key=code).exists()
