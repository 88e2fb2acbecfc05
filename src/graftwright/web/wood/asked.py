"""What the thinking behind the Wood page follows from, so that it is done once a notebook."""

from dataclasses import dataclass, field
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan
from graftwright.tongue import language


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Asked:
    """What the answer follows from; a plan is the same one as long
    as nothing it rests on was written."""

    notebook: Notebook
    plan: Plan
    day: date
    spoken: str = field(default_factory=language)

    def _key(self) -> tuple[int, date, str]:
        return id(self.plan), self.day, self.spoken

    def __hash__(self) -> int:
        return hash(self._key())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Asked) and self._key() == other._key()
