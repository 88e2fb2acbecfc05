"""A mother tree about to be lost: what to cut when, how many to make, and when it is safe."""

from dataclasses import dataclass
from datetime import date

from graftwright.losses import RateLike, grafts_needed
from graftwright.notebook.entries import RescuePlanned
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import MotherTree, Tree
from graftwright.season.planned import DateBand
from graftwright.season.trace import holder_of
from graftwright.tongue import say, told

_LEAF_FALL = (11, 10)
_BUDS_MOVE = (3, 1)
_BUDS_RIPE, _BUDS_OVER = (7, 1), (9, 15)
LEAST_PLACES_COUNT = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingTime:
    """One thing to cut from the tree, between which days of the access, and what for."""

    what: str
    first_on: date
    last_on: date
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rescue:
    """The plan to keep a tree: when to cut, how many grafts, and how far it has come."""

    mother: MotherTree
    asked: RescuePlanned
    times: tuple[CuttingTime, ...]
    graft_count: int
    living_count: int
    wintered_count: int
    place_names: tuple[str, ...]

    @property
    def is_safe(self) -> bool:
        """Whether enough copies came through a winter, in two places or more."""
        enough = self.wintered_count >= self.asked.wanted_count
        return enough and len(self.place_names) >= LEAST_PLACES_COUNT

    @property
    def safe_words(self) -> str:
        """How far it has come, in one sentence."""
        if self.is_safe:
            return told(
                "Safe: {wintered_count} living copies came through a winter, in {count} places.",
                wintered_count=self.wintered_count,
                count=len(self.place_names),
            )
        lacks = []
        if self.wintered_count < self.asked.wanted_count:
            lacks.append(
                told(
                    "{wintered_count} of {wanted_count} living copies have come through a winter",
                    wintered_count=self.wintered_count,
                    wanted_count=self.asked.wanted_count,
                )
            )
        if len(self.place_names) < LEAST_PLACES_COUNT:
            where = self.place_names[0] if self.place_names else say("nowhere yet")
            lacks.append(
                told("they must stand in two places at least, and stand {where}", where=where)
            )
        return told("Not safe yet: {listed}.", listed="; ".join(lacks))


def rescue_of(
    mother: MotherTree,
    notebook: Notebook,
    *,
    today: date,
    stage_rates: tuple[RateLike, ...],
    closes: DateBand,
    is_south: bool = False,
) -> Rescue | None:
    """Return the plan for a mother tree that somebody wrote a rescue down for, else None.

    `stage_rates` are the beliefs in each stage up to and through the first winter; `closes` is when
    its buds are expected to move. Leaf fall and the ripeness of buds go by the calendar
    (common practice, no source): look at the tree.
    """
    asked = mother.rescue
    if asked is None:
        return None
    copies = _copies(mother, notebook)
    living = [tree for tree in copies if tree.is_alive]
    wintered = [tree for tree in living if _has_wintered(tree, today, is_south=is_south)]
    return Rescue(
        mother=mother,
        asked=asked,
        times=cutting_times(
            max(today, asked.happened_on), asked.access_until, closes, is_south=is_south
        ),
        graft_count=grafts_needed(asked.wanted_count, stage_rates, asked.sureness_fraction),
        living_count=len(living),
        wintered_count=len(wintered),
        place_names=tuple(sorted({holder_of(tree, notebook) for tree in living})),
    )


def _copies(mother: MotherTree, notebook: Notebook) -> list[Tree]:
    bundles = {b.code for b in notebook.bundles.values() if b.mother_tree_code == mother.code}
    return [tree for tree in notebook.trees.values() if tree.bundle_code in bundles]


def _has_wintered(tree: Tree, today: date, *, is_south: bool) -> bool:
    """Whether the tree has lived into the spring after its first summer."""
    spring = date(tree.season + 1, 10 if is_south else 4, 1)
    return tree.has_taken and today >= spring


def cutting_times(
    first_on: date, last_on: date, closes: DateBand, *, is_south: bool
) -> tuple[CuttingTime, ...]:
    """Return what can be cut from a tree between two days, and when; never nothing."""
    found = []
    for year in range(first_on.year - 1, last_on.year + 1):
        dormant = _dormant(year, closes, is_south=is_south)
        ripe = _season(year, _BUDS_RIPE, _BUDS_OVER, is_south=is_south)
        for what, window, why in (
            (
                say("dormant wood"),
                dormant,
                say("leaves down and buds still tight: store it cold for bench"),
            ),
            ("budwood", ripe, say("this summer’s shoots, leaves off at once, budded within days")),
        ):
            start, end = max(first_on, window[0]), min(last_on, window[1])
            if start <= end:
                found.append(CuttingTime(what=what, first_on=start, last_on=end, why=why))
    if found:
        return tuple(found)
    why = say(
        "neither dormant nor ripe within the access: ask for a longer one; "
        "else cut ripe shoots of this year and bud them at once, or lift "
        "suckers and layers. Hope is smaller, make more"
    )
    return (CuttingTime(what=say("what there is"), first_on=first_on, last_on=last_on, why=why),)


def _dormant(year: int, closes: DateBand, *, is_south: bool) -> tuple[date, date]:
    """From leaf fall of a year to the day before buds move: the forecast of it where one fits."""
    start, usual = _season(year, _LEAF_FALL, _BUDS_MOVE, is_south=is_south)
    early = closes.early_on
    return start, early if early is not None and abs((early - usual).days) < 120 else usual


def _season(
    year: int, first: tuple[int, int], last: tuple[int, int], *, is_south: bool
) -> tuple[date, date]:
    """A season of the north that begins in a year, or its southern twin six months on."""
    shift = 6 if is_south else 0
    start = _day(year, first[0] + shift, first[1])
    end_month = last[0] + shift + (12 if last[0] < first[0] else 0)
    return start, _day(year, end_month, last[1])


def _day(year: int, month: int, day: int) -> date:
    return date(year + (month - 1) // 12, (month - 1) % 12 + 1, day)
