"""From a spot to its tree: the stocks that suit, each with its size, objections and distances."""

from collections.abc import Sequence
from dataclasses import dataclass

from graftwright.errors import NotUnderstood
from graftwright.notebook.entries import SpotDescribed
from graftwright.planting import (
    Catalogue,
    Objection,
    SizeRange,
    Spot,
    StakeAdvice,
    TreeForm,
    UnionHeightAdvice,
    VarietyVigour,
    rootstock_named,
    size_range,
    stake_advice,
    suitable_stocks,
    union_height_advice,
)
from graftwright.planting.forms import forms_printed
from graftwright.planting.rootstock import Rootstock, Span
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Distances:
    """How far apart trees stand in the row and row from row, as printed or as wide as they grow.

    `sources` is empty where nobody prints a distance and the spread is taken instead. [m]
    """

    in_row_low_m: float
    in_row_high_m: float
    between_rows_m: float
    sources: tuple[str, ...]

    @property
    def in_row_m(self) -> float:
        """The middle of the range: the distance taken where one is needed."""
        return (self.in_row_low_m + self.in_row_high_m) / 2.0

    @property
    def sentence(self) -> str:
        """The distances in words."""
        low, high = f"{self.in_row_low_m:.1f}", f"{self.in_row_high_m:.1f}"
        span = f"{low} m" if low == high else told("{low} to {high} m", low=low, high=high)
        basis = (
            say("as printed") if self.sources else say("taken from the spread; nobody prints one")
        )
        return told("{span} from tree to tree ({basis})", span=span, basis=basis)


@dataclass(frozen=True, slots=True, kw_only=True)
class StockChoice:
    """One stock for a spot; a name no list knows has the widest size and says so."""

    rootstock: str
    size: SizeRange
    objections: tuple[Objection, ...]
    stake: StakeAdvice
    union: UnionHeightAdvice
    distances: Distances

    @property
    def is_suitable(self) -> bool:
        """Whether the stock is known and no objection rules it out by itself."""
        return self.size.is_stock_known and not any(one.is_bar for one in self.objections)


@dataclass(frozen=True, slots=True, kw_only=True)
class VigourTaken:
    """How strongly the variety is taken to grow, and who says so, each in full in `sources`."""

    vigour: VarietyVigour
    words: str
    sources: tuple[str, ...] = ()


def vigour_taken(
    described: SpotDescribed, *, catalogue: Catalogue, variety: str | None
) -> VigourTaken:
    """Return the vigour of the variety wanted: what the person said, else what the lists say.

    `variety` is its key; None where it is in no list. Sources that disagree leave it not known.
    """
    if described.variety_vigour is not VarietyVigour.NOT_KNOWN:
        return VigourTaken(
            vigour=described.variety_vigour,
            words=told("{variety_vigour}, as you say", variety_vigour=described.variety_vigour),
        )
    known = catalogue.variety(variety) if variety else None
    if known is None or not known.vigour_reports:
        return VigourTaken(vigour=VarietyVigour.NOT_KNOWN, words=say("not known: no list gives it"))
    said = "; ".join(
        f"{report.vigour} ({report.source.split(',')[0]})" for report in known.vigour_reports
    )
    disagree = known.vigour is VarietyVigour.NOT_KNOWN
    return VigourTaken(
        vigour=known.vigour,
        words=told("the sources disagree: {said}", said=said) if disagree else said,
        sources=tuple(f"{one.vigour}: {one.source}" for one in known.vigour_reports),
    )


def spot_of(
    described: SpotDescribed, *, variety_vigour: VarietyVigour = VarietyVigour.NOT_KNOWN
) -> Spot:
    """Return the spot as the planting arithmetic takes it."""
    return Spot(
        space_m=described.space_m,
        height_limit_m=described.height_limit_m,
        soil=described.soil,
        wetness=described.wetness,
        exposure=described.exposure,
        ground=described.ground,
        is_stake_allowed=described.is_stake_allowed,
        pot_litres=described.pot_litres,
        form=described.form,
        variety_vigour=variety_vigour,
    )


