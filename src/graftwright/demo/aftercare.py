"""A demo season from bench to autumn: the walks, checks, moves and losses as entries."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TypeVar

from graftwright.demo.codebook import CodeBook
from graftwright.demo.record import RecordedTemperatures
from graftwright.demo.saplings import Death, Sapling, Script
from graftwright.demo.warmth import on_or_after
from graftwright.demo.world import GREENHOUSE, STANDING, TUNNEL
from graftwright.notebook.entries import (
    BindingLoosened,
    BindingOff,
    BudsMoved,
    Caned,
    DamageNoted,
    Entry,
    GrowthMeasured,
    PottedOn,
    Scion,
    ScionDied,
    ShootsThinned,
    StockDied,
    StockShootsOff,
    TakeJudged,
    TreeMoved,
    TreeSeen,
    UnionBroke,
)

TO_POT_LITRES = 4.0
ON_POT_LITRES = {"M27": 7.5, "M9": 7.5, "Quince C": 7.5}
"""Pots from June, about 2 gallons for dwarf stocks and 3 for others (a grower's practice)."""
STRONG_POT_LITRES = 11.0
_TUNNEL_STOCKS = ("M25", "St Julien A", "Quince C")
_WALK_DAYS = (1, 5)
_GROWTH_BASE_C = 5.0
_SEASON_END = (10, 15)
_GROWTH_STEP_MM = 20

Key = TypeVar("Key", bound=Hashable)


@dataclass(frozen=True, slots=True, kw_only=True)
class Summer:
    """The Saturdays of a season on which the whole nursery is worked through."""

    year: int

    def _from(self, month: int, day: int) -> date:
        return on_or_after(date(self.year, month, day))

    @property
    def to_two_on(self) -> date:
        """Shoots thinned to two, usually at the end of May (a growers' society's handout)."""
        return self._from(5, 24)

    @property
    def out_on(self) -> date:
        """Out of the greenhouse, after the frosts."""
        return self._from(5, 31)

    @property
    def potted_on(self) -> date:
        """Into larger pots."""
        return self._from(6, 7)

    @property
    def measured_on(self) -> tuple[date, ...]:
        """New growth measured."""
        return self._from(6, 21), self._from(7, 19), self._from(8, 23)

    @property
    def rubbed_on(self) -> tuple[date, ...]:
        """Stock shoots rubbed off, every other Saturday."""
        return tuple(self._from(6, 14) + timedelta(weeks=2 * turn) for turn in range(6))

    @property
    def to_one_on(self) -> date:
        """Thinned to one shoot and caned."""
        return self._from(7, 5)

    @property
    def seen_on(self) -> tuple[date, date]:
        """Counted on a walk."""
        return self._from(7, 19), self._from(9, 13)


def grouped(
    saplings: Iterable[Sapling], key: Callable[[Sapling], Key]
) -> dict[Key, tuple[str, ...]]:
    """Return the codes of the saplings by a key, in the order of the saplings."""
    groups: dict[Key, tuple[str, ...]] = {}
    for one in saplings:
        groups[key(one)] = (*groups.get(key(one), ()), one.code)
    return groups


def aftercare(
    script: Script,
    saplings: tuple[Sapling, ...],
    *,
    book: CodeBook,
    temperatures: RecordedTemperatures,
) -> Iterator[Entry]:
    """Yield all that was done and seen between the bench and the autumn grading."""
    yield from _housed(saplings, book=book)
    yield from _buds(saplings)
    yield from _first_check(saplings)
    yield from _second_check(saplings)
    yield from _bindings(saplings)
    yield from _losses(saplings)
    yield from _summer(saplings, Summer(year=script.season), book=book)
    for on in Summer(year=script.season).measured_on:
        yield from _growth(saplings, on=on, temperatures=temperatures)


def _housed(saplings: tuple[Sapling, ...], *, book: CodeBook) -> Iterator[Entry]:
    for on, codes in grouped(saplings, lambda one: one.days.housed_on).items():
        yield TreeMoved(happened_on=on, tree_codes=codes, place_code=book.code(GREENHOUSE))
        yield PottedOn(happened_on=on, tree_codes=codes, pot_litres=TO_POT_LITRES)


def _walk_on(day: date) -> date:
    return min(on_or_after(day, weekday=weekday) for weekday in _WALK_DAYS)


def _is_seen_moving(one: Sapling) -> bool:
    # Every other graft that will fail moves all the same, on its reserves.
    never_took = one.death is not None and one.death.loss == "take"
    return not never_took or one.position % 2 == 0


def _buds(saplings: tuple[Sapling, ...]) -> Iterator[Entry]:
    moving = [one for one in saplings if _is_seen_moving(one)]
    for on, codes in grouped(moving, lambda one: _walk_on(one.moved_on)).items():
        yield BudsMoved(happened_on=on, tree_codes=codes)


def _first_check(saplings: tuple[Sapling, ...]) -> Iterator[Entry]:
    def found(one: Sapling) -> tuple[date, Scion]:
        if one.death is None or one.death.loss != "take":
            return one.first_check_on, Scion.GROWING
        return one.first_check_on, Scion.DOUBTFUL if _is_seen_moving(one) else Scion.WAITING

    here = [one for one in saplings if one.is_alive_on(one.first_check_on)]
    for (on, scion), codes in grouped(here, found).items():
        yield TakeJudged(happened_on=on, tree_codes=codes, scion=scion)
    for on, codes in grouped(here, lambda one: one.first_check_on).items():
        yield StockShootsOff(happened_on=on + timedelta(days=7), tree_codes=codes)


def _second_check(saplings: tuple[Sapling, ...]) -> Iterator[Entry]:
    here = [one for one in saplings if one.is_alive_on(one.second_check_on)]
    for on, codes in grouped(here, lambda one: one.second_check_on).items():
        yield TakeJudged(happened_on=on, tree_codes=codes, scion=Scion.GROWING)
        yield StockShootsOff(happened_on=on + timedelta(days=10), tree_codes=codes)
    for one in saplings:
        if one.revived_on is not None:
            yield TakeJudged(
                happened_on=one.revived_on,
                tree_codes=(one.code,),
                scion=Scion.GROWING,
                words="shooting from the lowest bud after all",
            )


def _bindings(saplings: tuple[Sapling, ...]) -> Iterator[Entry]:
    for tie_on, codes in grouped(saplings, lambda one: one.days.tie_on).items():
        on = on_or_after(tie_on + timedelta(days=5))
        yield BindingLoosened(happened_on=on, tree_codes=codes)
        off_on = on + timedelta(days=28)
        alive = {one.code for one in saplings if one.is_alive_on(off_on)}
        left = tuple(code for code in codes if code in alive)
        if left:
            yield BindingOff(happened_on=off_on, tree_codes=left)
    for one in saplings:
        if one.revived_on is not None:
            yield BindingOff(happened_on=one.revived_on, tree_codes=(one.code,))


def _losses(saplings: tuple[Sapling, ...]) -> Iterator[Entry]:
    for death, codes in grouped(saplings, lambda one: one.death).items():
        if death is not None:
            yield _loss(death, codes)


def _loss(death: Death, codes: tuple[str, ...]) -> Entry:
    if death.loss == "stock":
        return StockDied(
            happened_on=death.on, tree_codes=codes, cause=death.cause, words=death.words
        )
    if death.loss == "union":
        return UnionBroke(happened_on=death.on, tree_codes=codes, cause=death.cause)
    return ScionDied(happened_on=death.on, tree_codes=codes, cause=death.cause, words=death.words)


def _summer(saplings: tuple[Sapling, ...], summer: Summer, *, book: CodeBook) -> Iterator[Entry]:
    def alive(on: date) -> list[Sapling]:
        return [one for one in saplings if one.is_alive_on(on)]

    def codes(on: date) -> tuple[str, ...]:
        return tuple(one.code for one in alive(on))

    yield ShootsThinned(
        happened_on=summer.to_two_on, tree_codes=codes(summer.to_two_on), to_count=2
    )
    for place, moved in grouped(alive(summer.out_on), _summer_place).items():
        yield TreeMoved(happened_on=summer.out_on, tree_codes=moved, place_code=book.code(place))
    for litres, potted in grouped(alive(summer.potted_on), _pot_litres).items():
        yield PottedOn(happened_on=summer.potted_on, tree_codes=potted, pot_litres=litres)
    yield ShootsThinned(
        happened_on=summer.to_one_on, tree_codes=codes(summer.to_one_on), to_count=1
    )
    yield Caned(happened_on=summer.to_one_on, tree_codes=codes(summer.to_one_on))
    for on in summer.rubbed_on:
        yield StockShootsOff(happened_on=on, tree_codes=codes(on))
    for on in summer.seen_on:
        for place, seen in grouped(alive(on), _summer_place).items():
            yield TreeSeen(happened_on=on, tree_codes=seen, place_code=book.code(place))
    hurt = [one for one in alive(summer.to_one_on) if one.damage is not None]
    for cause, found in grouped(hurt, lambda one: one.damage).items():
        if cause is not None:
            yield DamageNoted(happened_on=summer.to_one_on, tree_codes=found, cause=cause)


def _summer_place(one: Sapling) -> str:
    return TUNNEL if one.stock in _TUNNEL_STOCKS else STANDING


def _pot_litres(one: Sapling) -> float:
    return ON_POT_LITRES.get(one.stock, STRONG_POT_LITRES)


def _growth(
    saplings: tuple[Sapling, ...], *, on: date, temperatures: RecordedTemperatures
) -> Iterator[Entry]:
    def grown_mm(one: Sapling) -> float:
        share_fraction = _grown_share_fraction(one.moved_on, on, temperatures)
        return _GROWTH_STEP_MM * round(1000 * one.height_m * share_fraction / _GROWTH_STEP_MM)

    alive = [one for one in saplings if one.is_alive_on(on)]
    groups = grouped(alive, grown_mm)
    for growth_mm in sorted(groups):
        yield GrowthMeasured(
            happened_on=on, tree_codes=groups[growth_mm], growth_mm=float(growth_mm)
        )


def _grown_share_fraction(moved_on: date, on: date, temperatures: RecordedTemperatures) -> float:
    """Return how much of the year's growth is made, by warmth above 5 °C since the buds moved."""
    end_on = date(on.year, *_SEASON_END)
    whole = temperatures.warmth_c_days(moved_on, end_on, base_c=_GROWTH_BASE_C)
    so_far = temperatures.warmth_c_days(moved_on, on, base_c=_GROWTH_BASE_C)
    return float((so_far / whole) ** 1.5)
