"""Thresholds of the everyday rules: a default with its basis, or the person's own practice."""

from dataclasses import dataclass
from datetime import date
from math import isfinite

from graftwright.notebook.entries import PracticeSet
from graftwright.notebook.standing import Nursery


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A number a rule goes by. `basis` says where the default comes from."""

    practice: str
    default: float
    unit: str
    basis: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A way of doing a rule goes by: one of several, each in a few words."""

    practice: str
    default: str
    options: tuple[str, ...]
    basis: str


_NO_SOURCE = "common practice, no source"
_JUDGED = "by judgement, no source"
_HANDOUT = "a growers' society's handout: the longest at 6 to 8 inches"
_NUMBERS: tuple[tuple[str, float, str, str], ...] = (
    ("check bundles every", 30, "days", _NO_SOURCE),
    ("look at waiting grafts every", 7, "days", _NO_SOURCE),
    ("judge the take after buds move", 21, "days", _NO_SOURCE),
    ("rub off stock shoots every", 14, "days", _NO_SOURCE),
    ("pinch stock shoots every", 14, "days", _NO_SOURCE),
    ("thin to two shoots from", 150, "mm", _HANDOUT),
    ("thin to one shoot from", 200, "mm", _NO_SOURCE),
    ("leave shoots alone after a move", 14, "days", _NO_SOURCE),
    ("cane from", 200, "mm", _NO_SOURCE),
    ("cane before wind from", 150, "mm", _NO_SOURCE),
    ("wind that breaks unions", 60, "km/h", _JUDGED),
    ("loosen binding from", 100, "mm", _NO_SOURCE),
    ("take binding off after loosening", 28, "days", _NO_SOURCE),
    ("measure growth every", 28, "days", _NO_SOURCE),
    ("pot on from", 400, "mm", _NO_SOURCE),
    ("pot on out of pots under", 5, "litres", _NO_SOURCE),
    ("harden off for", 8, "days", _NO_SOURCE),
    ("frost chance to harden off at", 10, "%", _JUDGED),
    ("look at set buds after", 14, "days", "the leaf stalk drops after about a fortnight"),
    ("pot where none is written", 2, "litres", _JUDGED),
    ("leaf to pot area when grown", 2.5, "times", _JUDGED),
    (
        "pieces kept for a second attempt",
        0,
        "of each variety",
        "none unless you ask; none is spent",
    ),
    ("fewest buds where wood is scarce", 2, "buds", _NO_SOURCE),
    ("longest search for a cutting plan", 60, "s", "the best plan so far is given with its gap"),
    ("roots are hurt below", -7, "°C", "a northern nursery's figure, 19 °F; no trial"),
)
THRESHOLDS = {
    practice: Threshold(practice=practice, default=default, unit=unit, basis=basis)
    for practice, default, unit, basis in _NUMBERS
}
CHOICES = {
    one.practice: one
    for one in (
        Choice(
            practice="stock shoots while the scion waits",
            default="pinch and keep one",
            options=("pinch and keep one", "rub off", "leave"),
            basis="a growers' society's handout; others rub them off at once",
        ),
        Choice(
            practice="allow for spoilt cuts of",
            default="nobody",
            options=("nobody", "learner", "practised", "expert"),
            basis="15, 5 or 2 in 100 pieces kept spare; common practice, no source",
        ),
        Choice(
            practice="bud at the back of the slant",
            default="yes",
            options=("yes", "no"),
            basis=_NO_SOURCE,
        ),
        Choice(
            practice="who gets trees first",
            default="by priority, then day of the promise",
            options=(
                "by priority, then day of the promise",
                "by day wanted, then priority",
                "smallest promises first",
            ),
            basis=_NO_SOURCE,
        ),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """The number in force, and whose it is."""

    value: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """The way in force, and whose it is."""

    value: str
    words: str


def rule(nursery: Nursery, practice: str) -> Rule:
    """Return the number a rule goes by today: the person's own, if it reads as a number."""
    threshold = THRESHOLDS[practice]
    own = own_practice(nursery, practice)
    value = number_in(own.value) if own else None
    if own is None or value is None:
        return Rule(value=threshold.default, words=threshold.basis)
    return Rule(value=value, words=_own_words(own))


def way(nursery: Nursery, practice: str) -> Way:
    """Return the way a rule goes today: the person's own, if it is one of those offered."""
    choice = CHOICES[practice]
    own = own_practice(nursery, practice)
    if own is None or own.value not in choice.options:
        return Way(value=choice.default, words=choice.basis)
    return Way(value=own.value, words=_own_words(own))


def own_practice(nursery: Nursery, practice: str) -> PracticeSet | None:
    """Return what the person set; None where the usual stands, or stands again (no value)."""
    for own in nursery.practices:
        if own.practice == practice and own.value.strip():
            return own
    return None


def said_lately(nursery: Nursery, practice: str, *, today: date, days: int) -> float | None:
    """Return a number that was said of these days, such as an expected wind; None if too old."""
    own = own_practice(nursery, practice)
    if own is None or not 0 <= (today - own.happened_on).days <= days:
        return None
    return number_in(own.value)


def number_in(text: str) -> float | None:
    """Return the number a text begins with; None where it does not begin with one."""
    try:
        value = float(text.replace(",", ".").split()[0])
    except (ValueError, IndexError):
        return None
    return value if isfinite(value) else None


def _own_words(own: PracticeSet) -> str:
    return f"your own practice: {own.words}" if own.words else "your own practice"
