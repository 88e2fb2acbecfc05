"""What a tree was before it was worked again, and the further varieties it bears."""

from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import Binding, Method, Scion

_FINDS_HEIGHT_FRACTION = 0.10
_FINDS_BEARING_DEG = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """One earlier working of a tree: from what, how, and what came of it."""

    grafted_on: date
    bundle_code: str
    promise_code: str = ""
    grafter: str = ""
    method: Method = Method.WHIP_AND_TONGUE
    binding: Binding = Binding.STRETCH_FILM
    taken_on: date | None = None
    moved_on: date | None = None
    scion_died_on: date | None = None
    union_broke_on: date | None = None
    loss_cause: str = ""
    ended_on: date
    breaks_in: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A further variety on a tree: where it stands, from the day it was worked."""

    number: int
    bundle_code: str
    worked_on: date
    height_mm: float
    bearing_deg: float
    limb: str = ""
    method: Method = Method.WHIP_AND_TONGUE
    grafter: str = ""
    scion: Scion = Scion.WAITING
    judged_on: date | None = None
    removed_on: date | None = None
    girth_mm: float | None = None
    girth_on: date | None = None

    @property
    def is_there(self) -> bool:
        """Whether it still lives on the tree."""
        return self.removed_on is None and self.scion is not Scion.DEAD


def parts_near(
    parts: tuple[Part, ...], *, height_mm: float, bearing_deg: float
) -> tuple[Part, ...]:
    """Return the parts that a measured height and bearing may be, the nearest first.

    Measures drift as a tree grows: a tenth of the height and 30 degrees are allowed for.
    """
    found = []
    for part in parts:
        turn = abs((part.bearing_deg - bearing_deg + 180.0) % 360.0 - 180.0)
        up = abs(part.height_mm - height_mm) / max(part.height_mm, 1.0)
        if part.is_there and turn <= _FINDS_BEARING_DEG and up <= _FINDS_HEIGHT_FRACTION:
            found.append((turn / _FINDS_BEARING_DEG + up / _FINDS_HEIGHT_FRACTION, part))
    return tuple(part for _, part in sorted(found, key=lambda pair: (pair[0], pair[1].number)))
