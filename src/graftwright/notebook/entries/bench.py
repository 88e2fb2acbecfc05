"""Entries about places and bench days."""

from dataclasses import dataclass
from datetime import date, datetime

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import BENCH_DAYS_KEY, TEMPERATURES_KEY, Entry
from graftwright.tongue import Choice, say, told


class PlaceKind(Choice):
    """What kind of place trees, wood or stocks stand in."""

    OUTDOORS = "outdoors"
    COLD_GREENHOUSE = "cold greenhouse"
    POLYTUNNEL = "polytunnel"
    UNHEATED_ROOM = "unheated room"
    HEATED_LEDGE = "heated ledge"
    HEATED_BENCH = "heated bench"
    FRIDGE = "fridge"


class Method(Choice):
    """How scion and stock were joined."""

    WHIP_AND_TONGUE = "whip and tongue"
    WHIP = "whip"
    CLEFT = "cleft"
    SIDE_VENEER = "side veneer"
    CHIP_BUD = "chip bud"
    T_BUD = "T-bud"
    RIND = "rind"


class Binding(Choice):
    """What holds the join."""

    PERISHING_RUBBER = "perishing rubber"
    STRETCH_FILM = "stretch film"
    FILM_OVER_RUBBER = "film over rubber"
    TAPE = "non-stretch tape"
    RAFFIA = "raffia"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceEntered(Entry):
    """A place was written down; `walking_order` is where it comes on the round."""

    code: str
    name: str
    place_kind: PlaceKind
    capacity_count: int | None = None
    walking_order: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceLimitsSet(Entry):
    """Between which temperatures a place should stay [°C]; None where there is no limit."""

    place_code: str
    low_c: float | None = None
    high_c: float | None = None

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if self.low_c is not None and self.high_c is not None and self.low_c >= self.high_c:
            raise OutOfRange(
                told(
                    "limits {low_c:g} to {high_c:g} °C; expected the lower one first",
                    low_c=self.low_c,
                    high_c=self.high_c,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperaturesAdded(Entry):
    """Lowest and highest temperature [°C] of consecutive days at a place, None where missing."""

    place_code: str
    first_on: date
    low_c: tuple[float | None, ...]
    high_c: tuple[float | None, ...]
    station: str = ""

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if len(self.low_c) != len(self.high_c):
            raise OutOfRange(
                told(
                    "{count} lowest and {count_2} highest temperatures; each day needs its pair",
                    count=len(self.low_c),
                    count_2=len(self.high_c),
                )
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the place's temperatures."""
        return (TEMPERATURES_KEY + self.place_code,)


@dataclass(frozen=True, slots=True, kw_only=True)
class HourlyTemperaturesAdded(Entry):
    """Hourly temperatures [°C] at a place from an instant (UTC) on, None where missing."""

    place_code: str
    first_at: datetime
    hourly_c: tuple[float | None, ...]
    station: str = ""

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the place's temperatures."""
        return (TEMPERATURES_KEY + self.place_code,)


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDayPlanned(Entry):
    """A day was kept free for the bench, with its hours and the pace expected."""

    bench_on: date
    free_h: float
    grafts_per_h: float
    who: str = ""

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not 0.0 < self.free_h <= 14.0:
            raise OutOfRange(
                told(
                    "bench day of {free_h:g} hours; expected more than 0, at most 14",
                    free_h=self.free_h,
                )
            )
        if not 0.5 <= self.grafts_per_h <= 120.0:
            raise OutOfRange(
                told(
                    "{grafts_per_h:g} grafts an hour; expected 0.5 to 120",
                    grafts_per_h=self.grafts_per_h,
                )
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the list of bench days."""
        return (BENCH_DAYS_KEY,)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunGrafted(Entry):
    """A run at the bench: one bundle on one lot, every graft its own tree and code.

    With `interstem_bundle_code` a piece of that bundle stands between stock and scion: two unions.
    """

    tree_codes: tuple[str, ...]
    bundle_code: str
    lot_code: str
    promise_code: str = ""
    place_code: str = ""
    method: Method = Method.WHIP_AND_TONGUE
    binding: Binding = Binding.STRETCH_FILM
    seal: str = ""
    grafter: str = ""
    spoilt_count: int = 0
    run_number: int = 0
    interstem_bundle_code: str = ""

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.tree_codes:
            raise OutOfRange(say("a run of no grafts; count at least one, or write a note instead"))
        if len(set(self.tree_codes)) != len(self.tree_codes):
            raise OutOfRange(say("a code stands twice in the run; each graft has its own"))


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelsCounted(Entry):
    """Labels used and left over were counted against a bundle's last run."""

    bundle_code: str
    used_count: int
    left_over_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDayClosed(Entry):
    """The bench was cleared and the day's count agreed."""

    bench_on: date
    words: str = ""

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the list of bench days."""
        return (BENCH_DAYS_KEY,)
