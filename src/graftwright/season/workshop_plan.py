"""A workshop day: so many people, each to take home so many trees, and nobody to go without.

What to lay out follows from how well the hands cut: wood and stocks are cut by the same people, so
they are reckoned together. The rest of the pack is counted by head (common practice, no source).
"""

from dataclasses import dataclass
from statistics import median
from typing import Final

from graftwright.errors import OutOfRange
from graftwright.losses import (
    BEGINNER_CUTS,
    BetaRate,
    Supply,
    laid_out_for_all,
    workshop_outlook,
)
from graftwright.notebook.notebook import Notebook
from graftwright.season.naming import Names
from graftwright.tongue import Choice, marked, say, told

WOOD: Final = marked("pieces of scion wood")
STOCKS: Final = "stocks"
MOST_PEOPLE_COUNT: Final = 100
MOST_TREES_EACH_COUNT: Final = 10

_LATE_COUNT: Final = 5
_STOCK_CUTS_COUNT: Final = 2  # a bad cut is made anew a little lower, once
_PRACTICE_STICKS_EACH_COUNT: Final = 2
_KNIVES_SPARE_SHARE: Final = 6
_DRESSINGS_SHARE: Final = 6
KNIFE_WORDS: Final = marked(
    "Every cut goes away from the hand that holds and from everybody near; "
    "a cut-proof glove on the holding hand, knives down while anyone walks "
    "about, a first-aider in the room, and ask your insurer and the "
    "place’s own safety rules beforehand."
)


class Hands(Choice):
    """How practised the people are at cutting."""

    FIRST_TIME = "first time with a knife"
    SOME_PRACTICE = "some practice"
    PRACTISED = "practised grafters"


