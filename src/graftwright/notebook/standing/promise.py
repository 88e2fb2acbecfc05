"""A promise as it stands."""

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from datetime import date

from graftwright.notebook.entries import (
    PromiseChanged,
    PromiseMade,
    PromiseWithdrawn,
    TreeAllocated,
    TreeHandedOver,
    Written,
)
from graftwright.notebook.entries.entry import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """Who is promised how many of what, by when, and what they got so far."""

    code: str
    who: str
    variety: str
    stock: str
    wanted_count: int
    made_on: date
    sureness_fraction: float = 0.9
    priority: int = 2
    due_on: date | None = None
    second_choice: str = ""
    spot: str = ""
    allocated_codes: tuple[str, ...] = ()
    handed_over_codes: tuple[str, ...] = ()
    withdrawn_on: date | None = None
    doubts: tuple[str, ...] = ()

    @property
    def open_count(self) -> int:
        """Trees still to come: wanted, less those set aside or handed over."""
        if self.withdrawn_on is not None:
            return 0
        served = set(self.allocated_codes) | set(self.handed_over_codes)
        return max(0, self.wanted_count - len(served))


def fold_promise(code: str, written: Iterable[Written]) -> Promise | None:
    """Return the promise as its entries leave it; None if it was never made."""
    story = list(written)
    made = next((one.entry for one in story if isinstance(one.entry, PromiseMade)), None)
    if made is None:
        return None
    promise = Promise(
        code=code,
        who=made.who,
        variety=made.variety,
        stock=made.stock,
        wanted_count=made.wanted_count,
        made_on=made.happened_on,
        sureness_fraction=made.sureness_fraction,
        priority=made.priority,
        due_on=made.due_on,
        second_choice=made.second_choice,
        spot=made.spot,
    )
    for one in story:
        promise = _after(promise, one.entry)
    return promise


def _after(promise: Promise, entry: Entry) -> Promise:
    match entry:
        case PromiseChanged():
            known = {field.name for field in fields(PromiseChanged)} - {
                "code",
                "happened_on",
                "happened_at",
            }
            values = {name: getattr(entry, name) for name in known}
            return replace(promise, **{k: v for k, v in values.items() if v is not None})
        case PromiseWithdrawn():
            return replace(promise, withdrawn_on=entry.happened_on)
        case TreeAllocated():
            return _allocated(promise, entry)
        case TreeHandedOver():
            codes = tuple(dict.fromkeys((*promise.handed_over_codes, *entry.tree_codes)))
            return replace(promise, handed_over_codes=codes)
        case _:
            return promise


def _allocated(promise: Promise, entry: TreeAllocated) -> Promise:
    if entry.promise_code != promise.code:
        gone = set(entry.tree_codes)
        kept = tuple(code for code in promise.allocated_codes if code not in gone)
        return replace(promise, allocated_codes=kept)
    codes = tuple(dict.fromkeys((*promise.allocated_codes, *entry.tree_codes)))
    return replace(promise, allocated_codes=codes)
