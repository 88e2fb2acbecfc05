"""The cut sheet of the page: bundles, and their sticks drawn to one scale."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from graftwright.paper.stick_drawing import svg as stick_svg
from graftwright.season.planned import StickCut

_LEAST_SCALE_MM = 320.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StickDrawn:
    """A stick and its drawing."""

    stick: StickCut
    drawing: SafeString


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleSheet:
    """The sticks of one bundle."""

    bundle_code: str
    variety: str
    sticks: tuple[StickDrawn, ...]

    @property
    def piece_count(self) -> int:
        """Pieces cut from all its sticks."""
        return sum(len(drawn.stick.pieces) for drawn in self.sticks)


def bundle_sheets(sticks: Sequence[StickCut]) -> tuple[BundleSheet, ...]:
    """Return the sticks that are to be cut, bundle by bundle, all on one scale."""
    cut = [stick for stick in sticks if stick.pieces]
    longest_mm = max((stick.length_mm for stick in cut), default=_LEAST_SCALE_MM)
    scale_mm = max(longest_mm, _LEAST_SCALE_MM)
    codes = dict.fromkeys(stick.bundle_code for stick in cut)
    return tuple(
        _sheet([stick for stick in cut if stick.bundle_code == code], scale_mm=scale_mm)
        for code in codes
    )


def _sheet(sticks: Sequence[StickCut], *, scale_mm: float) -> BundleSheet:
    return BundleSheet(
        bundle_code=sticks[0].bundle_code,
        variety=sticks[0].variety,
        sticks=tuple(
            StickDrawn(
                stick=stick,
                # paper escapes every word it draws
                drawing=mark_safe(stick_svg(stick, longest_mm=scale_mm)),
            )
            for stick in sticks
        ),
    )
