"""How high above the soil the union is planted, as each source gives it."""

from dataclasses import dataclass

from graftwright.errors import NotUnderstood
from graftwright.planting.catalogue import Catalogue, rootstock_named
from graftwright.planting.reports import Crop
from graftwright.planting.rootstock import Rootstock
from graftwright.tongue import marked, say, told

# Trials that tied tree size to union height used these three (GoodFruitUnion).
_STOCKS_WITH_EVIDENCE = frozenset({"m9", "m26", "mm111"})
_FULL_SIZE_PERCENT = 90.0
_FULL_SIZE_SPECIES = frozenset({marked("Pyrus communis"), marked("Prunus avium")})
_FULL_SIZE_STOCKS = frozenset(
    {"seedling", "m25", "antonovka313seedlingtype", "brompton", "myrobalanseedling"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnionHeightRange:
    """The height of the union above the soil one source gives. [mm]"""

    low_mm: float
    high_mm: float
    source_key: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnionHeightAdvice:
    """What the sources say for one tree; ranges that differ stand side by side.

    `is_at_nursery_depth` is True where the stock does not hold the tree small.
    """

    rootstock: str
    ranges: tuple[UnionHeightRange, ...]
    is_at_nursery_depth: bool
    sentences: tuple[str, ...]


# 2-3 inches and 3-6 inches in the originals.
_CLEMENTS = UnionHeightRange(
    low_mm=51.0,
    high_mm=76.0,
    source_key="ClementsUnion",
    source=marked("Clements J., University of Massachusetts, apples.extension.org"),
)
_CRASSWELLER = UnionHeightRange(
    low_mm=76.0,
    high_mm=152.0,
    source_key="Crassweller",
    source=marked("Crassweller R., Penn State University, apples.extension.org"),
)
_LOOK_AGAIN = marked(
    "Soil and tree settle: look again after a year, and draw soil away from the union ({source}).",
    source=_CLEMENTS.source,
)
_DO_NOT_BURY = marked(
    "Keep the union above the soil: a buried union lets the scion root, and the tree then grows "
    "to full size ({source}).",
    source=_CLEMENTS.source,
)
_INTERSTEM = marked(
    "Plant so that the piece between is at least partly buried, which checks suckers ({source}).",
    source=_CLEMENTS.source,
)


def union_height_advice(
    rootstock: str | None,
    *,
    catalogue: Catalogue,
    has_interstem: bool = False,
    stem_below_union_mm: float | None = None,
    is_ground_soft: bool = False,
) -> UnionHeightAdvice:
    """Say how high to keep the union, naming each source with its own range.

    An unknown stock is advised as a size-controlling one, since a union too high does no harm
    and a buried one may. `stem_below_union_mm` is the bare stem between the top root and the
    union; on soft ground a short one draws a note, since the tree sinks with the soil.

    Source
    ------
    ClementsUnion, Crassweller.
    """
    stock = _known(rootstock, catalogue)
    name = stock.preferred_name if stock else say("unknown stock")
    if has_interstem:
        return _advice(name, ranges=(), sentences=(_INTERSTEM, _LOOK_AGAIN))
    if stock is not None and not holds_tree_small(stock):
        nursery = told(
            "{name} does not hold the tree small: plant at the depth of the "
            "nursery, usually just below the union ({source}).",
            name=name,
            source=_CRASSWELLER.source,
        )
        return _advice(name, ranges=(), sentences=(nursery, _LOOK_AGAIN), is_at_nursery_depth=True)
    ranges = (_CLEMENTS, _CRASSWELLER)
    spoken = tuple(
        told(
            "Union {low_mm:.0f} to {high_mm:.0f} mm above the soil ({source}).",
            low_mm=r.low_mm,
            high_mm=r.high_mm,
            source=r.source,
        )
        for r in ranges
    )
    reserves = (*_reserves(stock), *_low_worked(stem_below_union_mm, is_ground_soft))
    return _advice(name, ranges=ranges, sentences=(*spoken, *reserves, _DO_NOT_BURY, _LOOK_AGAIN))


def has_union_height_evidence(stock: Rootstock) -> bool:
    """Whether trials showed that a higher union makes trees on this stock smaller."""
    return stock.key in _STOCKS_WITH_EVIDENCE


def holds_tree_small(stock: Rootstock) -> bool:
    """Whether the stock makes a tree smaller than a seedling would.

    By its percentage of a standard tree where one is printed, else by what kind of plant it is.
    """
    highs = [r.standard_percent.high for r in stock.reports if r.standard_percent.high is not None]
    if highs:
        return sum(highs) / len(highs) < _FULL_SIZE_PERCENT
    return stock.key not in _FULL_SIZE_STOCKS and not (
        stock.species in _FULL_SIZE_SPECIES and "dwarf" not in stock.key
    )


def _reserves(stock: Rootstock | None) -> tuple[str, ...]:
    if stock is None:
        return (say("The stock is not known: advised as if it held the tree small."),)
    if stock.crop is not Crop.APPLE:
        return (
            told(
                "Both sources speak of apple; for {crop} nothing of the kind was found.",
                crop=stock.crop,
            ),
        )
    return ()


def _low_worked(stem_mm: float | None, is_ground_soft: bool) -> tuple[str, ...]:
    if stem_mm is None or not is_ground_soft or stem_mm >= _CRASSWELLER.high_mm:
        return ()
    return (
        told(
            "Low-worked: {stem_mm:.0f} mm of stem below the union, and soft ground "
            "sinks. Firm the soil first and plant a little proud (common practice, "
            "no source).",
            stem_mm=stem_mm,
        ),
    )


def _known(name: str | None, catalogue: Catalogue) -> Rootstock | None:
    if name is None:
        return None
    try:
        return rootstock_named(name, catalogue=catalogue)
    except NotUnderstood:
        return None


def _advice(
    name: str,
    *,
    ranges: tuple[UnionHeightRange, ...],
    sentences: tuple[str, ...],
    is_at_nursery_depth: bool = False,
) -> UnionHeightAdvice:
    return UnionHeightAdvice(
        rootstock=name,
        ranges=ranges,
        is_at_nursery_depth=is_at_nursery_depth,
        sentences=sentences,
    )
