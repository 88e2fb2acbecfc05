"""Thresholds of the everyday rules: a default with its basis, or the person's own practice."""

from dataclasses import dataclass
from datetime import date
from math import isfinite

from graftwright.notebook.entries import PracticeSet
from graftwright.notebook.standing import Nursery
from graftwright.tongue import marked, say, told


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


_NO_SOURCE = marked("common practice, no source")
_JUDGED = marked("by judgement, no source")
_HANDOUT = marked("a growers' society's handout: the longest at 6 to 8 inches")
_NUMBERS: tuple[tuple[str, float, str, str], ...] = (
    (marked("check bundles every"), 30, marked("days"), _NO_SOURCE),
    (marked("look at waiting grafts every"), 7, marked("days"), _NO_SOURCE),
    (marked("judge the take after buds move"), 21, marked("days"), _NO_SOURCE),
    (marked("rub off stock shoots every"), 14, marked("days"), _NO_SOURCE),
    (marked("pinch stock shoots every"), 14, marked("days"), _NO_SOURCE),
    (marked("thin to two shoots from"), 150, marked("mm"), _HANDOUT),
    (marked("thin to one shoot from"), 200, marked("mm"), _NO_SOURCE),
    (marked("leave shoots alone after a move"), 14, marked("days"), _NO_SOURCE),
    (marked("cane from"), 200, marked("mm"), _NO_SOURCE),
    (marked("cane before wind from"), 150, marked("mm"), _NO_SOURCE),
    (marked("wind that breaks unions"), 60, marked("km/h"), _JUDGED),
    (marked("loosen binding from"), 100, marked("mm"), _NO_SOURCE),
    (marked("take binding off after loosening"), 28, marked("days"), _NO_SOURCE),
    (marked("measure growth every"), 28, marked("days"), _NO_SOURCE),
    (marked("pot on from"), 400, marked("mm"), _NO_SOURCE),
    (marked("pot on out of pots under"), 5, marked("litres"), _NO_SOURCE),
    (marked("harden off for"), 8, marked("days"), _NO_SOURCE),
    (marked("frost chance to harden off at"), 10, marked("%"), _JUDGED),
    (
        marked("look at set buds after"),
        14,
        marked("days"),
        marked("the leaf stalk drops after about a fortnight"),
    ),
    (marked("pot where none is written"), 2, marked("litres"), _JUDGED),
    (marked("leaf to pot area when grown"), 2.5, marked("times"), _JUDGED),
    (
        marked("pieces kept for a second attempt"),
        0,
        marked("of each variety"),
        marked("none unless you ask; none is spent"),
    ),
    (marked("fewest buds where wood is scarce"), 2, marked("buds"), _NO_SOURCE),
    (
        marked("longest search for a cutting plan"),
        60,
        marked("s"),
        marked("the best plan so far is given with its gap"),
    ),
    (
        marked("roots are hurt below"),
        -7,
        marked("°C"),
        marked("a northern nursery's figure, 19 °F; no trial"),
    ),
)
THRESHOLDS = {
    practice: Threshold(practice=practice, default=default, unit=unit, basis=basis)
    for practice, default, unit, basis in _NUMBERS
}
CHOICES = {
    one.practice: one
    for one in (
        Choice(
            practice=marked("stock shoots while the scion waits"),
            default=marked("pinch and keep one"),
            options=(marked("pinch and keep one"), marked("rub off"), "leave"),
            basis=marked("a growers' society's handout; others rub them off at once"),
        ),
        Choice(
            practice=marked("allow for spoilt cuts of"),
            default="nobody",
            options=("nobody", "learner", "practised", "expert"),
            basis=marked("15, 5 or 2 in 100 pieces kept spare; common practice, no source"),
        ),
        Choice(
            practice=marked("bud at the back of the slant"),
            default="yes",
            options=("yes", "no"),
            basis=_NO_SOURCE,
        ),
        Choice(
            practice=marked("who gets trees first"),
            default=marked("by priority, then day of the promise"),
            options=(
                marked("by priority, then day of the promise"),
                marked("by day wanted, then priority"),
                marked("smallest promises first"),
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
    return (
        told("your own practice: {own_words}", own_words=own.words)
        if own.words
        else say("your own practice")
    )
