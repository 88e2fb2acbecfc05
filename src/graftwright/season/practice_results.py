"""What took before and since a person set a rule of their own; said only where both are counted."""

from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import PracticeSet
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeAndSince:
    """Grafts decided under the usual rule and under one's own, and how many of them took."""

    since_on: date
    own_taken_count: int
    own_count: int
    usual_taken_count: int
    usual_count: int

    @property
    def words(self) -> str:
        """The comparison in words, with what it cannot say."""
        if not self.own_count:
            return say("No graft made since is decided yet, so there is nothing to compare.")
        own = told(
            "With yours {own_taken_count} of {own_count} took",
            own_taken_count=self.own_taken_count,
            own_count=self.own_count,
        )
        if not self.usual_count:
            return told("{own}; nothing was decided before, so it cannot be compared.", own=own)
        return told(
            "{own}, with the usual {usual_taken_count} of {usual_count}. Wood, "
            "weather and hands changed as well: the counts alone do not say that "
            "the rule did it.",
            own=own,
            usual_taken_count=self.usual_taken_count,
            usual_count=self.usual_count,
        )


def before_and_since(notebook: Notebook, own: PracticeSet) -> BeforeAndSince:
    """Count the decided grafts of before the day the rule was set and of since.

    A graft whose stock died unworked counts neither way: it says nothing about the graft.
    """
    decided = [t for t in notebook.workings() if t.has_taken or t.scion_died_on is not None]
    mine = [tree for tree in decided if tree.grafted_on >= own.happened_on]
    usual = [tree for tree in decided if tree.grafted_on < own.happened_on]
    return BeforeAndSince(
        since_on=own.happened_on,
        own_taken_count=_taken(mine),
        own_count=len(mine),
        usual_taken_count=_taken(usual),
        usual_count=len(usual),
    )


def _taken(trees: list[Tree]) -> int:
    return sum(tree.has_taken for tree in trees)
