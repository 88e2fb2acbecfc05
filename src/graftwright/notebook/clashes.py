"""Every clash about a key, found from its counting entries alone: the same in every copy.

What one hand writes in turn is a change of mind. What two hands decide differently within a short
time hides one of the two decisions, so both are shown.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import fields, replace
from itertools import pairwise

from graftwright.notebook.clash import (
    APART_DAYS,
    Clash,
    ClashSort,
    hand,
    settled_differently,
    unsettled,
)
from graftwright.notebook.clashes_of_material import clashes_of_bundle, clashes_of_lot
from graftwright.notebook.clashes_of_trees import clashes_of_tree
from graftwright.notebook.entries import (
    ClashSettled,
    MotherTreeEntered,
    NameDecided,
    PermissionRecorded,
    PlaceEntered,
    PracticeSet,
    PromiseChanged,
    PromiseMade,
    PromiseWithdrawn,
    RunGrafted,
    StocksArrived,
    StocksAsked,
    StocksOffered,
    TreeAllocated,
    TreeHandedOver,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Thing
from graftwright.notebook.standing import Bundle, MotherTree, Place, Promise, StockLot, Tree
from graftwright.tongue import told

_Named = Callable[[Entry], object]
_MAKERS = frozenset(
    {
        MotherTreeEntered,
        PlaceEntered,
        PromiseMade,
        RunGrafted,
        StocksArrived,
        StocksAsked,
        StocksOffered,
        WoodCut,
    }
)


def clashes_at(key: str, story: Sequence[Written], things: Mapping[str, Thing]) -> list[Clash]:
    """Return what contradicts itself at a key and is not settled.

    `story` are the counting entries as settled, in replay order; `things` is what they come to.
    """
    if len(story) < 2:
        return []
    found = [*_code_twice(key, story), *_hidden(key, story, things)]
    for thing in things.values():
        if isinstance(thing, Tree):
            found += clashes_of_tree(key, story)
        elif isinstance(thing, Bundle):
            found += clashes_of_bundle(thing, story)
        elif isinstance(thing, StockLot):
            found += clashes_of_lot(thing, story)
        elif isinstance(thing, Promise):
            found += _withdrawn_and_served(thing, story)
    if ClashSettled not in {type(one.entry) for one in story}:
        return found
    return unsettled([*found, *settled_differently(key, story)], story)


def doubted_things(things: dict[str, Thing], clashes: Sequence[Clash]) -> dict[str, Thing]:
    """Return the things with every clash among their doubts, each once."""
    return {kind: _doubted(thing, clashes) for kind, thing in things.items()}


def _doubted(thing: Thing, clashes: Sequence[Clash]) -> Thing:
    if not isinstance(thing, Tree | Bundle | StockLot | MotherTree | Promise):
        return thing
    new = [clash.words for clash in clashes if clash.words not in thing.doubts]
    return replace(thing, doubts=(*thing.doubts, *dict.fromkeys(new)))


def _maker_of(key: str, one: Written) -> str:
    """Return what an entry gives this code to, never shown; empty if it gives it to nothing."""
    entry = one.entry
    match entry:
        case RunGrafted() if key in entry.tree_codes:
            return f"tree {one.entry_id}"  # not said
        case WoodCut() | MotherTreeEntered() | PromiseMade() if entry.code == key:
            return f"{type(entry).__name__} {one.entry_id}"
        case StocksOffered() | StocksArrived() if entry.code == key:
            return f"lot {entry.grade.stock}" if entry.grade else "lot"  # not said
        case StocksAsked() if entry.code == key:
            return "lot"
        case PlaceEntered() if entry.code == key:
            return "place"
        case _:
            return ""


def _code_twice(key: str, story: Sequence[Written]) -> Iterator[Clash]:
    making = [one for one in story if type(one.entry) in _MAKERS]
    if len(making) < 2:
        return
    makers: dict[str, Written] = {}
    for one in making:
        if made := _maker_of(key, one):
            makers.setdefault(made, one)
    if len(makers) > 1 and any(name.startswith("lot ") for name in makers):  # not said
        makers.pop("lot", None)
    if len(makers) > 1:
        ordered = sorted(makers.values(), key=Written.order)
        yield Clash(
            key=key,
            sort=ClashSort.CODE_TWICE,
            sides=tuple(ordered),
            words=told("code {key} was given {count} times", key=key, count=len(makers)),
        )


def _hidden(key: str, story: Sequence[Written], things: Mapping[str, Thing]) -> Iterator[Clash]:
    """Yield later decisions of another hand that hide an earlier one."""
    if "mother tree" in things:
        yield from _differing(key, story, NameDecided, ("variety",), ClashSort.TWO_NAMES)
        yield from _differing(key, story, PermissionRecorded, ("granted",), ClashSort.PERMISSION)
    if "promise" in things:
        names = tuple(f.name for f in fields(PromiseChanged) if f.name not in _NOT_OF_PROMISE)
        yield from _differing(key, story, PromiseChanged, names, ClashSort.PROMISE_CHANGED)
    if any(isinstance(thing, Place) for thing in things.values()):
        names = ("name", "place_kind", "capacity_count")
        yield from _differing(key, story, PlaceEntered, names, ClashSort.PLACE_CHANGED)
    if "nursery" in things:
        set_here = [one.entry for one in story if isinstance(one.entry, PracticeSet)]
        for practice in dict.fromkeys(entry.practice for entry in set_here):
            mine = [one for one in story if getattr(one.entry, "practice", "") == practice]
            yield from _differing(key, mine, PracticeSet, ("value",), ClashSort.PRACTICE_CHANGED)


_NOT_OF_PROMISE = ("code", "happened_on", "happened_at")


def _differing(
    key: str, story: Sequence[Written], kind: type[Entry], names: Sequence[str], sort: ClashSort
) -> Iterator[Clash]:
    decided = [one for one in story if isinstance(one.entry, kind)]
    for name in names:
        said = [one for one in decided if getattr(one.entry, name) is not None]
        for one, other in pairwise(said):
            before, after = getattr(one.entry, name), getattr(other.entry, name)
            days = (other.entry.happened_on - one.entry.happened_on).days
            if before != after and _may_be_apart(one, other, sort) and days <= APART_DAYS:
                words = told(
                    "{sort}: {shown}, then {shown_2}",
                    sort=sort,
                    shown=_shown(name, before),
                    shown_2=_shown(name, after),
                )
                yield Clash(key=key, sort=sort, sides=(one, other), words=words)


def _may_be_apart(one: Written, other: Written, sort: ClashSort) -> bool:
    """Whether two hands wrote them; a name is too dear to trust that nobody is always the same."""
    unsigned = not one.written_by and sort is ClashSort.TWO_NAMES
    return hand(one) != hand(other) or unsigned


def _shown(name: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value}" if name in ("variety", "value") else f"{name.split('_')[0]} {value}"


def _withdrawn_and_served(promise: Promise, story: Sequence[Written]) -> Iterator[Clash]:
    withdrawn = next((one for one in story if isinstance(one.entry, PromiseWithdrawn)), None)
    if withdrawn is None:
        return
    served = [one for one in story if _serves(one, promise.code)]
    later = [one for one in served if one.order() > withdrawn.order()]
    handed = [one for one in served if isinstance(one.entry, TreeHandedOver)]
    is_whole = len(promise.handed_over_codes) >= promise.wanted_count
    if sides := later or (handed if is_whole else []):
        yield Clash(
            key=promise.code,
            sort=ClashSort.WITHDRAWN_AND_SERVED,
            sides=tuple(sorted((withdrawn, *sides), key=Written.order)),
            words=told(
                "withdrawn on {happened_on}, served on {happened_on_2}",
                happened_on=withdrawn.entry.happened_on,
                happened_on_2=sides[-1].entry.happened_on,
            ),
        )


def _serves(one: Written, code: str) -> bool:
    entry = one.entry
    return isinstance(entry, TreeAllocated | TreeHandedOver) and entry.promise_code == code
