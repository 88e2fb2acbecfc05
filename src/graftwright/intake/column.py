"""What a column and a sheet of the workbook are: declared as data, read and explained from it."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from graftwright.tongue import english, marked


class Kind(StrEnum):
    """What kind of value stands in a column."""

    TEXT = "words"
    COUNT = english(marked("whole number"))
    NUMBER = "number"
    MONEY = "price"
    FRACTION = "share"
    LENGTH = "length"
    LENGTHS = english(marked("several lengths"))
    RANGE = english(marked("from-to length"))
    TEMPERATURE = "temperature"
    DATE = "date"
    INSTANT = english(marked("date and time"))
    CHOICE = english(marked("one of these words"))
    YES_NO = english(marked("yes or no"))
    CODE = english(marked("tag code"))
    CODES = english(marked("tag codes"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A word that may stand in a column, and what else people write for it."""

    word: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: the name at its head, what else it is called, and what stands in it.

    `field` is the row value's field. `unit` is what values are kept in; another unit may stand at
    the head or in the cell. Outside `allowed` a value is refused; `plausible` tells units apart
    where none is written. Both are in `unit`, ends included.
    """

    name: str
    field: str
    kind: Kind
    explanation: str
    example: str
    also: tuple[str, ...] = ()
    unit: str = ""
    required: bool = False
    choices: tuple[Choice, ...] = ()
    plausible: tuple[float, float] | None = None
    allowed: tuple[float, float] | None = None

    @property
    def head(self) -> str:
        """The name at the head of the column, with its unit."""
        return f"{self.name} ({self.unit})" if self.unit else self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet of the workbook: its name, what else people call it, its columns."""

    name: str
    field: str
    explanation: str
    columns: tuple[Column, ...]
    also: tuple[str, ...] = ()

    def column(self, field: str) -> Column:
        """Return the column that fills this field of a row."""
        return next(column for column in self.columns if column.field == field)


def choices_of(kind: type[StrEnum], also: Mapping[str, str]) -> tuple[Choice, ...]:
    """Return the choices of a closed list; `also` gives each word's synonyms, split at '|'."""
    return tuple(
        Choice(word=one.value, also=tuple(filter(None, also.get(one.value, "").split("|"))))
        for one in kind
    )


def words(text: str) -> tuple[str, ...]:
    """Return synonyms written in one line, split at '|'."""
    return tuple(text.split("|"))
