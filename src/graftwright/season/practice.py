"""Thresholds of the everyday rules: a default with its basis, or the person's own practice."""

from dataclasses import dataclass

from graftwright.notebook.standing import Nursery


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A number a rule goes by. `basis` says where the default comes from."""

    practice: str
    default: float
    unit: str
    basis: str


_NO_SOURCE = "common practice, no source"
THRESHOLDS = {
    one.practice: one
    for one in (
        Threshold(practice="check bundles every", default=30, unit="days", basis=_NO_SOURCE),
        Threshold(
            practice="look at waiting grafts every", default=7, unit="days", basis=_NO_SOURCE
        ),
        Threshold(
            practice="judge the take after buds move", default=21, unit="days", basis=_NO_SOURCE
        ),
        Threshold(practice="rub off stock shoots every", default=14, unit="days", basis=_NO_SOURCE),
        Threshold(practice="thin to two shoots from", default=100, unit="mm", basis=_NO_SOURCE),
        Threshold(practice="thin to one shoot from", default=200, unit="mm", basis=_NO_SOURCE),
        Threshold(practice="cane from", default=200, unit="mm", basis=_NO_SOURCE),
        Threshold(practice="loosen binding from", default=100, unit="mm", basis=_NO_SOURCE),
        Threshold(practice="measure growth every", default=28, unit="days", basis=_NO_SOURCE),
        Threshold(practice="pot on from", default=400, unit="mm", basis=_NO_SOURCE),
    )
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """The number in force, and whose it is."""

    value: float
    words: str


def rule(nursery: Nursery, practice: str) -> Rule:
    """Return the number a rule goes by today: the person's own, if it reads as a number."""
    threshold = THRESHOLDS[practice]
    for own in nursery.practices:
        if own.practice == practice:
            try:
                value = float(own.value.replace(",", ".").split()[0])
            except (ValueError, IndexError):
                break
            reason = f": {own.words}" if own.words else ""
            return Rule(value=value, words=f"your own practice{reason}")
    return Rule(value=threshold.default, words=threshold.basis)
