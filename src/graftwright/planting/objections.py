"""Reasons against a stock on a spot, each in words and with the sources that give it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from graftwright.planting.catalogue import Catalogue
from graftwright.planting.compatibility import CompatibilityVerdict
from graftwright.planting.conditions import Soil, TreeForm
from graftwright.planting.forms import forms_printed
from graftwright.planting.notes import Compatibility
from graftwright.planting.rootstock import Rootstock, RootstockReport
from graftwright.planting.spot import Exposure, Ground, Spot, Wetness
from graftwright.planting.union_height import holds_tree_small
from graftwright.planting.vigour import SizeRange
from graftwright.tongue import Choice, marked, say, told


class ObjectionKind(Choice):
    """What an objection is about."""

    SPACE = "space"
    HEIGHT = "height"
    STAKE = "stake"
    GROUND = "ground"
    SOIL = "soil"
    WATER = "water"
    WIND = "wind"
    POT = "pot"
    FORM = "form"
    COMPATIBILITY = "compatibility"


@dataclass(frozen=True, slots=True, kw_only=True)
class Objection:
    """One reason against; `is_bar` where it alone rules the stock out."""

    kind: ObjectionKind
    sentence: str
    sources: tuple[str, ...]
    is_bar: bool


PRACTICE = marked("common practice, no source")

# Turns of phrase in the sources' own notes on soil and health, by what they warn of.
_WANTS_CLEAN_GROUND = ("weed-free",)
_WANTS_GOOD_SOIL = (
    "not poor",  # not said
    "rich soil",  # not said
    "fertile",
    "good soil",  # not said
    "good fertile",  # not said
    "poor toler",  # not said
)
_FEARS_WET = (
    "not wet",  # not said
    "dislikes long wet",  # not said
    "well-drained",
    "undrained",
    "drained, moist",
    "wet or dry",  # not said
    "rot highly susceptible",  # not said
    "rot susceptible",  # not said
    "rot and mildew susceptible",  # not said
    "rot and fire blight susceptible",  # not said
    "phytophthora sensitive",  # not said
)
_FEARS_DROUGHT = ("drought", "irrigat", "wet or dry", "watering")  # not said
_LIKES_DRY = (
    "dry soils",  # not said
    "dry sandy",  # not said
    "dry summers",  # not said
    "sandy, dry",
    "dry or heavy",  # not said
)
_FEARS_LIME = ("chlorosis", "high-lime")
_LIME_BEGINS_PH = 7.0
# A pot of 60 x 60 cm, the least the one published guide allows for long-term apples, in litres.
_LARGE_POT_LITRES = 150.0
_TOO_TALL_FOR_A_POT_M = 3.0
_CLEAR_STEM_OF_A_STANDARD_M = 1.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A stock on a spot, with its size and, if a variety is named, how the two live together."""

    stock: Rootstock
    spot: Spot
    size: SizeRange
    verdict: CompatibilityVerdict | None
    catalogue: Catalogue


def objections(case: Case) -> tuple[Objection, ...]:
    """Give every reason against the stock on the spot, those that rule it out first."""
    found = [objection for look in _LOOKS for objection in look(case)]
    return tuple(sorted(found, key=lambda objection: not objection.is_bar))


def _against_space(case: Case) -> Iterator[Objection]:
    size, space_m = case.size, case.spot.space_m
    sources = _size_sources(case)
    if size.spread_low_m > space_m:
        sentence = told(
            "Grows at least {spread_low_m:.1f} m wide; there is room for {space_m:.1f} m.",
            spread_low_m=size.spread_low_m,
            space_m=space_m,
        )
        yield Objection(kind=ObjectionKind.SPACE, sentence=sentence, sources=sources, is_bar=True)
    elif size.spread_high_m > space_m:
        sentence = told(
            "May grow {spread_high_m:.1f} m wide; there is room for {space_m:.1f} "
            "m, so it may have to be held back by pruning.",
            spread_high_m=size.spread_high_m,
            space_m=space_m,
        )
        yield Objection(kind=ObjectionKind.SPACE, sentence=sentence, sources=sources, is_bar=False)


def _against_height(case: Case) -> Iterator[Objection]:
    size, limit_m = case.size, case.spot.height_limit_m
    if limit_m is None or size.height_high_m <= limit_m:
        return
    is_bar = size.height_low_m > limit_m
    how = say("Grows at least") if is_bar else say("May grow")
    height_m = size.height_low_m if is_bar else size.height_high_m
    sentence = told(
        "{how} {height_m:.1f} m high; the limit is {limit_m:.1f} m.",
        how=how,
        height_m=height_m,
        limit_m=limit_m,
    )
    yield Objection(
        kind=ObjectionKind.HEIGHT, sentence=sentence, sources=_size_sources(case), is_bar=is_bar
    )


def _against_stake(case: Case) -> Iterator[Objection]:
    wanting, unwanting = case.stock.stake_sources
    if not wanting:
        return
    doubt = say(" Other sources say that it stands alone.") if unwanting else ""
    if not case.spot.is_stake_allowed:
        sentence = told("Needs a stake for life, and none is allowed here.{doubt}", doubt=doubt)
        yield Objection(
            kind=ObjectionKind.STAKE, sentence=sentence, sources=wanting, is_bar=not unwanting
        )
    if case.spot.exposure is Exposure.EXPOSED:
        sentence = told(
            "Needs a stake for life: in an exposed place it must be a stout one.{doubt}",
            doubt=doubt,
        )
        yield Objection(kind=ObjectionKind.WIND, sentence=sentence, sources=wanting, is_bar=False)


