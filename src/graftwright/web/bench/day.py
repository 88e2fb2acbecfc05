"""A day at the bench as it stands: its runs, which bundle lies open, whose labels are counted."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from graftwright.notebook.entries import LabelsCounted, RunGrafted, Written
from graftwright.store.read import counted_on


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleCount:
    """Grafts of a bundle on the day against the labels counted; None while not counted."""

    bundle_code: str
    graft_count: int
    labels_used: int | None
    labels_left_over: int = 0

    @property
    def is_open(self) -> bool:
        """Whether its labels are still to be counted."""
        return self.labels_used is None

    @property
    def disagrees(self) -> bool:
        """Whether as many labels were used as grafts made."""
        return self.labels_used is not None and self.labels_used != self.graft_count


@dataclass(frozen=True, slots=True, kw_only=True)
class RunMade:
    """A run of the day."""

    entry_id: UUID
    run: RunGrafted


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """The runs of one day in order, and the count of each bundle."""

    on: date
    runs: tuple[RunMade, ...]
    counts: tuple[BundleCount, ...]

    @property
    def graft_count(self) -> int:
        """Grafts made on the day."""
        return sum(len(made.run.tree_codes) for made in self.runs)

    @property
    def open_count(self) -> BundleCount | None:
        """The bundle that lies open: grafted from and its labels not yet counted."""
        return next((one for one in reversed(self.counts) if one.is_open), None)

    @property
    def last(self) -> RunMade | None:
        """The last run."""
        return self.runs[-1] if self.runs else None

    @property
    def quarrels(self) -> tuple[BundleCount, ...]:
        """Bundles whose labels are not counted or do not agree."""
        return tuple(one for one in self.counts if one.is_open or one.disagrees)


def bench_acts(on: date) -> list[Written]:
    """Return the runs and counts of labels of a day that count, in their order."""
    return counted_on(on, "RunGrafted", "LabelsCounted")


def bench_day(on: date) -> Day:
    """Return the day at the bench from what counts of it."""
    written = bench_acts(on)
    runs = tuple(
        RunMade(entry_id=one.entry_id, run=one.entry)
        for one in written
        if isinstance(one.entry, RunGrafted)
    )
    return Day(on=on, runs=runs, counts=_counts(written))


def _counts(written: Sequence[Written]) -> tuple[BundleCount, ...]:
    """Return each bundle's count; grafting on from a counted bundle opens it again."""
    found: dict[str, BundleCount] = {}
    for one in written:
        match one.entry:
            case RunGrafted(bundle_code=code, tree_codes=codes):
                before = found.pop(code, None)
                made = before.graft_count if before else 0
                found[code] = BundleCount(
                    bundle_code=code, graft_count=made + len(codes), labels_used=None
                )
            case LabelsCounted(bundle_code=code) as counted if code in found:
                found[code] = BundleCount(
                    bundle_code=code,
                    graft_count=found[code].graft_count,
                    labels_used=counted.used_count,
                    labels_left_over=counted.left_over_count,
                )
            case _:
                pass
    return tuple(found.values())
