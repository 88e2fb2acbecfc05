"""Things by their keys that know which of them changed from one reading to the next.

A notebook read again after an entry differs from the last one in a few things of many. Comparing
all of them at every page costs more the larger the notebook grows; what is written here is asked
instead, and gives what comparing all of them gives.
"""

from collections.abc import Iterable, Mapping
from typing import TypeVar

V = TypeVar("V")
_STEPS_KNOWN = 100
_MOST_CHANGED_COUNT = 10_000


class Things(dict[str, V]):
    """Things by their keys, and the keys that changed in the last steps that led here.

    Treat as a value: never change one. Each step is the mark of the things before it and the keys
    of what changed, came or went after them.
    """

    __slots__ = ("mark", "steps")

    def __init__(
        self, things: Mapping[str, V], *, steps: tuple[tuple[object, frozenset[str]], ...] = ()
    ) -> None:
        super().__init__(things)
        self.mark = object()
        self.steps = steps

    def __reduce__(self) -> tuple[type[dict[str, V]], tuple[dict[str, V]]]:
        """Travel to another process without steps: nothing there was read before."""
        return dict, (dict(self),)


def things_after(
    before: Mapping[str, V], *, anew: Mapping[str, V], gone: Iterable[str]
) -> Things[V]:
    """Return the things with some anew and some gone, in the order of their keys."""
    gone = frozenset(gone)
    steps: tuple[tuple[object, frozenset[str]], ...] = ()
    if isinstance(before, Things):
        steps = (*before.steps, (before.mark, gone | anew.keys()))[-_STEPS_KNOWN:]
    after = Things(before, steps=steps)
    after.update(anew)
    for key in gone:
        del after[key]
    if all(key in before for key in anew):
        return after
    return Things({key: after[key] for key in sorted(after)}, steps=steps)


def changed_keys(before: Mapping[str, V], now: Mapping[str, V]) -> tuple[str, ...]:
    """Return the keys of the things that are not the very same values in both, in order.

    Only what changed is looked at where `now` was reached from `before` by a few steps; all things
    are compared where it was not.
    """
    if before is now:
        return ()
    asked = _keys_of_steps(before, now)
    if asked is None:
        asked = before.keys() | now.keys()
    return tuple(sorted(key for key in asked if before.get(key) is not now.get(key)))


def _keys_of_steps(before: Mapping[str, V], now: Mapping[str, V]) -> set[str] | None:
    """Return every key the steps between two readings name; None if they are not known."""
    if not (isinstance(before, Things) and isinstance(now, Things)):
        return None
    found: set[str] = set()
    for mark, keys in reversed(now.steps):
        found |= keys
        if mark is before.mark:
            return found if len(found) <= _MOST_CHANGED_COUNT else None
    return None
