"""What the thinking behind the Wood page follows from, so that it is done once a notebook."""

from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Asked:
    """What the answer follows from; the store gives one notebook until an entry is added."""

    notebook: Notebook
    plan: Plan
    day: date

    def __hash__(self) -> int:
        return hash((id(self.notebook), id(self.plan), self.day))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, Asked)
            and self.notebook is other.notebook
            and self.plan is other.plan
            and self.day == other.day
        )