def _against_ground(case: Case) -> Iterator[Objection]:
    ground = case.spot.ground
    if ground in {Ground.ROUGH_GRASS, Ground.MOWN, Ground.GRAZED}:
        sources = _sources_saying(case.stock, _WANTS_CLEAN_GROUND)
        if sources:
            sentence = say("Wants ground free of weeds; here the grass takes its water and food.")
            yield Objection(
                kind=ObjectionKind.GROUND,
                sentence=sentence,
                sources=sources,
                is_bar=ground is not Ground.MOWN,
            )
    if ground is Ground.GRAZED and case.spot.form is not TreeForm.STANDARD:
        sentence = told(
            "Animals browse a {form}: only a standard lifts its crown from them.",
            form=case.spot.form,
        )
        yield Objection(
            kind=ObjectionKind.GROUND, sentence=sentence, sources=(PRACTICE,), is_bar=True
        )


def _against_soil(case: Case) -> Iterator[Objection]:
    ph = case.spot.soil_ph
    circumstances = (
        (case.spot.soil is Soil.POOR, _WANTS_GOOD_SOIL, say("Wants better soil than this.")),
        (ph is not None and ph > _LIME_BEGINS_PH, _FEARS_LIME, say("Turns yellow on limy soil.")),
    )
    for applies, phrases, sentence in circumstances:
        sources = _sources_saying(case.stock, phrases) if applies else ()
        if sources:
            yield Objection(
                kind=ObjectionKind.SOIL, sentence=sentence, sources=sources, is_bar=False
            )


def _against_water(case: Case) -> Iterator[Objection]:
    if case.spot.wetness is Wetness.WET:
        sources = _sources_saying(case.stock, _FEARS_WET)
        sentence = say("Suffers in wet ground.")
    elif case.spot.wetness is Wetness.DRY:
        sources = _sources_saying(case.stock, _FEARS_DROUGHT, unless=_LIKES_DRY)
        sentence = say("Must be watered in a dry summer.")
    else:
        return
    if sources:
        yield Objection(kind=ObjectionKind.WATER, sentence=sentence, sources=sources, is_bar=False)


def _against_pot(case: Case) -> Iterator[Objection]:
    litres = case.spot.pot_litres
    if litres is None:
        return
    by_word = {
        word: tuple(r.source for r in case.stock.reports if r.container_word == word)
        for word in ("y", "large")
    }
    if by_word["y"] or (by_word["large"] and litres >= _LARGE_POT_LITRES):
        return
    if by_word["large"]:
        sentence = told(
            "Goes into a pot only if it is large (60 cm across); this one has {litres:.0f} l.",
            litres=litres,
        )
        yield Objection(
            kind=ObjectionKind.POT, sentence=sentence, sources=by_word["large"], is_bar=False
        )
        return
    too_tall = _smallest_printed_m(case) > _TOO_TALL_FOR_A_POT_M
    sentence = (
        say("Too strong for a pot.") if too_tall else say("No source says that it suits a pot.")
    )
    yield Objection(kind=ObjectionKind.POT, sentence=sentence, sources=(PRACTICE,), is_bar=too_tall)


def _against_form(case: Case) -> Iterator[Objection]:
    form, stock = case.spot.form, case.stock
    if form is TreeForm.STANDARD and holds_tree_small(stock):
        clear = _CLEAR_STEM_OF_A_STANDARD_M
        is_bar = case.size.height_high_m < 2 * clear
        sentence = told(
            "A standard needs {clear} m of clear stem below its crown; this stock is weak.",
            clear=clear,
        )
        yield Objection(
            kind=ObjectionKind.FORM, sentence=sentence, sources=(PRACTICE,), is_bar=is_bar
        )
    if not form.is_trained or forms_printed(form, stock=stock, catalogue=case.catalogue):
        return
    sentence = told("No source grows a {form} on this stock.", form=form)
    yield Objection(
        kind=ObjectionKind.FORM,
        sentence=sentence,
        sources=(),
        is_bar=not holds_tree_small(stock),
    )


def _against_union(case: Case) -> Iterator[Objection]:
    found = case.verdict
    if found is None or not found.needs_care:
        return
    between = ", ".join(stem.variety for stem in found.interstems)
    advice = told(" Pieces named to go between: {between}.", between=between) if between else ""
    yield Objection(
        kind=ObjectionKind.COMPATIBILITY,
        sentence=f"{found.sentence}{advice}",
        sources=found.sources,
        is_bar=found.compatibility is Compatibility.INCOMPATIBLE,
    )


_LOOKS: tuple[Callable[[Case], Iterator[Objection]], ...] = (
    _against_space,
    _against_height,
    _against_stake,
    _against_ground,
    _against_soil,
    _against_water,
    _against_pot,
    _against_form,
    _against_union,
)


def _sources_saying(
    stock: Rootstock, phrases: Sequence[str], *, unless: Sequence[str] = ()
) -> tuple[str, ...]:
    found = (
        report.source
        for report in stock.reports
        if _says(report, phrases) and not _says(report, unless)
    )
    return tuple(dict.fromkeys(found))


def _says(report: RootstockReport, phrases: Sequence[str]) -> bool:
    words = f"{report.soil_notes}; {report.health_notes}".casefold()
    return any(phrase in words for phrase in phrases)


def _size_sources(case: Case) -> tuple[str, ...]:
    return tuple(dict.fromkeys(found.source for found in case.size.by_source))


def _smallest_printed_m(case: Case) -> float:
    lows = [found.low_m for found in case.size.by_source if found.low_m is not None]
    return min(lows, default=case.size.height_low_m)
