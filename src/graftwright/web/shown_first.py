"""Long lists on a page: their first things, how many there are, and the way to all of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

V = TypeVar("V")
MOST_SHOWN = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownFirst(Generic[V]):
    """The things of a list that are shown, and how many the whole list holds.

    `key` names the list in the address that shows all of it: `?whole=<key>`.
    """

    shown: tuple[V, ...]
    whole_count: int
    key: str

    @property
    def is_cut(self) -> bool:
        """Whether there are more than are shown."""
        return self.whole_count > len(self.shown)

    def __len__(self) -> int:
        return self.whole_count


def shown_first(
    things: Sequence[V], *, key: str, whole: str = "", most_count: int = MOST_SHOWN
) -> ShownFirst[V]:
    """Return the first things of a list; all of them where `whole` asks for this one."""
    some = things if whole == key else things[:most_count]
    return ShownFirst(shown=tuple(some), whole_count=len(things), key=key)
