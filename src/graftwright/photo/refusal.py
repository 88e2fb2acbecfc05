"""Why a picture is not measured: it could not be trusted."""

from graftwright.errors import NotUnderstood
from graftwright.tongue import Choice


class Reason(Choice):
    """What is wrong with the picture."""

    FILE = "not a picture that is read"
    MARKERS = "markers missing"
    UNEVEN = "paper not flat or print uneven"
    SMALL = "sheet too small in the picture"
    TILTED = "seen too much from the side"
    BLURRED = "not sharp"
    BRIGHT = "over-exposed"
    DARK = "too dark"
    EMPTY = "no stick in the field"
    OUTSIDE = "a stick reaches out of the field"
    CROSSING = "sticks cross or touch"
    STRANGE = "something that is no stick"
    SHADOW = "edges not to be told from shadows"


class PictureRefused(NotUnderstood):
    """A picture that would give figures nobody should trust; `reason` says why as data."""

    def __init__(self, reason: Reason, words: str) -> None:
        super().__init__(words)
        self.reason = reason
