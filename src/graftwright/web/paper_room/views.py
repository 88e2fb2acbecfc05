"""The paper page and its files."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.notebook.notebook import Notebook
from graftwright.paper import LabelGrid, label_sheets, label_test_page, labels_of, plan_tables
from graftwright.season.planned import Plan
from graftwright.store.labels import print_labels
from graftwright.web.paper_room.forms import LabelForm
from graftwright.web.paper_room.listing import PAPER_GROUPS, made_paper
from graftwright.web.standing_on import today
from graftwright.web.winter import this_winter

_PDF = "application/pdf"


@require_safe
def paper_page(request: HttpRequest) -> HttpResponse:
    """List what can be printed."""
    return _page(request, LabelForm(), status=200)


@require_safe
def paper_file(request: HttpRequest, file_name: str) -> HttpResponse:
    """Make one paper from the plan as it stands now."""
    plan = this_winter().plan
    if plan is None:
        messages.error(request, "There is no plan yet, so there is nothing to print.")
        return redirect("paper")
    made = made_paper(file_name, plan)
    if made is None:
        raise Http404(f"no paper is called {file_name}")
    content, media_type = made
    return _file(content, file_name=file_name, media_type=media_type)


@require_POST
def labels_file(request: HttpRequest) -> HttpResponse:
    """Make the labels of the winter, or a test page of their sheet, on the sheet described."""
    form = LabelForm(request.POST)
    if not form.is_valid():
        return _page(request, form, status=422)
    grid: LabelGrid = form.cleaned_data["grid"]
    if "test" in request.POST:
        return _file(label_test_page(grid), file_name="label-test.pdf", media_type=_PDF)
    winter = this_winter()
    if winter.plan is None or not winter.plan.joins:
        form.add_error(None, "No graft is planned yet, so there is nothing to label.")
        return _page(request, form, status=422)
    content = _labels(winter.plan, winter.notebook, form, grid)
    return _file(content, file_name="labels.pdf", media_type=_PDF)


def _labels(plan: Plan, notebook: Notebook, form: LabelForm, grid: LabelGrid) -> bytes:
    codes = print_labels(plan, today=today())
    labels = labels_of(plan, codes=codes, certainty_of=notebook.certainty_words)
    return label_sheets(
        labels,
        grid=grid,
        start_position=form.cleaned_data["start_position"],
        second_copy=form.cleaned_data["second_copy"],
    )


def _page(request: HttpRequest, form: LabelForm, *, status: int) -> HttpResponse:
    winter = this_winter()
    context = {
        "plan": winter.plan,
        "groups": PAPER_GROUPS,
        "tables": plan_tables(winter.plan) if winter.plan else (),
        "label_count": len(winter.plan.joins) if winter.plan else 0,
        "form": form,
    }
    return render(request, "paper_room/page.html", context, status=status)


def _file(content: bytes, *, file_name: str, media_type: str) -> HttpResponse:
    response = HttpResponse(content, content_type=media_type)
    response["Content-Disposition"] = f'attachment; filename="{file_name}"'
    return response
