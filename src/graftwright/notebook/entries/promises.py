"""Entries about promises: who wants which trees, and which trees they got."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import told


def _check_promise(wanted_count: int | None, sureness_fraction: float | None) -> None:
    if wanted_count is not None and wanted_count < 1:
        raise OutOfRange(
            told(
                "{wanted_count} trees wanted; a promise is for at least one tree",
                wanted_count=wanted_count,
            )
        )
    if sureness_fraction is not None and not 0.0 < sureness_fraction < 1.0:
        raise OutOfRange(
            told(
                "sureness {sureness_fraction}; it lies between 0 and 1, such as 0.9 "
                "for nine in ten",
                sureness_fraction=sureness_fraction,
            )
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseMade(Entry):
    """Someone was promised trees of one variety on one kind of stock."""

    code: str
    who: str
    variety: str
    stock: str
    wanted_count: int
    sureness_fraction: float = 0.9
    priority: int = 2
    due_on: date | None = None
    second_choice: str = ""
    spot: str = ""

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        _check_promise(self.wanted_count, self.sureness_fraction)
        if self.priority not in (1, 2, 3):
            raise OutOfRange(
                told("priority {priority}; it is 1 (first), 2 or 3 (last)", priority=self.priority)
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseChanged(Entry):
    """A promise changed; a field left at None stays as it was."""

    code: str
    who: str | None = None
    variety: str | None = None
    stock: str | None = None
    wanted_count: int | None = None
    sureness_fraction: float | None = None
    priority: int | None = None
    due_on: date | None = None
    second_choice: str | None = None
    spot: str | None = None

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        _check_promise(self.wanted_count, self.sureness_fraction)


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseWithdrawn(Entry):
    """A promise was given up, by either side."""

    code: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeAllocated(Entry):
    """Living trees were set aside for a promise; an empty promise code frees them again."""

    tree_codes: tuple[str, ...]
    promise_code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeHandedOver(Entry):
    """Trees left the nursery."""

    tree_codes: tuple[str, ...]
    promise_code: str = ""
    to_whom: str = ""
