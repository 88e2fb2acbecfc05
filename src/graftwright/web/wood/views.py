"""The wood page and the gauge card."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from graftwright.paper.gauge_card import gauge_card
from graftwright.paper.join_sheet import join_sheet
from graftwright.tongue import say
from graftwright.web.cover.now import cover_now
from graftwright.web.standing_on import today
from graftwright.web.winter import winter_so_far
from graftwright.web.wood.curve import curve_answer
from graftwright.web.wood.grades import grade_answer
from graftwright.web.wood.joining import JoinAnswer, JoinForm, join_answer
from graftwright.web.wood.standing import bundle_rows, left_alone_rows, mother_rows
from graftwright.web.working.shown import so_far
from graftwright.wood import WorkSeason


@require_safe
def wood_page(request: HttpRequest) -> HttpResponse:
    """Show the wood in store, the trees still to cut and the grades that fit; judge one pair."""
    is_asked = "scion" in request.GET
    form = JoinForm(request.GET) if is_asked else JoinForm()
    answer = _answer(form) if is_asked else None
    winter, day = winter_so_far(), today()
    context: dict[str, object] = {
        "bundles": bundle_rows(winter.notebook, plan=winter.plan, today=day),
        "left_alone": left_alone_rows(winter.notebook, today=day),
        "mothers": mother_rows(cover_now().closings, today=day),
        "grades": grade_answer(winter.notebook, plan=winter.plan, today=day)
        if winter.plan
        else None,
        "curve": curve_answer(winter.notebook, plan=winter.plan, today=day)
        if winter.plan
        else None,
        "form": form,
        "answer": answer,
    }
    status = 422 if is_asked and answer is None else 200
    return so_far(request, winter.task, "wood/page.html", context, status=status)


@require_safe
def gauge_card_file(_: HttpRequest) -> HttpResponse:
    """Make the gauge card."""
    response = HttpResponse(gauge_card(), content_type="application/pdf")
    response["Content-Disposition"] = 'attachment; filename="gauge-card.pdf"'
    return response


@require_safe
def join_sheet_file(request: HttpRequest) -> HttpResponse:
    """Make the drawings of the joins that suit a pair."""
    answer = _answer(JoinForm(request.GET))
    if answer is None or not answer.figures:
        return HttpResponse(
            say("Give two thicknesses that a join suits, on the wood page."),
            status=422,
            content_type="text/plain; charset=utf-8",
        )
    response = HttpResponse(join_sheet(answer.figures), content_type="application/pdf")
    response["Content-Disposition"] = 'attachment; filename="joins.pdf"'
    return response


def _answer(form: JoinForm) -> JoinAnswer | None:
    if not form.is_valid():
        return None
    given = form.cleaned_data
    return join_answer(given["scion"], given["stock"], season=WorkSeason[given["when"]])
