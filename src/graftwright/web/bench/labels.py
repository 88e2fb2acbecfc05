"""Which codes a run takes: those of the labels printed for its bundle and lot, then new ones."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from graftwright.season.planned import Plan, Run
from graftwright.store.codes import next_codes
from graftwright.store.labels import codes_at_bench, printed_labels


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedRun:
    """What a run's labels are found by."""

    bundle_code: str
    lot_code: str
    promise_code: str
    graft_count: int


def asked_run(data: Mapping[str, object], run: Run | None) -> AskedRun:
    """Return what is asked for: the form's own words, the planned run's promise where none is."""
    return AskedRun(
        bundle_code=str(data["bundle"]),
        lot_code=str(data["lot"]),
        promise_code=str(data["promise"] or (run.promise_code if run else "")),
        graft_count=int(str(data["how_many"])),
    )


def labels_ready(asked: AskedRun, season: int) -> tuple[str, ...]:
    """Return the printed labels that lie ready for a run, at most one a graft.

    Runs are numbered anew whenever the plan is, so labels are found by bundle, lot and promise.
    """
    return codes_at_bench(
        season,
        bundle_code=asked.bundle_code,
        lot_code=asked.lot_code,
        promise_code=asked.promise_code,
        count=asked.graft_count,
    )


def codes_for_run(asked: AskedRun, season: int, *, today: date) -> tuple[str, ...]:
    """Return a code for each graft; where no label was printed, one that stands on no label."""
    ready = labels_ready(asked, season)
    missing = asked.graft_count - len(ready)
    if missing <= 0:
        return ready
    printed = {label.code for label in printed_labels(season)}
    new = next_codes(missing, device=f"labels {season}", today=today, without=printed)
    return (*ready, *new)


def planned_run(
    plan: Plan | None, *, bundle_code: str, lot_code: str, promise_code: str
) -> Run | None:
    """Return the planned run of this bundle on this lot, of this promise if one is named."""
    for run in plan.runs if plan else ():
        same = run.bundle_code == bundle_code and run.lot_code == lot_code
        if same and promise_code in ("", run.promise_code):
            return run
    return None
