"""Which grades of stock the wood in store can use, thought out once a notebook."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.material import sticks_in_store
from graftwright.season.naming import Names
from graftwright.season.plan import rules_in_force
from graftwright.season.planned import Plan
from graftwright.season.standing_names import own_catalogue
from graftwright.tongue import told
from graftwright.web.wood.asked import Asked
from graftwright.wood import GradeMix, Order, StockGrade, warn_before_order

_TIME_LIMIT_S = 5.0
# An offer of one thickness is taken as a grade this wide, which is what a calliper tells.
_LEAST_WIDTH_MM = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeRow:
    """An offered grade: what the wood can use of it, what the plan orders, and a warning."""

    stock: str
    low_mm: float
    high_mm: float
    advised_count: int
    ordered_count: int
    suiting_fraction: float
    warning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeAnswer:
    """All offered grades, and how many of the grafts wanted on those stocks they can serve."""

    rows: tuple[GradeRow, ...]
    wanted_count: int
    served_count: int

    @property
    def unserved_count(self) -> int:
        """Wanted grafts for which there is no wood or no fitting grade."""
        return self.wanted_count - self.served_count

    @property
    def stocks(self) -> tuple[str, ...]:
        """The kinds of stock on offer, each once."""
        return tuple(dict.fromkeys(row.stock for row in self.rows))

    @property
    def is_other_mix(self) -> bool:
        """Whether a grade is ordered of which the wood can use none."""
        return any(row.ordered_count and not row.advised_count for row in self.rows)


def grade_answer(notebook: Notebook, *, plan: Plan, today: date) -> GradeAnswer | None:
    """Return which offered grades fit the wood; None without offers or without wanted grafts."""
    return _thought(Asked(notebook=notebook, plan=plan, day=today))


@lru_cache(maxsize=4)
def _thought(asked: Asked) -> GradeAnswer | None:
    notebook, plan = asked.notebook, asked.plan
    names = Names(own_catalogue(notebook, catalogue=shipped_catalogue()))
    wanted = _orders(plan)
    kinds = {order.stock_kind for order in wanted}
    grades = [grade for grade in _offered(notebook, names) if grade.kind in kinds]
    orders = [order for order in wanted if order.stock_kind in {grade.kind for grade in grades}]
    if not orders:
        return None
    mix = warn_before_order(
        [one.stick for one in sticks_in_store(notebook, names=names, season=plan.season)],
        orders,
        grades,
        rules=rules_in_force(notebook),
        time_limit_s=_TIME_LIMIT_S,
    )
    return _answer(mix, grades, plan)


def _orders(plan: Plan) -> list[Order]:
    return [
        Order(
            name=line.promise_code,
            variety=line.variety,
            stock_kind=line.stock,
            wanted_count=line.graft_count - line.made_count,
            priority=line.priority,
        )
        for line in plan.lines
        if line.graft_count > line.made_count
    ]


def _offered(notebook: Notebook, names: Names) -> list[StockGrade]:
    """Every grade on offer once, thin ones first within a kind."""
    found = {
        (names.stock(lot.stock), lot.grade.low_mm, lot.grade.high_mm)
        for lot in notebook.lots.values()
        if lot.grade is not None and lot.is_offer
    }
    return [
        StockGrade(
            name=told(
                "{kind} {low_mm:g} to {high_mm:g} mm", kind=kind, low_mm=low_mm, high_mm=high_mm
            ),
            kind=kind,
            low_mm=low_mm,
            high_mm=max(high_mm, low_mm + _LEAST_WIDTH_MM),
        )
        for kind, low_mm, high_mm in sorted(found)
    ]


def _answer(mix: GradeMix, grades: Sequence[StockGrade], plan: Plan) -> GradeAnswer:
    return GradeAnswer(
        rows=tuple(
            GradeRow(
                stock=grade.kind,
                low_mm=grade.low_mm,
                high_mm=grade.high_mm,
                advised_count=advice.advised_count,
                ordered_count=_ordered_count(grade, plan),
                suiting_fraction=advice.fitting_piece_share_fraction,
                warning=advice.warning,
            )
            for grade, advice in zip(grades, mix.grades, strict=True)
        ),
        wanted_count=mix.wanted_count,
        served_count=mix.served_count,
    )


def _ordered_count(grade: StockGrade, plan: Plan) -> int:
    return sum(
        order.ordered_count
        for order in plan.orders
        if order.stock == grade.kind and order.low_mm == grade.low_mm
        if max(order.high_mm, order.low_mm + _LEAST_WIDTH_MM) == grade.high_mm
    )
