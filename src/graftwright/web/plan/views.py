"""The plan page."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from graftwright.season.planned import LinePlan, Plan, Shortage
from graftwright.web.plan.asked import USUAL_PERCENT, read_sureness
from graftwright.web.plan.bench import days_at_bench
from graftwright.web.plan.cut_sheet import bundle_sheets
from graftwright.web.plan.dates import date_chart
from graftwright.web.plan.sureness import sureness_curve, sureness_rows
from graftwright.web.winter import this_winter


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


@require_safe
def plan_page(request: HttpRequest) -> HttpResponse:
    """Show the winter's plan at the sureness asked for."""
    percent, wrong = read_sureness(request.GET)
    winter = this_winter(percent / 100 if percent else None)
    context: dict[str, object] = {
        "plan": winter.plan,
        "why_none": winter.why_none,
        "notebook": winter.notebook,
        "percent": percent,
        "slider_percent": percent or USUAL_PERCENT,
        "wrong": wrong,
    }
    if winter.plan is not None:
        context |= _figures(winter.plan, percent)
    return render(request, "plan/page.html", context)


def _figures(plan: Plan, percent: int | None) -> dict[str, object]:
    rows = sureness_rows(plan.lines, chosen_percent=percent)
    return {
        "sums": _sums(plan),
        "sureness_rows": rows,
        "curve": sureness_curve(rows),
        "short_rows": _short_rows(plan),
        "days": days_at_bench(plan),
        "bundles": bundle_sheets(plan.sticks),
        "dates": date_chart(plan),
    }


def _short_rows(plan: Plan) -> tuple[ShortRow, ...]:
    lines = {line.promise_code: line for line in plan.lines}
    return tuple(
        ShortRow(shortage=shortage, line=lines.get(shortage.promise_code))
        for shortage in plan.shortages
    )


def _sums(plan: Plan) -> Sums:
    return Sums(
        wanted_count=sum(line.to_raise_count for line in plan.lines),
        needed_count=sum(line.graft_count for line in plan.lines),
        planned_count=sum(line.planned_count for line in plan.lines),
        order_cost=sum(order.cost for order in plan.orders),
        material_cost=sum(need.cost for need in plan.materials),
    )
