"""Flowering groups of any list, turned into days of one season with their width."""

import re
from dataclasses import dataclass

from graftwright.errors import NotUnderstood
from graftwright.tongue import told

# Seven groups as dated for an average English spring, in days from the start of 1 May.
# (Encyclopaedia copy, as in the shipped table of groups; the seventh letter is G in some copies.)
_SEVEN_GROUPS = (
    (0.0, 3.0),
    (3.0, 7.0),
    (7.0, 11.0),
    (11.0, 15.0),
    (15.0, 18.0),
    (18.0, 23.0),
    (23.0, 28.0),
)
SEASON_DAYS = 28.0
# Golden Delicious stands in the fourth group: the middle of its days.
GOLDEN_DELICIOUS_DAYS = 13.0
_EARLY_TO_LATE = ("early", "mid", "late")


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonSpan:
    """Between which days of the season a variety comes to full flower. [days from its start]"""

    low_days: float
    high_days: float

    @property
    def middle_days(self) -> float:
        """The middle of the span."""
        return (self.low_days + self.high_days) / 2.0


def group_span(group: str, *, scheme: str) -> SeasonSpan:
    """Turn a group of a list into days of the flowering season, as wide as the group is.

    Parameters
    ----------
    group
        The group as printed, or two with a stroke ("2/3"): "C", "3", "mid".
    scheme
        How the list counts: "letters A to H", "numbers 1 to 5", "early to late". Seven groups
        have published English dates; any other number divides the same season evenly (common
        practice, no source).

    Raises
    ------
    NotUnderstood
        If the scheme or the group cannot be read; the message gives the groups there are.
    """
    labels = _labels(scheme)
    places = []
    for part in group.split("/"):
        label = part.strip().casefold()
        if label not in labels:
            raise NotUnderstood(
                told(
                    "flowering group “{group}” in a list of {scheme}; expected one of "
                    "{listed}; check which list the group comes from",
                    group=group,
                    scheme=scheme,
                    listed=", ".join(labels),
                )
            )
        places.append(labels.index(label))
    spans = [_span_at(place, count=len(labels)) for place in places]
    return SeasonSpan(
        low_days=min(span.low_days for span in spans),
        high_days=max(span.high_days for span in spans),
    )


def _span_at(place: int, *, count: int) -> SeasonSpan:
    if count == len(_SEVEN_GROUPS):
        low_days, high_days = _SEVEN_GROUPS[place]
        return SeasonSpan(low_days=low_days, high_days=high_days)
    width_days = SEASON_DAYS / count
    return SeasonSpan(low_days=place * width_days, high_days=(place + 1) * width_days)


def _labels(scheme: str) -> tuple[str, ...]:
    words = scheme.casefold().strip()
    letters = re.fullmatch(r"letters ([a-z]) to ([a-z])", words)  # not said
    numbers = re.fullmatch(r"numbers (\d{1,2}) to (\d{1,2})", words)  # not said
    if letters:
        return _letters(letters.group(1), letters.group(2))
    if numbers and int(numbers.group(1)) < int(numbers.group(2)):
        return tuple(str(n) for n in range(int(numbers.group(1)), int(numbers.group(2)) + 1))
    if words in {"early to late", "early, mid, late"}:  # not said
        return _EARLY_TO_LATE
    raise NotUnderstood(
        told(
            "a list of groups called “{scheme}”; expected “letters A to H”, "
            "“numbers 1 to 5” or “early to late”; say how the list counts",
            scheme=scheme,
        )
    )


def _letters(first: str, last: str) -> tuple[str, ...]:
    letters = tuple(chr(code) for code in range(ord(first), ord(last) + 1))
    # The list of seven that ends in H leaves G out.
    if (first, last) == ("a", "h"):
        return tuple(letter for letter in letters if letter != "g")
    return letters
