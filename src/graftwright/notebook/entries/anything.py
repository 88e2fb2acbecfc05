"""Entries about anything: notes, corrections, the nursery itself, earlier years, codes."""

from dataclasses import dataclass
from itertools import pairwise
from uuid import UUID

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import CODES_KEY, NURSERY_KEY, RESULTS_KEY, Entry
from graftwright.tongue import told


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteWritten(Entry):
    """A note about one or more things."""

    about_codes: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldChange:
    """One field of an entry and its corrected value, written as JSON."""

    field: str
    value_json: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryCorrected(Entry):
    """Fields of an earlier entry were corrected; the earlier entry stays as it was written."""

    target: UUID
    changes: tuple[FieldChange, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryWithdrawn(Entry):
    """An earlier entry was withdrawn: it no longer counts, but it stays readable."""

    target: UUID
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NurseryDescribed(Entry):
    """The nursery's own facts; later descriptions replace earlier ones field by field."""

    name: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    currency: str = ""
    hour_price: float | None = None

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if self.latitude_deg is not None and not -90.0 <= self.latitude_deg <= 90.0:
            raise OutOfRange(
                told(
                    "latitude {latitude_deg}; expected -90 (south) to 90 (north)",
                    latitude_deg=self.latitude_deg,
                )
            )
        if self.longitude_deg is not None and not -180.0 <= self.longitude_deg <= 180.0:
            raise OutOfRange(
                told(
                    "longitude {longitude_deg}; expected -180 (west) to 180 (east)",
                    longitude_deg=self.longitude_deg,
                )
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the nursery's key."""
        return (NURSERY_KEY,)


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialCounted(Entry):
    """What is in hand of a material, what one graft or tree needs, and what it costs."""

    material: str
    unit: str
    in_hand: float = 0.0
    need_per_graft: float = 0.0
    need_per_tree: float = 0.0
    price_per_unit: float = 0.0

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        numbers = (self.in_hand, self.need_per_graft, self.need_per_tree, self.price_per_unit)
        if min(numbers) < 0.0:
            raise OutOfRange(
                told("{material}: a negative figure; expected zero or more", material=self.material)
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the nursery's key."""
        return (NURSERY_KEY,)


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeSet(Entry):
    """The person's own rule replaces a default; `words` are shown as the reason."""

    practice: str
    value: str
    words: str = ""

    def concerns(self) -> tuple[str, ...]:
        """Return the nursery's key."""
        return (NURSERY_KEY,)


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierResultsCounted(Entry):
    """How many of an earlier year's grafts came through each stage, counted by the person.

    A stage that was not counted is None; each count is of the trees alive at the stage before.
    """

    season: int
    variety: str
    stock: str
    grafted_count: int
    taken_count: int
    grown_count: int | None = None
    wintered_count: int | None = None
    ready_count: int | None = None
    method: str = ""
    grafter: str = ""
    stocks_died_count: int = 0

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        chain = [self.grafted_count - self.stocks_died_count, self.taken_count]
        chain += [
            c for c in (self.grown_count, self.wintered_count, self.ready_count) if c is not None
        ]
        if min(chain) < 0 or any(after > before for before, after in pairwise(chain)):
            raise OutOfRange(
                told(
                    "counts {chain}; expected none below zero and none larger than the one before",
                    chain=chain,
                )
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the earlier results."""
        return (RESULTS_KEY,)


@dataclass(frozen=True, slots=True, kw_only=True)
class CodesHandedOut(Entry):
    """A block of tag codes was given to a device; no other may use it."""

    first_number: int
    block_count: int
    to_device: str

    def concerns(self) -> tuple[str, ...]:
        """Return the key of the list of code blocks."""
        return (CODES_KEY,)
