"""The winter's plan under each weather year, on a page of its own."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import BatchDates, Plan
from graftwright.season.year_by_year import (
    BatchYear,
    PlanYear,
    batches_over_years,
    cut_by_over_years,
)
from graftwright.tongue import say
from graftwright.web.plan.asked import read_sureness
from graftwright.web.rests_on import is_same_for_plan
from graftwright.web.winter import this_winter
from graftwright.web.working.asking import StillWorking, answer_of, key_of
from graftwright.web.working.shown import not_kept, progress
from graftwright.work import Means, Question
from graftwright.work.nurseries import plan_over_years


@require_safe
def years_page(request: HttpRequest) -> HttpResponse:
    """Show the plan's days over all years and of every year, or how far the work on them is."""
    percent, _ = read_sureness(request.GET)
    winter = this_winter(percent / 100 if percent else None, may_wait=True)
    held: dict[str, object] = {
        "plan": winter.plan,
        "why_none": winter.why_none,
        "percent": percent,
    }
    if winter.plan is None:
        return render(request, "plan/years.html", held)
    try:
        years = _years(winter.notebook, winter.plan, percent)
    except StillWorking as still:
        held |= progress(still.task, back=request.get_full_path())
        return not_kept(render(request, "plan/years.html", held, status=202))
    held |= _shown(winter.plan, years)
    return render(request, "plan/years.html", held)


def _years(notebook: Notebook, plan: Plan, percent: int | None) -> tuple[PlanYear, ...]:
    def worked(means: Means) -> tuple[PlanYear, ...]:
        return plan_over_years(
            notebook,
            plan,
            make_executor=means.make_executor,
            on_done=means.on_done,
            is_cancelled=means.is_cancelled,
        )

    question = Question(
        key=key_of("years", plan.made_on, percent),
        work=worked,
        state=notebook,
        is_same=is_same_for_plan,
        words=say("The plan under each weather year"),
        room="years",
    )
    return answer_of(question)


def _shown(plan: Plan, years: tuple[PlanYear, ...]) -> dict[str, object]:
    cut_by = cut_by_over_years(years)
    known = [batch for batch in plan.batches if any(_of(batch, year) for year in years)]
    return {
        "years": years,
        "spans": [cut_by] if cut_by else [],
        "batches": batches_over_years(plan, years),
        "heads": known,
        "rows": [(year, [(batch, _of(batch, year)) for batch in known]) for year in years],
    }


def _of(batch: BatchDates, year: PlanYear) -> BatchYear | None:
    """Return the batch in a year; None where the year does not hold its hours whole."""
    key = (batch.bench_on, batch.place_code)
    return next((one for one in year.batches if (one.grafted_on, one.place_code) == key), None)
