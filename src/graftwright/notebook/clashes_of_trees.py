"""Clashes in the story of a tree: where it stands, whose it is, whether it lives."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from graftwright.notebook.clash import Clash, ClashSort
from graftwright.notebook.entries import (
    GrowthMeasured,
    Reworked,
    RunGrafted,
    Scion,
    ScionDied,
    StockDied,
    StockState,
    TakeJudged,
    TreeAllocated,
    TreeHandedOver,
    TreeMoved,
    TreeSeen,
    UnionBroke,
    Written,
)
from graftwright.tongue import say, told

_DEATHS = (ScionDied, StockDied, UnionBroke)
_STANDS = (TreeSeen, TreeMoved)
_HOLDS = (TreeAllocated, TreeHandedOver)
_WORKED_OR_JUDGED = (TakeJudged, Reworked)


def clashes_of_tree(code: str, story: Sequence[Written]) -> Iterator[Clash]:
    """Yield what contradicts itself in the counting entries of a tree."""
    told_of = {type(one.entry) for one in story}
    if TreeMoved in told_of:
        yield from _places(code, story)
    if TreeAllocated in told_of or TreeHandedOver in told_of:
        yield from _holders(code, story)
    if TreeHandedOver in told_of:
        yield from _hand_overs(code, story)


@dataclass(slots=True, kw_only=True)
class _Day:
    on: date
    entries: list[Written] = field(default_factory=list)
    places: list[str] = field(default_factory=list)


def _places(code: str, story: Sequence[Written]) -> Iterator[Clash]:
    place = ""
    days: list[_Day] = []
    moved_on = {one.entry.happened_on for one in story if isinstance(one.entry, TreeMoved)}
    for one in story:
        entry = one.entry
        if isinstance(entry, RunGrafted):
            place = place or entry.place_code
        if not isinstance(entry, _STANDS):
            continue
        place = entry.place_code or place
        if entry.happened_on not in moved_on:
            continue
        if not days or days[-1].on != entry.happened_on:
            days.append(_Day(on=entry.happened_on))
        days[-1].entries.append(one)
        days[-1].places.append(place)
    for day in days:
        named = [place for place in dict.fromkeys(day.places) if place]
        if len(named) > 1:
            yield Clash(
                key=code,
                sort=ClashSort.TWO_PLACES,
                sides=tuple(day.entries),
                words=told("in two places on {on}", on=day.on),
            )


def _holders(code: str, story: Sequence[Written]) -> Iterator[Clash]:
    holder: Written | None = None
    name = ""
    for one in story:
        entry = one.entry
        if not isinstance(entry, _HOLDS):
            continue
        now = entry.promise_code
        if holder is not None and name and now and now != name:
            deed = (
                say("promised twice")
                if isinstance(entry, TreeAllocated)
                else say("set aside, and gone")
            )
            yield Clash(
                key=code,
                sort=ClashSort.PROMISED_TWICE,
                sides=(holder, one),
                words=told("{deed}: {name} and {now}", deed=deed, name=name, now=now),
            )
        if now or isinstance(entry, TreeAllocated):
            holder, name = one, now


def _hand_overs(code: str, story: Sequence[Written]) -> Iterator[Clash]:
    died: Written | None = None
    gone: Written | None = None
    for one in story:
        entry = one.entry
        if isinstance(entry, TreeHandedOver):
            if gone is not None:
                words = told(
                    "handed over twice: {happened_on} and {happened_on_2}",
                    happened_on=gone.entry.happened_on,
                    happened_on_2=entry.happened_on,
                )
                yield Clash(key=code, sort=ClashSort.HANDED_TWICE, sides=(gone, one), words=words)
            if died is not None:
                yield _dead_and_handed(code, died, one)
            gone = gone or one
        elif _is_death(one):
            if gone is not None:
                yield _dead_and_handed(code, gone, one)
            died = died or one
        elif _lives_again(one):
            died = None
        elif gone is not None and isinstance(entry, TreeMoved):
            words = told(
                "handed over on {happened_on}, moved here on {happened_on_2}",
                happened_on=gone.entry.happened_on,
                happened_on_2=entry.happened_on,
            )
            yield Clash(key=code, sort=ClashSort.GONE_AND_HERE, sides=(gone, one), words=words)


def _dead_and_handed(code: str, first: Written, second: Written) -> Clash:
    handed = first if isinstance(first.entry, TreeHandedOver) else second
    died = second if handed is first else first
    return Clash(
        key=code,
        sort=ClashSort.DEAD_AND_HANDED,
        sides=(first, second),
        words=told(
            "dead on {happened_on}, handed over on {happened_on_2}",
            happened_on=died.entry.happened_on,
            happened_on_2=handed.entry.happened_on,
        ),
    )


def _is_death(one: Written) -> bool:
    entry = one.entry
    judged_dead = isinstance(entry, TakeJudged) and (
        entry.scion is Scion.DEAD or entry.stock is StockState.DEAD
    )
    return judged_dead or isinstance(entry, _DEATHS)


def _lives_again(one: Written) -> bool:
    entry = one.entry
    grew = isinstance(entry, GrowthMeasured) and entry.growth_mm > 0
    return grew or isinstance(entry, _WORKED_OR_JUDGED)
