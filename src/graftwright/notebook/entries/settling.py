"""An entry about entries that contradict each other: which of them counts."""

from dataclasses import dataclass
from uuid import UUID

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class ClashSettled(Entry):
    """Somebody looked at entries that contradict each other and said which one counts.

    The other `sides` are set aside for the things in `about_codes` alone; they stay readable and
    count for everything else they name. Without `chosen` all of them were true.
    """

    about_codes: tuple[str, ...]
    sides: tuple[UUID, ...]
    chosen: UUID | None = None
    words: str = ""

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if not self.about_codes or len(set(self.sides)) < 2:
            raise OutOfRange(
                say("a clash has two sides or more, and is about something: name them")
            )
        if self.chosen is not None and self.chosen not in self.sides:
            raise OutOfRange(
                told("{chosen} is none of the sides; choose one of them", chosen=self.chosen)
            )

    def set_aside(self) -> frozenset[UUID]:
        """Return the entries that no longer count for what this is about."""
        return frozenset() if self.chosen is None else frozenset(self.sides) - {self.chosen}
