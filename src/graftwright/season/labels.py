"""Which code was printed for which graft of the plan, so that the bench finds its labels again."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from graftwright.season.planned import Join


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedLabel:
    """One label as it was printed: its code and the graft it was printed for."""

    code: str
    run_number: int
    bundle_code: str
    lot_code: str
    promise_code: str


def label_of(join: Join, code: str) -> PrintedLabel:
    """Return the label of a planned graft."""
    return PrintedLabel(
        code=code,
        run_number=join.run_number,
        bundle_code=join.bundle_code,
        lot_code=join.lot_code,
        promise_code=join.promise_code,
    )


def labels_at_bench(
    labels: Sequence[PrintedLabel],
    *,
    bundle_code: str,
    lot_code: str,
    is_used: Callable[[str], bool],
    promise_code: str = "",
    run_number: int = 0,
) -> tuple[PrintedLabel, ...]:
    """Return the labels that lie ready for a run, those of its own number and promise first.

    Labels of other runs of the same bundle and lot follow: they may be borrowed. A code that a
    tree bears already is left out.
    """
    ready = [
        label
        for label in labels
        if (label.bundle_code, label.lot_code) == (bundle_code, lot_code)
        and not is_used(label.code)
    ]
    ready.sort(
        key=lambda label: (
            run_number not in (0, label.run_number),
            promise_code not in ("", label.promise_code),
        )
    )
    return tuple(ready)
