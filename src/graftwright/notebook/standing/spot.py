"""A spot as last described, and the names and rights that people wrote down."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from graftwright.notebook.entries import (
    LeaveRecorded,
    NamesJoined,
    NamesParted,
    RightsRecorded,
    SpotDescribed,
    Written,
)
from graftwright.notebook.entries.entry import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place where somebody wants a tree, as it was last described."""

    key: str
    described: SpotDescribed


def fold_spot(key: str, written: Iterable[Written]) -> Spot | None:
    """Return the spot as last described; None if it never was."""
    latest: Spot | None = None
    for one in written:
        if isinstance(one.entry, SpotDescribed) and one.entry.spot_key == key:
            latest = Spot(key=key, described=one.entry)
    return latest


@dataclass(frozen=True, slots=True, kw_only=True)
class NamesAndRights:
    """Names said to be one, rights looked up, and leave given; in the order written."""

    joined: tuple[NamesJoined, ...] = ()
    rights: tuple[RightsRecorded, ...] = ()
    leave: tuple[LeaveRecorded, ...] = ()


def fold_names(written: Iterable[Written]) -> NamesAndRights:
    """Return the names and rights as they stand; a parted name is joined no longer."""
    names = NamesAndRights()
    for one in written:
        names = _after(names, one.entry)
    return names


def _after(names: NamesAndRights, entry: Entry) -> NamesAndRights:
    match entry:
        case NamesJoined():
            others = _without(names.joined, entry.joined)
            return replace(names, joined=(*others, entry))
        case NamesParted():
            return replace(names, joined=_without(names.joined, entry.joined))
        case RightsRecorded():
            return replace(names, rights=(*names.rights, entry))
        case LeaveRecorded():
            return replace(names, leave=(*names.leave, entry))
        case _:
            return names


def _without(joined: tuple[NamesJoined, ...], name: str) -> tuple[NamesJoined, ...]:
    return tuple(one for one in joined if one.joined.casefold() != name.casefold())