def stocks_for(
    described: SpotDescribed,
    *,
    catalogue: Catalogue,
    variety: str | None = None,
    only: Sequence[str] = (),
) -> tuple[StockChoice, ...]:
    """Return the stocks for a spot, the best first, those ruled out after them.

    Parameters
    ----------
    variety
        Key of the variety wanted, so that its vigour and its union with each stock are looked up.
    only
        Names of the stocks to choose from, in any spelling; those no list knows come last.

    Raises
    ------
    NotUnderstood, Ambiguous
        If the variety is not in the catalogue, or a name stands for several.
    """
    taken = vigour_taken(described, catalogue=catalogue, variety=variety)
    spot = spot_of(described, variety_vigour=taken.vigour)
    known, unknown = _known_and_not(only, catalogue)
    advice = (
        suitable_stocks(
            spot, catalogue=catalogue, crop=described.crop, variety=variety, among=known
        )
        if known or not unknown
        else ()
    )
    choices = [
        _choice(one.rootstock, one.size, one.objections, spot.form, catalogue) for one in advice
    ]
    for name in unknown:
        size = size_range(
            name, catalogue=catalogue, crop=described.crop, conditions=spot.conditions
        )
        choices.append(_choice(name, size, (), spot.form, catalogue))
    return tuple(choices)


def _choice(
    name: str,
    size: SizeRange,
    objections: tuple[Objection, ...],
    form: TreeForm,
    catalogue: Catalogue,
) -> StockChoice:
    return StockChoice(
        rootstock=name,
        size=size,
        objections=objections,
        stake=stake_advice(name, catalogue=catalogue),
        union=union_height_advice(name, catalogue=catalogue),
        distances=distances_of(name, form=form, size=size, catalogue=catalogue),
    )


def _known_and_not(
    names: Sequence[str], catalogue: Catalogue
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    known: dict[str, None] = {}
    unknown: dict[str, None] = {}
    for name in names:
        try:
            known[rootstock_named(name, catalogue=catalogue).key] = None
        except NotUnderstood:
            unknown[name] = None
    return tuple(known), tuple(unknown)


def distances_of(
    rootstock: str, *, form: TreeForm, size: SizeRange, catalogue: Catalogue
) -> Distances:
    """Return the distances for a stock in a form: of the form, else of the stock, else its spread.

    Rows stand half as far apart again as the trees in them where no source prints it (common
    practice, no source).
    """
    stock = _stock_or_none(rootstock, catalogue)
    printed = _of_form(stock, form, catalogue) if stock else ()
    if not printed and stock is not None and not form.is_trained:
        printed = _of_stock(stock)
    ends = [end for span, _, _ in printed for end in (span.low, span.high) if end is not None]
    if not ends:
        ends = [size.spread_low_m, size.spread_high_m]
    rows = [row_m for _, row_m, _ in printed if row_m is not None]
    middle_m = (min(ends) + max(ends)) / 2.0
    return Distances(
        in_row_low_m=min(ends),
        in_row_high_m=max(ends),
        between_rows_m=max(rows) if rows else 1.5 * middle_m,
        sources=tuple(dict.fromkeys(source for _, _, source in printed)),
    )


_Printed = tuple[Span, float | None, str]


def _stock_or_none(name: str, catalogue: Catalogue) -> Rootstock | None:
    try:
        return rootstock_named(name, catalogue=catalogue)
    except NotUnderstood:
        return None


def _of_form(stock: Rootstock, form: TreeForm, catalogue: Catalogue) -> tuple[_Printed, ...]:
    return tuple(
        (row.in_row_m, row.row_m.high, row.source)
        for row in forms_printed(form, stock=stock, catalogue=catalogue)
        if row.in_row_m.is_known
    )


def _of_stock(stock: Rootstock) -> tuple[_Printed, ...]:
    return tuple(
        (report.in_row_m, report.row_spacing_m, report.source)
        for report in stock.reports
        if report.in_row_m.is_known
    )
