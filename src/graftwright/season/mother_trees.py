"""Mother trees side by side: who may be cut, how far off they stand, what they will give."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import asin, atan2, cos, degrees, radians, sin, sqrt

from graftwright.notebook.entries import Certainty, Health
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import MotherTree
from graftwright.tongue import marked, say, told

SHORTEST_STICK_MM = 152.0
"""Shortest stick worth cutting: 6 inches (facts SW-002)."""

_EARTH_RADIUS_M = 6_371_008.8
_COMPASS = (
    *(marked("north"), marked("north-east"), marked("east"), marked("south-east")),
    *(marked("south"), marked("south-west"), marked("west"), marked("north-west")),
)
_UNSURE = {
    Certainty.LABEL: marked("only a label stands for its name"),
    Certainty.OWNER: marked("only the owner’s word stands for its name"),
    Certainty.UNKNOWN: marked("its name is not known"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How far off a tree stands, and in which direction from the nursery."""

    distance_m: float
    bearing_deg: float

    @property
    def words(self) -> str:
        """The way in words: 3.2 km north-east."""
        return told(
            "{distance_m:.1f} km {direction}",
            distance_m=self.distance_m / 1000.0,
            direction=self.direction,
        )

    @property
    def direction(self) -> str:
        """The direction as one of eight."""
        return _COMPASS[round(self.bearing_deg / 45.0) % 8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One mother tree with what decides whether it may be cut, and when.

    `bars` forbid cutting; `cares` are to be seen to first; `renewal` is empty where shoots do.
    """

    mother: MotherTree
    way: Way | None
    bars: tuple[str, ...]
    cares: tuple[str, ...]
    renewal: str

    @property
    def may_be_cut(self) -> bool:
        """Whether nothing forbids cutting it."""
        return not self.bars


@dataclass(frozen=True, slots=True, kw_only=True)
class Descendant:
    """One tree raised from a mother tree, and who has it."""

    code: str
    stock: str
    holder: str
    is_alive: bool


def way_between(from_deg: tuple[float, float], to_deg: tuple[float, float]) -> Way:
    """Return the way from one place to another along a great circle.

    Parameters
    ----------
    from_deg, to_deg
        Latitude and longitude. [degrees]

    Source
    ------
    Spherical geometry, no source; the globe of WGS84 is within a third of a per cent of it.
    """
    (south, west), (north, east) = (
        (radians(place[0]), radians(place[1])) for place in (from_deg, to_deg)
    )
    turn = east - west
    half = sin((north - south) / 2.0) ** 2 + cos(south) * cos(north) * sin(turn / 2.0) ** 2
    bearing = atan2(
        sin(turn) * cos(north), cos(south) * sin(north) - sin(south) * cos(north) * cos(turn)
    )
    return Way(
        distance_m=2.0 * _EARTH_RADIUS_M * asin(min(1.0, sqrt(half))),
        bearing_deg=degrees(bearing) % 360.0,
    )


def mother_trees_standing(notebook: Notebook) -> tuple[Standing, ...]:
    """Return every mother tree, those to cut first at the head: allowed, clean, sure, near."""
    found = [mother_standing(mother, notebook) for mother in notebook.mother_trees.values()]
    return tuple(sorted(found, key=_cut_first))


def mother_standing(mother: MotherTree, notebook: Notebook) -> Standing:
    """Return how one mother tree stands."""
    return Standing(
        mother=mother,
        way=_way(mother, notebook),
        bars=_bars(mother),
        cares=_cares(mother),
        renewal=renewal_words(mother),
    )


def renewal_words(mother: MotherTree) -> str:
    """Return what to do about a tree whose shoots are too short for a stick; else nothing.

    Shoots shorter than six inches give no standard piece; a hard prune this winter gives wood the
    next (Kansas State University, facts SW-002; the two-year plan is common practice, no source).
    """
    length_mm = mother.shoot_length_mm
    if length_mm is None or length_mm >= SHORTEST_STICK_MM:
        return ""
    return told(
        "Renew this winter, cut next: shoots of {length_mm:.0f} mm give no "
        "standard piece, which takes {SHORTEST_STICK_MM:.0f} mm. Prune some "
        "branches hard now, with the owner’s leave, and plan this variety a "
        "year later; until then single buds or summer budding may serve.",
        length_mm=length_mm,
        SHORTEST_STICK_MM=SHORTEST_STICK_MM,
    )


def descendants(code: str, notebook: Notebook) -> tuple[Descendant, ...]:
    """Return every tree raised from a mother tree, by code; a new name is theirs at once."""
    bundles = {b.code for b in notebook.bundles.values() if b.mother_tree_code == code}
    trees = sorted(
        (tree for tree in notebook.trees.values() if tree.bundle_code in bundles),
        key=lambda tree: tree.code,
    )
    return tuple(
        Descendant(
            code=tree.code,
            stock=notebook.stock_of(tree) or say("stock not known"),
            holder=_holder(tree.handed_over_to, tree.place_code, notebook),
            is_alive=tree.is_alive,
        )
        for tree in trees
    )


def holders(raised: Sequence[Descendant]) -> tuple[str, ...]:
    """Return who has any of these trees, each once, in the order of the alphabet."""
    return tuple(sorted({one.holder for one in raised}))


def _holder(handed_over_to: str, place_code: str, notebook: Notebook) -> str:
    if handed_over_to:
        promise = notebook.promises.get(handed_over_to)
        return promise.who if promise else handed_over_to
    place = notebook.places.get(place_code)
    return told("here: {place}", place=place.name) if place else say("here")


def _way(mother: MotherTree, notebook: Notebook) -> Way | None:
    home = (notebook.nursery.latitude_deg, notebook.nursery.longitude_deg)
    there = (mother.latitude_deg, mother.longitude_deg)
    if home[0] is None or home[1] is None or there[0] is None or there[1] is None:
        return None
    return way_between((home[0], home[1]), (there[0], there[1]))


def _bars(mother: MotherTree) -> tuple[str, ...]:
    found = []
    if mother.permission is False:
        found.append(say("the owner said no"))
    if mother.health is Health.DISEASED:
        found.append(say("it is noted as diseased: ask the plant health authority"))
    return tuple(found)


def _cares(mother: MotherTree) -> tuple[str, ...]:
    found = []
    if mother.permission is None:
        found.append(say("the owner has not been asked"))
    if mother.health is Health.SUSPECT:
        found.append(say("its health is suspect: cut the clean trees first, clean the blade after"))
    if mother.health is None:
        found.append(say("nobody has noted its health"))
    if mother.certainty in _UNSURE:
        found.append(
            told("{UNSURE}: see it fruit, or have it matched", UNSURE=_UNSURE[mother.certainty])
        )
    return tuple(found)


def _cut_first(one: Standing) -> tuple[bool, int, bool, bool, float, str]:
    health = {Health.CLEAN: 0, None: 1, Health.SUSPECT: 2, Health.DISEASED: 3}
    return (
        not one.may_be_cut,
        health[one.mother.health],
        one.mother.permission is None,
        bool(one.renewal),
        one.way.distance_m if one.way else 1e9,
        one.mother.code,
    )
