"""The plan page."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from graftwright.season.plan import PlanWishes
from graftwright.season.planned import LinePlan, Plan, SharedGrafts, Shortage
from graftwright.web.plan.asked import USUAL_PERCENT, read_sureness
from graftwright.web.plan.bench import days_at_bench
from graftwright.web.plan.cut_sheet import bundle_sheets
from graftwright.web.plan.dates import date_chart
from graftwright.web.plan.sureness import sureness_curve, sureness_rows
from graftwright.web.plan.to_do import to_do
from graftwright.web.shown_first import shown_first
from graftwright.web.winter import this_winter

_PART_PATIENCE_S = 3.0
_USUAL_MINUTES = 4.0  # fifteen grafts an hour, until a pace is known (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sums:
    """The winter in five figures."""

    wanted_count: int
    needed_count: int
    planned_count: int
    order_cost: float
    material_cost: float

    @property
    def missing_count(self) -> int:
        """Grafts that would be needed and cannot be made as things stand."""
        return max(0, self.needed_count - self.planned_count)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortRow:
    """A shortage beside the line of the plan it holds back, if it is one promise's."""

    shortage: Shortage
    line: LinePlan | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayRow:
    """What one promise gets under each way of sharing what is short."""

    line: LinePlan
    shares: tuple[SharedGrafts, ...]


@require_safe
def plan_page(request: HttpRequest) -> HttpResponse:
    """Show the winter's plan at the sureness asked for."""
    percent, wrong = read_sureness(request.GET)
    # a part of the page says meanwhile that it is planned again
    patience_s = _PART_PATIENCE_S if request.headers.get("HX-Request") else None
    winter = this_winter(percent / 100 if percent else None, may_wait=True, patience_s=patience_s)
    context: dict[str, object] = {
        "plan": winter.plan,
        "why_none": winter.why_none,
        "notebook": winter.notebook,
        "percent": percent,
        "asked": f"?sureness={percent}" if percent else "",
        "slider_percent": percent or USUAL_PERCENT,
        "wrong": wrong,
    }
    if winter.plan is not None:
        context |= _figures(winter.plan, percent)
        context |= _shown(winter.plan, whole=request.GET.get("whole", ""))
    return render(request, "plan/page.html", context)


def _shown(plan: Plan, *, whole: str) -> dict[str, object]:
    """Return the long lists of the page, the first of each."""
    return {
        "lines_shown": shown_first(plan.lines, key="lines", whole=whole),
        "short_shown": shown_first(_short_rows(plan), key="short", whole=whole),
    }


def _figures(plan: Plan, percent: int | None) -> dict[str, object]:
    rows = sureness_rows(
        plan.lines,
        chosen_percent=percent,
        minutes_per_graft=_minutes_per_graft(plan),
        spare_fraction=PlanWishes().spare_stocks_fraction,
    )
    return {
        "sums": _sums(plan),
        "sureness_rows": rows,
        "curve": sureness_curve(rows),
        "short_rows": _short_rows(plan),
        "to_do": to_do(plan),
        "ways": plan.sharing_ways,
        "way_rows": _way_rows(plan),
        "days": days_at_bench(plan),
        "bundles": bundle_sheets(plan.sticks),
        "dates": date_chart(plan),
    }


def _minutes_per_graft(plan: Plan) -> float:
    grafts = sum(run.graft_count for run in plan.runs)
    return sum(run.minutes for run in plan.runs) / grafts if grafts else _USUAL_MINUTES


def _short_rows(plan: Plan) -> tuple[ShortRow, ...]:
    lines = {line.promise_code: line for line in plan.lines}
    return tuple(
        ShortRow(shortage=shortage, line=lines.get(shortage.promise_code))
        for shortage in plan.shortages
    )


def _way_rows(plan: Plan) -> tuple[WayRow, ...]:
    lines = {line.promise_code: line for line in plan.lines}
    return tuple(
        WayRow(line=lines[shares[0].promise_code], shares=shares)
        for shares in zip(*(way.shares for way in plan.sharing_ways), strict=True)
    )


def _sums(plan: Plan) -> Sums:
    return Sums(
        wanted_count=sum(line.to_raise_count for line in plan.lines),
        needed_count=sum(line.graft_count for line in plan.lines),
        planned_count=sum(line.planned_count for line in plan.lines),
        order_cost=sum(order.cost for order in plan.orders),
        material_cost=sum(need.cost for need in plan.materials),
    )
