"""Several varieties on one tree kept in balance: what outgrows the rest, and what would go with it.

Nothing published gives limits for girths: a limb is named where its cross-section is more than
twice, or less than half, the middle one of the others (common practice, no source).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import median

from graftwright.errors import GraftwrightError
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.planting import Catalogue, Variety, VarietyVigour, variety_named
from graftwright.planting.bloom import FloweringWindow, flowering_window
from graftwright.tongue import marked, number, say

TOO_THICK_RATIO = 2.0
TOO_THIN_RATIO = 0.5
_STRENGTH = {VarietyVigour.WEAK: 0, VarietyVigour.MIDDLING: 1, VarietyVigour.STRONG: 2}
_WORDS = {
    VarietyVigour.WEAK: marked("weak"),
    VarietyVigour.MIDDLING: marked("middling"),
    VarietyVigour.STRONG: marked("strong"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A variety on the tree: 0 is the tree's own; `section_ratio` compares cross-sections."""

    part_number: int
    variety: str
    limb: str = ""
    vigour: str = ""
    girth_mm: float | None = None
    section_ratio: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """How a tree's varieties stand to one another: what to mind, which limb to check, companions.

    `companions` are bundles in store, by code, whose variety is not on the tree yet, grows about
    as strongly as all that are, and flowers with at least one of them.
    """

    shares: tuple[Share, ...]
    warnings: tuple[str, ...]
    checks: tuple[str, ...]
    companions: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    name: str
    variety: Variety | None
    window: FloweringWindow | None

    @property
    def strength(self) -> int | None:
        return _STRENGTH.get(self.variety.vigour) if self.variety else None


def balance_of(tree: Tree, notebook: Notebook, *, catalogue: Catalogue) -> Balance | None:
    """Return the balance of a tree with several living varieties; None for any other."""
    shares = _shares(tree, notebook)
    if len(shares) < 2:
        return None
    names = tuple(dict.fromkeys(one.variety for one in shares))
    known = {name: _known(name, catalogue) for name in names}
    return Balance(
        shares=tuple(_with_vigour(one, known[one.variety]) for one in shares),
        warnings=(*_vigour_warnings(known), *_flowering_warnings(known)),
        checks=tuple(_checks(shares)),
        companions=tuple(_companions(known, notebook, catalogue)),
    )


def _shares(tree: Tree, notebook: Notebook) -> tuple[Share, ...]:
    own = [(0, tree.bundle_code, "", tree.girth_mm)] if tree.is_alive else []
    there = [(p.number, p.bundle_code, p.limb, p.girth_mm) for p in tree.parts if p.is_there]
    found = (*own, *there)
    girths = {part_number: girth_mm for part_number, _, _, girth_mm in found}
    return tuple(
        Share(
            part_number=part_number,
            variety=notebook.variety_of_bundle(bundle_code),
            limb=limb,
            girth_mm=girth_mm,
            section_ratio=_section_ratio(part_number, girths),
        )
        for part_number, bundle_code, limb, girth_mm in found
    )


def _section_ratio(part_number: int, girths: Mapping[int, float | None]) -> float | None:
    """Return a limb's cross-section as a multiple of the others' median; girths count squared."""
    mine = girths[part_number]
    others = [mm for other, mm in girths.items() if other != part_number and mm is not None]
    return (mine / median(others)) ** 2 if mine is not None and others else None


def _known(name: str, catalogue: Catalogue) -> _Known:
    try:
        variety = variety_named(name, catalogue=catalogue)
    except GraftwrightError:
        return _Known(name=name, variety=None, window=None)
    return _Known(name=name, variety=variety, window=flowering_window(variety, catalogue=catalogue))


def _with_vigour(share: Share, known: _Known) -> Share:
    word = _WORDS.get(known.variety.vigour) if known.variety else None
    return Share(
        part_number=share.part_number,
        variety=share.variety,
        limb=share.limb,
        vigour=say(word) if word else "",
        girth_mm=share.girth_mm,
        section_ratio=share.section_ratio,
    )


def _vigour_warnings(known: Mapping[str, _Known]) -> Iterator[str]:
    by_strength = {name: one.strength for name, one in known.items()}
    strong = [name for name, strength in by_strength.items() if strength == 2]
    weak = [name for name, strength in by_strength.items() if strength == 0]
    if strong and weak:
        yield say(
            "{strong} grows strongly and {weak} weakly: on one tree the strong one shades the weak "
            "one out. Give {weak} the best place, sunny and upright, and shorten {strong} in "
            "summer, year by year."
        ).format(strong=", ".join(strong), weak=", ".join(weak))


def _flowering_warnings(known: Mapping[str, _Known]) -> Iterator[str]:
    for one, other in combinations(known.values(), 2):
        if one.window and other.window and not _flower_together(one, other):
            yield say(
                "{one} and {other} are not in flower together: neither is pollen for the other."
            ).format(one=one.name, other=other.name)


def _flower_together(one: _Known, other: _Known) -> bool:
    if one.window is None or other.window is None:
        return False
    starts = max(one.window.open_from_doy, other.window.open_from_doy)
    return starts <= min(one.window.open_to_doy, other.window.open_to_doy)


def _checks(shares: Sequence[Share]) -> Iterator[str]:
    for one in shares:
        if one.section_ratio is None:
            continue
        limb = f"{one.limb} ({one.variety})" if one.limb else one.variety
        times = number(one.section_ratio, ".1f")
        if one.section_ratio > TOO_THICK_RATIO:
            yield say(
                "Check {limb}: its cross-section is {times} times the middle one of "
                "the others. It takes the tree over; shorten it in summer."
            ).format(limb=limb, times=times)
        elif one.section_ratio < TOO_THIN_RATIO:
            yield say(
                "Check {limb}: its cross-section is only {times} of the middle one of "
                "the others. Give it light, and leave it unshortened."
            ).format(limb=limb, times=times)


def _companions(
    known: Mapping[str, _Known], notebook: Notebook, catalogue: Catalogue
) -> Iterator[tuple[str, str]]:
    here = [one for one in known.values() if one.variety]
    strengths = [one.strength for one in here if one.strength is not None]
    if not here or not strengths:
        return
    keys = {one.variety.key for one in here if one.variety}
    for code, bundle in notebook.bundles.items():
        if not bundle.is_in_store:
            continue
        other = _known(notebook.variety_of_bundle(code), catalogue)
        if other.variety is None or other.variety.key in keys or other.strength is None:
            continue
        same_crop = all(one.variety and one.variety.crop is other.variety.crop for one in here)
        is_like = max(abs(other.strength - strength) for strength in strengths) <= 1
        if same_crop and is_like and any(_flower_together(other, one) for one in here):
            yield code, other.name