# Share of cuts fit to bind, held as loosely as so many cuts would: common practice, no source.
GOOD_CUTS: Final = {
    Hands.FIRST_TIME: BEGINNER_CUTS,
    Hands.SOME_PRACTICE: BetaRate(a=36.0, b=4.0),
    Hands.PRACTISED: BetaRate(a=96.0, b=4.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopWish:
    """Who comes and what each is to take home; None laid out means as many as it takes."""

    people_count: int
    trees_each_count: int = 1
    hands: Hands = Hands.FIRST_TIME
    service_fraction: float = 0.95
    variety: str = ""
    stock: str = ""
    wood_laid_out_count: int | None = None
    stocks_laid_out_count: int | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.people_count <= MOST_PEOPLE_COUNT:
            raise OutOfRange(
                told(
                    "{people_count} people; expected 1 to {MOST_PEOPLE_COUNT}; hold two days",
                    people_count=self.people_count,
                    MOST_PEOPLE_COUNT=MOST_PEOPLE_COUNT,
                )
            )
        if not 1 <= self.trees_each_count <= MOST_TREES_EACH_COUNT:
            raise OutOfRange(
                told(
                    "{trees_each_count} trees each; expected 1 to {MOST_TREES_EACH_COUNT}",
                    trees_each_count=self.trees_each_count,
                    MOST_TREES_EACH_COUNT=MOST_TREES_EACH_COUNT,
                )
            )

    @property
    def tree_count(self) -> int:
        """Trees to take home, of everybody together."""
        return self.people_count * self.trees_each_count


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOut:
    """One thing that spoils: what the trees take, what to lay out, what lies there, its chance.

    `in_store_count` is what the notebook holds of it; None if no variety or stock is named.
    """

    name: str
    needed_count: int
    to_lay_out_count: int
    laid_out_count: int
    in_store_count: int | None
    chance_fraction: float

    @property
    def missing_count(self) -> int:
        """How many the store is short of what should be laid out."""
        return max(0, self.to_lay_out_count - (self.in_store_count or 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class PackLine:
    """One line of the packing list, with why so many."""

    what: str
    count: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LateSignUp:
    """With more people than planned for: the chance, and what runs out first."""

    people_count: int
    chance_fraction: float
    runs_out_first: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopPlan:
    """The day reckoned."""

    wish: WorkshopWish
    chance_fraction: float
    good_cuts: BetaRate
    laid_out: tuple[LaidOut, ...]
    pack: tuple[PackLine, ...]
    late: tuple[LateSignUp, ...]
    currency: str
    stocks_cost: float
    material_cost: float


def workshop_plan(wish: WorkshopWish, *, notebook: Notebook, names: Names) -> WorkshopPlan:
    """Return what to lay out, how surely nobody goes without, and what to pack.

    Raises
    ------
    OutOfRange
        If no sensible number would be as sure as asked.
    """
    enough = _supplies(wish, wood_count=0, stocks_count=0)
    needed = laid_out_for_all(
        enough,
        people_count=wish.people_count,
        trees_each_count=wish.trees_each_count,
        service_fraction=wish.service_fraction,
    )
    wood_count, stocks_count = (one.laid_out_count for one in needed)
    laid = _supplies(
        wish,
        wood_count=_or_else(wish.wood_laid_out_count, wood_count),
        stocks_count=_or_else(wish.stocks_laid_out_count, stocks_count),
    )
    outlook = workshop_outlook(
        laid, people_count=wish.people_count, trees_each_count=wish.trees_each_count
    )
    chances = {one.name: one.chance_fraction for one in outlook.supplies}
    in_store = _in_store(wish, notebook, names)
    stock_price = _stock_price(wish, notebook, names)
    return WorkshopPlan(
        wish=wish,
        chance_fraction=outlook.chance_fraction,
        good_cuts=GOOD_CUTS[wish.hands],
        laid_out=tuple(
            LaidOut(
                name=have.name,
                needed_count=wish.tree_count,
                to_lay_out_count=want.laid_out_count,
                laid_out_count=have.laid_out_count,
                in_store_count=in_store[have.name],
                chance_fraction=chances[have.name],
            )
            for want, have in zip(needed, laid, strict=True)
        ),
        pack=_pack(wish, laid),
        late=_late(wish, laid),
        currency=notebook.nursery.currency,
        stocks_cost=stock_price * laid[1].laid_out_count,
        material_cost=wish.tree_count
        * sum(one.need_per_graft * one.price_per_unit for one in notebook.nursery.materials),
    )


def _or_else(laid_out_count: int | None, needed_count: int) -> int:
    return needed_count if laid_out_count is None else laid_out_count


def _supplies(wish: WorkshopWish, *, wood_count: int, stocks_count: int) -> tuple[Supply, Supply]:
    good = GOOD_CUTS[wish.hands]
    return (
        Supply(name=WOOD, laid_out_count=wood_count, good_rate=good),
        Supply(
            name=STOCKS,
            laid_out_count=stocks_count,
            good_rate=good,
            cuts_each_count=_STOCK_CUTS_COUNT,
        ),
    )


def _in_store(wish: WorkshopWish, notebook: Notebook, names: Names) -> dict[str, int | None]:
    variety, stock = names.variety(wish.variety), names.stock(wish.stock)
    wood = [
        bundle.pieces_left
        for bundle in notebook.bundles.values()
        if bundle.is_in_store and names.variety(notebook.variety_of_bundle(bundle.code)) == variety
    ]
    lots = [lot for lot in notebook.lots.values() if names.stock(lot.stock) == stock]
    return {
        WOOD: sum(wood) if wish.variety else None,
        STOCKS: sum(lot.in_hand_count for lot in lots) if wish.stock else None,
    }


def _stock_price(wish: WorkshopWish, notebook: Notebook, names: Names) -> float:
    prices = [
        lot.price_each
        for lot in notebook.lots.values()
        if lot.price_each > 0.0
        and (not wish.stock or names.stock(lot.stock) == names.stock(wish.stock))
    ]
    return median(prices) if prices else 0.0


def _pack(wish: WorkshopWish, laid: tuple[Supply, Supply]) -> tuple[PackLine, ...]:
    people, trees = wish.people_count, wish.tree_count
    wood, stocks = laid
    spare = 1 + people // _KNIVES_SPARE_SHARE
    return (
        PackLine(
            what=say("Stocks"), count=stocks.laid_out_count, words=say("graded, roots kept moist")
        ),
        PackLine(
            what=say("Pieces of scion wood"),
            count=wood.laid_out_count,
            words=say("two or three buds each, in a damp bag, named"),
        ),
        PackLine(
            what=say("Sticks to practise on"),
            count=people * _PRACTICE_STICKS_EACH_COUNT,
            words=say("two a head, before anyone touches a stock"),
        ),
        PackLine(
            what="Knives, sharp", count=people + spare, words=say("one a head and some spare")
        ),
        PackLine(
            what=say("Cut-proof gloves"),
            count=people,
            words=say("one a head, for the holding hand"),
        ),
        PackLine(
            what="Dressings, boxes",
            count=1 + people // _DRESSINGS_SHARE,
            words=say("within everybody’s reach, and a first-aider"),
        ),
        PackLine(
            what=say("Strips of binding"),
            count=wood.laid_out_count,
            words=say("one for each piece cut, spoilt ones too"),
        ),
        PackLine(what=say("Labels"), count=2 * trees, words=say("two a tree, both names on each")),
        PackLine(what=say("Pots or bags"), count=trees, words=say("one a tree to take home")),
        PackLine(
            what=say("Take-home sheets"), count=people, words=say("one a head: what comes next")
        ),
    )


def _late(wish: WorkshopWish, laid: tuple[Supply, Supply]) -> tuple[LateSignUp, ...]:
    """Return what happens if more people come than planned for, nothing more being laid out."""
    most = min(MOST_PEOPLE_COUNT, wish.people_count + _LATE_COUNT)
    found = []
    for people_count in range(wish.people_count + 1, most + 1):
        outlook = workshop_outlook(
            laid, people_count=people_count, trees_each_count=wish.trees_each_count
        )
        found.append(
            LateSignUp(
                people_count=people_count,
                chance_fraction=outlook.chance_fraction,
                runs_out_first=outlook.supplies[0].name,
            )
        )
    return tuple(found)
