"""What every entry is: a past-tense sentence about one day, never changed and never deleted."""

from dataclasses import dataclass, fields
from datetime import date, datetime
from functools import cache
from uuid import UUID

from graftwright.errors import OutOfRange
from graftwright.tongue import told

NURSERY_KEY = "nursery"
RESULTS_KEY = "results"
BENCH_DAYS_KEY = "bench-days"
CODES_KEY = "codes"
FORECASTS_KEY = "forecasts"
NAMES_KEY = "names-and-rights"
SPOT_KEY = "spot:"
TEMPERATURES_KEY = "temperatures:"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """Something that happened on a day.

    `happened_on` is the day as the person would say it where the tree stands; `happened_at`, when
    given, is the instant (aware) and orders entries within the day.
    """

    happened_on: date
    happened_at: datetime | None = None

    def __post_init__(self) -> None:
        if self.happened_at is not None and self.happened_at.tzinfo is None:
            raise OutOfRange(
                told(
                    "{happened_at} has no time zone; give the instant with its zone",
                    happened_at=self.happened_at,
                )
            )

    def concerns(self) -> tuple[str, ...]:
        """Return the keys of the things this entry is about: tag codes, or words such as nursery.

        A field whose name is `code` or ends in `_code` or `_codes` names things.
        """
        keys: dict[str, None] = {}
        kind: type = type(self)
        for name, is_many in _naming_fields(kind):
            if is_many:
                keys.update(dict.fromkeys(getattr(self, name)))
            else:
                keys[getattr(self, name)] = None
        return tuple([key for key in keys if key])


@cache
def _naming_fields(kind: type) -> tuple[tuple[str, bool], ...]:
    """Return the fields of a kind of entry that name things, and whether each names several."""
    names = [field.name for field in fields(kind)]
    return tuple(
        (name, name.endswith("_codes"))
        for name in names
        if name == "code" or name.endswith(("_code", "_codes"))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class NotUnderstoodEntry(Entry):
    """An entry of a kind this copy does not know; kept whole and shown, never dropped."""

    kind: str
    body: str
    about_codes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """An entry with the marks it got when it was written down."""

    entry_id: UUID
    written_at: datetime
    written_by: str = ""
    device: str = ""
    nursery: str = ""
    entry: Entry

    def __post_init__(self) -> None:
        if self.written_at.tzinfo is None:
            raise OutOfRange(
                told(
                    "{written_at} has no time zone; write instants in UTC",
                    written_at=self.written_at,
                )
            )

    def order(self) -> tuple[date, datetime, datetime, int]:
        """Return what entries are replayed by; the same in every copy of the notebook."""
        at = self.entry.happened_at or self.written_at
        return (self.entry.happened_on, at, self.written_at, self.entry_id.int)
