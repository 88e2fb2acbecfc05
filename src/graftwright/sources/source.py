"""What one entry of the bibliography holds."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One published source.

    `checked` says how it was seen: "read" (the text itself), "second-hand" (as quoted by another
    source), "memory" (not checked; never the ground of a test), "software" (figures produced by a
    named reference implementation), "data" (an open data set).
    """

    author: str
    year: int | None
    title: str
    where: str
    checked: str
