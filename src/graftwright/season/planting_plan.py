"""A planting plan for a plot: rows across the light, small trees on the sunny side."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from graftwright.errors import GraftwrightError, OutOfRange
from graftwright.planting import (
    Catalogue,
    Crop,
    GrowingConditions,
    TreeForm,
    Variety,
    VarietyVigour,
    size_range,
    variety_named,
)
from graftwright.season.spot import Distances, distances_of
from graftwright.tongue import say, told

_LEAST_M, _MOST_M = 1.0, 400.0
_MOST_TREES = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeWanted:
    """So many trees of one variety on one stock."""

    variety: str
    stock: str
    tree_count: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.tree_count <= _MOST_TREES:
            raise OutOfRange(
                told(
                    "{tree_count} trees of {variety}; expected 1 to {MOST_TREES}",
                    tree_count=self.tree_count,
                    variety=self.variety,
                    MOST_TREES=_MOST_TREES,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """A four-cornered plot: its width from west to east and its depth from south to north. [m]

    `latitude_deg` says on which side the sun stands; None is taken as north of the equator.
    """

    width_m: float
    depth_m: float
    latitude_deg: float | None = None

    def __post_init__(self) -> None:
        for length_m in (self.width_m, self.depth_m):
            if not _LEAST_M <= length_m <= _MOST_M:
                raise OutOfRange(
                    told(
                        "a plot {length_m:g} m long; expected {LEAST_M:g} to {MOST_M:g} m",
                        length_m=length_m,
                        LEAST_M=_LEAST_M,
                        MOST_M=_MOST_M,
                    )
                )

    @property
    def sun_stands_north(self) -> bool:
        """Whether the noon sun stands in the north."""
        return self.latitude_deg is not None and self.latitude_deg < 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TreePlace:
    """Where one tree stands: metres east and north of the plot's south-west corner."""

    number: int
    row: int
    variety: str
    stock: str
    east_m: float
    north_m: float
    spread_low_m: float
    spread_high_m: float
    height_low_m: float
    height_high_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantingPlan:
    """Every tree on its place; what does not fit is named, never squeezed in."""

    plot: Plot
    form: TreeForm
    places: tuple[TreePlace, ...]
    sentences: tuple[str, ...]
    left_out: tuple[str, ...]

    @property
    def row_count(self) -> int:
        """How many rows there are."""
        return len({place.row for place in self.places})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    variety: str
    stock: str
    distances: Distances
    spread_m: tuple[float, float]
    height_m: tuple[float, float]


def planting_plan(
    wanted: Sequence[TreeWanted],
    *,
    plot: Plot,
    catalogue: Catalogue,
    form: TreeForm = TreeForm.BUSH,
) -> PlantingPlan:
    """Return where each tree stands.

    Rows run from west to east. The smallest trees stand in the row nearest the noon sun and the
    tallest behind all others, where they shade the rest least. Half a distance is kept from the
    boundary. Within a row two neighbours stand the mean of their distances apart.

    Raises
    ------
    OutOfRange
        If more trees are wanted than one drawing holds.
    """
    count = sum(one.tree_count for one in wanted)
    if not 1 <= count <= _MOST_TREES:
        raise OutOfRange(
            told(
                "{count} trees; expected 1 to {MOST_TREES} on one plan; split the plot",
                count=count,
                MOST_TREES=_MOST_TREES,
            )
        )
    kinds = [_kind(one, catalogue=catalogue, form=form) for one in wanted]
    trees = [kind for kind, one in zip(kinds, wanted, strict=True) for _ in range(one.tree_count)]
    trees.sort(key=lambda tree: (sum(tree.height_m), tree.stock, tree.variety))
    rows = _rows(trees, plot.width_m)
    places = tuple(_placed(rows, plot))
    return PlantingPlan(
        plot=plot,
        form=form,
        places=places,
        sentences=(_sun_sentence(plot), *_distance_sentences(kinds)),
        left_out=_left_out(trees[len(places) :]),
    )


