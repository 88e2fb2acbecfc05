"""Losses that clump: is one bundle, lot or place worse than chance alone would make it?

For each level of each factor the exact hypergeometric chance of so many losses or more among its
grafts, given all grafts and all losses; times the number of levels looked at, so that with no real
cause at most one report in twenty names one (Bonferroni).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import comb

FALSE_ALARM_FRACTION = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Fate:
    """One graft: whether it was lost, and its level of each factor, as (factor, level) pairs."""

    code: str
    is_lost: bool
    levels: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clump:
    """A level whose losses stand out. `chance_fraction` is the corrected chance of that."""

    factor: str
    level: str
    lost_count: int
    of_count: int
    chance_fraction: float
    same_grafts_as: tuple[tuple[str, str], ...]


def chance_of_so_many(
    lost_count: int, of_count: int, *, all_lost_count: int, all_count: int
) -> float:
    """Return the hypergeometric chance of `lost_count` losses or more among `of_count` grafts."""
    most = min(of_count, all_lost_count)
    ways = sum(
        comb(all_lost_count, lost) * comb(all_count - all_lost_count, of_count - lost)
        for lost in range(lost_count, most + 1)
        if of_count - lost <= all_count - all_lost_count
    )
    return ways / comb(all_count, of_count)


def clumps(fates: Sequence[Fate]) -> tuple[Clump, ...]:
    """Return the levels whose losses stand out, the clearest first.

    A level whose grafts are four fifths or more the grafts of another named level says so: the two
    cannot be told apart.
    """
    members = _members(fates)
    lost = {fate.code for fate in fates if fate.is_lost}
    found = []
    for (factor, level), codes in members.items():
        chance = chance_of_so_many(
            len(codes & lost), len(codes), all_lost_count=len(lost), all_count=len(fates)
        )
        corrected = min(1.0, chance * len(members))
        if corrected <= FALSE_ALARM_FRACTION:
            found.append((corrected, factor, level, codes))
    named = {(factor, level): codes for _, factor, level, codes in found}
    return tuple(
        Clump(
            factor=factor,
            level=level,
            lost_count=len(codes & lost),
            of_count=len(codes),
            chance_fraction=corrected,
            same_grafts_as=tuple(_inseparable((factor, level), codes, named)),
        )
        for corrected, factor, level, codes in sorted(found, key=lambda one: one[:3])
    )


def _members(fates: Sequence[Fate]) -> dict[tuple[str, str], set[str]]:
    """Return the grafts of each level; levels that hold all grafts or none say nothing."""
    members: dict[tuple[str, str], set[str]] = {}
    for fate in fates:
        for factor, level in fate.levels:
            if level:
                members.setdefault((factor, level), set()).add(fate.code)
    return {key: codes for key, codes in members.items() if len(codes) < len(fates)}


def _inseparable(
    mine: tuple[str, str], codes: set[str], named: dict[tuple[str, str], set[str]]
) -> Iterable[tuple[str, str]]:
    for other, others in named.items():
        if other != mine and len(codes & others) >= 0.8 * len(codes | others):
            yield other
