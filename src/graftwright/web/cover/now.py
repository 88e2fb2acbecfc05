"""Things under cover as they stand today, thought out once a notebook."""

from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

from graftwright.notebook.amended import effective
from graftwright.notebook.entries import TreeMoved, Written
from graftwright.notebook.notebook import Notebook
from graftwright.season.cover import Cover, cover_of
from graftwright.season.tree_moves import TreeMoves, tree_moves
from graftwright.store.grown import grown_entries
from graftwright.store.read import read_notebook
from graftwright.tongue import language
from graftwright.web.standing_on import today
from graftwright.web.today.kept import ground_kept


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What the page follows from; the store gives the same notebook until an entry is added."""

    notebook: Notebook
    day: date
    spoken: str = field(default_factory=language)

    def _key(self) -> tuple[int, date, str]:
        return id(self.notebook), self.day, self.spoken

    def __hash__(self) -> int:
        return hash(self._key())

    def __eq__(self, other: object) -> bool:
        # the cached asking keeps its notebook alive, so no other can have its identity
        return isinstance(other, _Asked) and self._key() == other._key()


def cover_now() -> Cover:
    """Return what is under cover on the day the pages stand on."""
    return _thought(_Asked(notebook=read_notebook(), day=today()))


@lru_cache(maxsize=4)
def _thought(asked: _Asked) -> Cover:
    ground = ground_kept(asked.notebook, day=asked.day)
    moves = _moves(_Moved(written=_amended_moves.now(), day=asked.day))
    return cover_of(asked.notebook, today=asked.day, moves=moves, ground=ground)


_amended_moves = grown_entries("TreeMoved", "EntryCorrected", "EntryWithdrawn")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Moved:
    """What the moves of trees follow from: the same entries are the very same tuple."""

    written: tuple[Written, ...] = field(compare=False)
    day: date
    identity: int = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "identity", id(self.written))


@lru_cache(maxsize=2)
def _moves(moved: _Moved) -> TreeMoves:
    entries = (one.entry for one in effective(moved.written))
    return tree_moves(
        one for one in entries if isinstance(one, TreeMoved) and one.happened_on <= moved.day
    )
