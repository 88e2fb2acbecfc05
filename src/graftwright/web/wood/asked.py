"""What the thinking behind the Wood page follows from, so that it is done once a notebook."""

from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Asked:
    """What the answer follows from; a plan is the same one as long
    as nothing it rests on was written."""

    notebook: Notebook
    plan: Plan
    day: date

    def __hash__(self) -> int:
        return hash((id(self.plan), self.day))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Asked) and self.plan is other.plan and self.day == other.day