def _kind(one: TreeWanted, *, catalogue: Catalogue, form: TreeForm) -> _Kind:
    variety = _variety_or_none(one.variety, catalogue)
    size = size_range(
        one.stock,
        catalogue=catalogue,
        crop=variety.crop if variety else Crop.APPLE,
        conditions=GrowingConditions(
            form=form, variety_vigour=variety.vigour if variety else VarietyVigour.NOT_KNOWN
        ),
    )
    return _Kind(
        variety=one.variety,
        stock=one.stock,
        distances=distances_of(one.stock, form=form, size=size, catalogue=catalogue),
        spread_m=(size.spread_low_m, size.spread_high_m),
        height_m=(size.height_low_m, size.height_high_m),
    )


def _variety_or_none(name: str, catalogue: Catalogue) -> Variety | None:
    try:
        return variety_named(name, catalogue=catalogue)
    except GraftwrightError:
        return None


def _rows(trees: Sequence[_Kind], width_m: float) -> list[list[tuple[_Kind, float]]]:
    """Fill rows from the west, each tree with its distance from the western boundary."""
    rows: list[list[tuple[_Kind, float]]] = []
    for tree in trees:
        half_m = tree.distances.in_row_m / 2.0
        if rows:
            before, at_m = rows[-1][-1]
            here_m = at_m + before.distances.in_row_m / 2.0 + half_m
            if here_m + half_m <= width_m + 1e-9:
                rows[-1].append((tree, here_m))
                continue
        if 2.0 * half_m > width_m + 1e-9:
            break
        rows.append([(tree, half_m)])
    return rows


def _placed(rows: Sequence[list[tuple[_Kind, float]]], plot: Plot) -> Iterator[TreePlace]:
    """Yield the trees of the rows that fit, counted from the sunny side."""
    number, foot_m, before_m = 1, 0.0, 0.0
    for row_number, row in enumerate(rows, start=1):
        deep_m = max(tree.distances.between_rows_m for tree, _ in row)
        foot_m += deep_m / 2.0 if row_number == 1 else (before_m + deep_m) / 2.0
        if foot_m + max(tree.distances.in_row_m for tree, _ in row) / 2.0 > plot.depth_m + 1e-9:
            return
        before_m = deep_m
        spare_m = plot.width_m - row[-1][1] - row[-1][0].distances.in_row_m / 2.0
        for tree, at_m in row:
            yield TreePlace(
                number=number,
                row=row_number,
                variety=tree.variety,
                stock=tree.stock,
                east_m=at_m + spare_m / 2.0,
                north_m=plot.depth_m - foot_m if plot.sun_stands_north else foot_m,
                spread_low_m=tree.spread_m[0],
                spread_high_m=tree.spread_m[1],
                height_low_m=tree.height_m[0],
                height_high_m=tree.height_m[1],
            )
            number += 1


def _sun_sentence(plot: Plot) -> str:
    side = say("north") if plot.sun_stands_north else say("south")
    return told(
        "Rows run from west to east; the smallest trees stand to the {side}, "
        "nearest the noon sun, so that the tall ones shade them least.",
        side=side,
    )


def _distance_sentences(kinds: Sequence[_Kind]) -> tuple[str, ...]:
    return tuple(
        dict.fromkeys(
            told(
                "On {stock}: {sentence}; {in_row_m:.1f} m is taken, rows "
                "{between_rows_m:.1f} m apart.",
                stock=kind.stock,
                sentence=kind.distances.sentence,
                in_row_m=kind.distances.in_row_m,
                between_rows_m=kind.distances.between_rows_m,
            )
            for kind in kinds
        )
    )


def _left_out(trees: Sequence[_Kind]) -> tuple[str, ...]:
    ordered = sorted(trees, key=lambda tree: (tree.variety, tree.stock))
    groups = groupby(ordered, key=lambda tree: (tree.variety, tree.stock))
    return tuple(_no_room(list(group)) for _, group in groups)


def _no_room(trees: Sequence[_Kind]) -> str:
    one = trees[0]
    return told(
        "{count} × {variety} on {stock}: no room; a tree takes {in_row_m:.1f} "
        "m in its row, and rows stand {between_rows_m:.1f} m apart",
        count=len(trees),
        variety=one.variety,
        stock=one.stock,
        in_row_m=one.distances.in_row_m,
        between_rows_m=one.distances.between_rows_m,
    )
