"""How big a tree grows: a range from every source heard, moved by soil, variety and union."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp

from graftwright.errors import NotUnderstood
from graftwright.planting.catalogue import Catalogue, rootstock_named
from graftwright.planting.conditions import GrowingConditions, Soil, TreeForm, VarietyVigour
from graftwright.planting.forms import forms_printed
from graftwright.planting.reports import Crop, SourceKind
from graftwright.planting.rootstock import Rootstock, RootstockReport, Span
from graftwright.planting.union_height import has_union_height_evidence, holds_tree_small
from graftwright.planting.vigour_fit import VigourFit, fit_vigour
from graftwright.tongue import marked, say, told

# One nursery puts the pull of soil, exposure and variety together at about a quarter either way;
# here each of the two takes half of it. (orangepippintrees.co.uk, mature height of fruit trees)
_HALF_OF_A_QUARTER = 0.125
_SOIL_STEPS = {
    Soil.POOR: (-1.0, 0.0),
    Soil.AVERAGE: (-0.5, 0.5),
    Soil.RICH: (0.0, 1.0),
    Soil.NOT_KNOWN: (-1.0, 1.0),
}
_VARIETY_STEPS = {
    VarietyVigour.WEAK: (-1.0, 0.0),
    VarietyVigour.MIDDLING: (-0.5, 0.5),
    VarietyVigour.STRONG: (0.0, 1.0),
    VarietyVigour.NOT_KNOWN: (-1.0, 1.0),
}
_VARIETY_WORDS = {
    VarietyVigour.WEAK: marked("A weak variety: down to an eighth smaller, none larger."),
    VarietyVigour.MIDDLING: marked("A variety of middling vigour: a sixteenth either way."),
    VarietyVigour.STRONG: marked("A strong variety: up to an eighth larger, none smaller."),
    VarietyVigour.NOT_KNOWN: marked(
        "How strongly the variety grows is not known: an eighth either way."
    ),
}
# Shrinking for each centimetre of union above the usual planting height. The source gives the
# direction, and that M26 at 30 cm stayed smaller than M9 at 15 cm, but no slope: the low end is
# nought, the high end is twice the slope that the comparison needs. (GoodFruitUnion)
_UNION_SLOPE_PER_CM = (0.0, 0.03)
_USUAL_UNION_HEIGHT_MM = 100.0
# A pot checks growth; by how much is common practice, no source.
_POT_FACTORS = (0.5, 0.9)
# Spread of a tree against its height where no source prints it (shipped trials, RHSRootstocks).
_SPREAD_OF_HEIGHT = (0.55, 1.35)
# A source that prints only the upper or lower end: the other end taken this far off.
_OPEN_END = 0.65


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceRange:
    """The height one source prints, as printed. [m]"""

    source: str
    source_kind: SourceKind
    low_m: float | None
    high_m: float | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRange:
    """How big the tree may grow. Never one number: a low and a high end, with the reasons. [m]

    `by_source` are the printed heights before soil, variety and union moved them.
    """

    rootstock: str
    is_stock_known: bool
    height_low_m: float
    height_high_m: float
    spread_low_m: float
    spread_high_m: float
    by_source: tuple[SourceRange, ...]
    sources_disagree: bool
    reasons: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """The size in words, as it may stand on a card."""
        stock = (
            told("on {rootstock}", rootstock=self.rootstock)
            if self.is_stock_known
            else say("the stock is not known")
        )
        return told(
            "{height_low_m:.1f} to {height_high_m:.1f} m high and "
            "{spread_low_m:.1f} to {spread_high_m:.1f} m wide when grown ({stock})",
            height_low_m=self.height_low_m,
            height_high_m=self.height_high_m,
            spread_low_m=self.spread_low_m,
            spread_high_m=self.spread_high_m,
            stock=stock,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ends:
    low_m: float
    high_m: float

    def times(self, low_ratio: float, high_ratio: float) -> "_Ends":
        return _Ends(low_m=self.low_m * low_ratio, high_m=self.high_m * high_ratio)


# Three wires at the narrowest to four at the widest, as the shipped table of forms prints them.
_ESPALIER = _Ends(low_m=3 * 0.35, high_m=4 * 0.45)


def size_range(
    rootstock: str | None,
    *,
    catalogue: Catalogue,
    fit: VigourFit | None = None,
    crop: Crop = Crop.APPLE,
    conditions: GrowingConditions | None = None,
) -> SizeRange:
    """Give the height and spread of a grown tree as a range.

    Parameters
    ----------
    rootstock
        Any name of the stock; None, or a name not in the catalogue, gives the widest range.
    fit
        The fitted strengths, for stocks whose height nobody prints; fitted anew if left out.
    crop
        Which stocks to span when the stock is not known.
    conditions
        Soil, variety, form, union height and pot; all not known if left out.

    Raises
    ------
    NotUnderstood
        If no height is known for any stock of the crop.

    Source
    ------
    Each range names its own; GoodFruitUnion and ClementsUnion for the union's height.
    """
    wanted = conditions or GrowingConditions()
    stock = _known(rootstock, catalogue)
    if stock is None:
        return _any_size(rootstock, catalogue, crop, wanted)
    by_source = _source_ranges(stock)
    reasons: list[str] = []
    base = _base(stock, by_source, catalogue, fit, reasons)
    return _grown(stock, base, by_source, catalogue, wanted, reasons)


def _grown(
    stock: Rootstock,
    base: _Ends,
    by_source: tuple[SourceRange, ...],
    catalogue: Catalogue,
    conditions: GrowingConditions,
    reasons: list[str],
) -> SizeRange:
    moved = _moved(base, conditions, reasons)
    moved = _by_union(moved, stock, catalogue, conditions, reasons)
    spread = _spread(stock, base, moved, reasons)
    height, spread = _by_form(moved, spread, stock, catalogue, conditions.form, reasons)
    return SizeRange(
        rootstock=stock.preferred_name,
        is_stock_known=True,
        height_low_m=height.low_m,
        height_high_m=height.high_m,
        spread_low_m=spread.low_m,
        spread_high_m=spread.high_m,
        by_source=by_source,
        sources_disagree=_disagree(by_source),
        reasons=tuple(reasons),
    )


def _known(name: str | None, catalogue: Catalogue) -> Rootstock | None:
    if name is None:
        return None
    try:
        return rootstock_named(name, catalogue=catalogue)
    except NotUnderstood:
        return None


def _source_ranges(stock: Rootstock) -> tuple[SourceRange, ...]:
    return tuple(
        SourceRange(
            source=report.source,
            source_kind=report.source_kind,
            low_m=report.height_m.low,
            high_m=report.height_m.high,
            note=report.note,
        )
        for report in stock.reports
        if report.height_m.is_known and report.source_kind is not SourceKind.MEMORY
    )


def _disagree(by_source: Sequence[SourceRange]) -> bool:
    """Whether two printed ranges have no height in common."""
    lows = [r.low_m for r in by_source if r.low_m is not None]
    highs = [r.high_m for r in by_source if r.high_m is not None]
    return bool(lows and highs) and max(lows) > min(highs)


def _base(
    stock: Rootstock,
    by_source: Sequence[SourceRange],
    catalogue: Catalogue,
    fit: VigourFit | None,
    reasons: list[str],
) -> _Ends:
    if by_source:
        if _disagree(by_source):
            reasons.append(say("The sources do not agree; the range spans them all."))
        return _envelope(by_source, reasons)
    if stock.crop is not Crop.APPLE:
        return _all_stocks_of(stock.crop, catalogue, reasons)
    fitted = fit or fit_vigour(catalogue.trials, rootstocks=catalogue.rootstocks)
    low_m, high_m = fitted.height_span_m(
        fitted.of_stock(stock.preferred_name, rootstocks=catalogue.rootstocks)
    )
    reasons.append(
        told(
            "No source prints a height for {preferred_name}: worked out from trunk "
            "sections and percentages, so the range is wide.",
            preferred_name=stock.preferred_name,
        )
    )
    return _Ends(low_m=low_m, high_m=high_m)


def _envelope(by_source: Sequence[SourceRange], reasons: list[str]) -> _Ends:
    lows = [r.low_m for r in by_source if r.low_m is not None]
    highs = [r.high_m for r in by_source if r.high_m is not None]
    if not lows:
        reasons.append(say("The sources give only an upper end; the lower one is a guess."))
    if not highs:
        reasons.append(say("The sources give only a lower end; the upper one is a guess."))
    # An "up to" below every printed low end is a low end too, and the other way about.
    low_m = min([*lows, *highs]) if lows else min(highs) * _OPEN_END
    high_m = max([*lows, *highs]) if highs else max(lows) / _OPEN_END
    return _Ends(low_m=low_m, high_m=high_m)


def _all_stocks_of(crop: Crop, catalogue: Catalogue, reasons: list[str]) -> _Ends:
    ranges = [r for s in catalogue.rootstocks if s.crop is crop for r in _source_ranges(s)]
    if not ranges:
        raise NotUnderstood(
            told(
                "no height is known for any stock of {crop}; expected at least one in "
                "the catalogue; ask the nursery that sells the stock",
                crop=crop,
            )
        )
    reasons.append(
        told(
            "The stock's own height is not known: the range spans every stock of {crop} there is.",
            crop=crop,
        )
    )
    return _envelope(ranges, [])


def _any_size(
    name: str | None, catalogue: Catalogue, crop: Crop, conditions: GrowingConditions
) -> SizeRange:
    reasons: list[str] = []
    unmoved = replace(conditions, soil=Soil.NOT_KNOWN, variety_vigour=VarietyVigour.NOT_KNOWN)
    height = _moved(_all_stocks_of(crop, catalogue, reasons), unmoved, reasons)
    spread = height.times(*_SPREAD_OF_HEIGHT)
    return SizeRange(
        rootstock=name or say("unknown stock"),
        is_stock_known=False,
        height_low_m=height.low_m,
        height_high_m=height.high_m,
        spread_low_m=spread.low_m,
        spread_high_m=spread.high_m,
        by_source=(),
        sources_disagree=False,
        reasons=tuple(reasons),
    )


def _moved(base: _Ends, conditions: GrowingConditions, reasons: list[str]) -> _Ends:
    soil, variety = _SOIL_STEPS[conditions.soil], _VARIETY_STEPS[conditions.variety_vigour]
    low = 1.0 + _HALF_OF_A_QUARTER * (soil[0] + variety[0])
    high = 1.0 + _HALF_OF_A_QUARTER * (soil[1] + variety[1])
    reasons.append(told("Soil {soil}.", soil=conditions.soil))
    reasons.append(_VARIETY_WORDS[conditions.variety_vigour])
    moved = base.times(low, high)
    if conditions.pot_litres is not None:
        reasons.append(say("A pot keeps the tree smaller; by how much nobody has published."))
        moved = moved.times(*_POT_FACTORS)
    return moved


def _by_union(
    ends: _Ends,
    stock: Rootstock,
    catalogue: Catalogue,
    conditions: GrowingConditions,
    reasons: list[str],
) -> _Ends:
    height_mm = conditions.union_height_mm
    if height_mm is None or not holds_tree_small(stock):
        return ends
    if height_mm <= 0.0:
        full = _all_stocks_of(stock.crop, catalogue, [])
        reasons.append(
            say("The union is buried: the scion may root and the tree grow to full size.")
        )
        return _Ends(low_m=ends.low_m, high_m=max(ends.high_m, full.high_m))
    if not has_union_height_evidence(stock):
        reasons.append(
            told(
                "For {preferred_name} nothing is published on size and union height.",
                preferred_name=stock.preferred_name,
            )
        )
        return ends
    above_cm = (height_mm - _USUAL_UNION_HEIGHT_MM) / 10.0
    factors = sorted(exp(-slope * above_cm) for slope in _UNION_SLOPE_PER_CM)
    side = say("smaller") if above_cm > 0.0 else say("larger")
    reasons.append(
        told(
            "The union at {height_mm:.0f} mm makes for a {side} tree on this stock.",
            height_mm=height_mm,
            side=side,
        )
    )
    return ends.times(factors[0], factors[-1])


def _spread(stock: Rootstock, base: _Ends, moved: _Ends, reasons: list[str]) -> _Ends:
    """The printed spreads, or planting distances, moved as far as the height was."""
    widths = [m for report in stock.reports for m in _widths_m(report)]
    if not widths:
        reasons.append(say("No source prints a spread: taken from the height."))
        return moved.times(*_SPREAD_OF_HEIGHT)
    printed = _Ends(low_m=min(widths), high_m=max(widths))
    return printed.times(moved.low_m / base.low_m, moved.high_m / base.high_m)


def _widths_m(report: RootstockReport) -> tuple[float, ...]:
    ends = (report.spread_m, report.in_row_m.low, report.in_row_m.high)
    return tuple(end for end in ends if end is not None)


def _by_form(
    height: _Ends,
    spread: _Ends,
    stock: Rootstock,
    catalogue: Catalogue,
    form: TreeForm,
    reasons: list[str],
) -> tuple[_Ends, _Ends]:
    if not form.is_trained:
        return height, spread
    rows = forms_printed(form, stock=stock, catalogue=catalogue)
    tall, wide = _ends([r.height_m for r in rows]), _ends([r.in_row_m for r in rows])
    if tall is None and form is TreeForm.ESPALIER:
        tall = _ESPALIER
        reasons.append(
            say(
                "As espalier the height is that of three or four wires, 35 to 45 cm "
                "apart (GreenThumbZone)."
            )
        )
    elif tall is None:
        reasons.append(told("No source prints the height of a {form} on this stock.", form=form))
    else:
        reasons.append(told("As {form} the height is kept by pruning.", form=form))
    return tall or height, wide or spread


def _ends(spans: Sequence[Span]) -> _Ends | None:
    ends = [end for span in spans for end in (span.low, span.high) if end is not None]
    return _Ends(low_m=min(ends), high_m=max(ends)) if ends else None
