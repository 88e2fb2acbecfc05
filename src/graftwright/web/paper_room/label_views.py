"""The labels: what for, on which sheet, with a test page and a check of the printer's scale."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from graftwright.errors import GraftwrightError
from graftwright.paper.label_grid import LabelGrid, print_scale_words
from graftwright.paper.label_words import AnyLabel, SpareTag, bundle_tags, labels_of, tree_labels
from graftwright.paper.labels import label_sheets, label_test_page
from graftwright.season.counted_trees import here_count
from graftwright.store.codes import hand_out_block
from graftwright.store.labels import print_labels
from graftwright.store.read import read_notebook
from graftwright.tongue import marked, say, told
from graftwright.web.paper_room.files import PDF, file_answer
from graftwright.web.paper_room.forms import LabelForm, RulerForm
from graftwright.web.paper_room.sheets import choices, forget_grid, keep_grid
from graftwright.web.standing_on import today
from graftwright.web.winter import Winter, this_winter

_NOTHING = {
    "grafts": marked("No graft is planned yet, so there is nothing to label."),
    "trees": marked("No tree stands there, so there is nothing to label."),
    "bundles": marked("No bundle is in store, so there is nothing to label."),
}


@require_http_methods(["GET", "HEAD", "POST"])
def labels_page(request: HttpRequest) -> HttpResponse:
    """Show what labels can be had; make them, or a test page, or keep the sheet described."""
    winter = this_winter(may_wait=request.method != "POST")
    if request.method != "POST":
        return _page(request, LabelForm(winter.notebook), winter, status=200)
    form = LabelForm(winter.notebook, request.POST)
    if not form.is_valid():
        return _page(request, form, winter, status=422)
    grid: LabelGrid = form.cleaned_data["grid"]
    if "test" in request.POST:
        return file_answer(label_test_page(grid), file_name="label-test.pdf", media_type=PDF)
    if "keep" in request.POST:
        return _keep(request, form, winter, grid)
    return _labels(request, form, winter, grid)


@require_POST
def check_scale(request: HttpRequest) -> HttpResponse:
    """Say what the measured ruler of a test page means."""
    form = RulerForm(request.POST)
    try:
        if not form.is_valid():
            messages.error(request, say("Write the length of the printed ruler in millimetres."))
        else:
            measured = form.cleaned_data
            words = print_scale_words(measured["measured_mm"], ruler_mm=measured["ruler_mm"])
            messages.info(request, words)
    except GraftwrightError as wrong:
        messages.error(request, str(wrong))
    return redirect("labels")


@require_POST
def forget_sheet(request: HttpRequest) -> HttpResponse:
    """Forget a kept sheet of labels."""
    if forget_grid(request.POST.get("sheet", ""), read_notebook().nursery):
        messages.info(request, say("That sheet is no longer offered."))
    return redirect("labels")


def _keep(request: HttpRequest, form: LabelForm, winter: Winter, grid: LabelGrid) -> HttpResponse:
    try:
        keep_grid(form.cleaned_data["name"], grid)
    except GraftwrightError as wrong:
        form.add_error("name", str(wrong))
        return _page(request, form, winter, status=422)
    messages.info(
        request,
        told(
            "Kept as {cleaned_data}. It is now among the sheets.",
            cleaned_data=form.cleaned_data["name"],
        ),
    )
    return redirect("labels")


def _labels(request: HttpRequest, form: LabelForm, winter: Winter, grid: LabelGrid) -> HttpResponse:
    data = form.cleaned_data
    what = data["what"] or "grafts"
    try:
        labels = _wanted(what, winter, place=data["place"], spare_count=data["spare_count"] or 21)
        if not labels:
            form.add_error(None, _NOTHING[what])
            return _page(request, form, winter, status=422)
        content = label_sheets(
            labels,
            grid=grid,
            start_position=data["start_position"],
            second_copy=data["second_copy"],
            address=data["address"],
        )
    except GraftwrightError as wrong:
        form.add_error("address" if data["address"] else None, str(wrong))
        return _page(request, form, winter, status=422)
    return file_answer(content, file_name="labels.pdf", media_type=PDF)


def _wanted(what: str, winter: Winter, *, place: str, spare_count: int) -> tuple[AnyLabel, ...]:
    notebook = winter.notebook
    if what == "trees":
        return tree_labels(notebook, place_code=place)
    if what == "bundles":
        return bundle_tags(notebook)
    if what == "spare":
        codes = hand_out_block(spare_count, to_device="spare tags", today=today())
        return tuple(SpareTag(code=code) for code in codes)
    if winter.plan is None or not winter.plan.joins:
        return ()
    codes = print_labels(winter.plan, today=today())
    return labels_of(winter.plan, codes=codes, certainty_of=notebook.certainty_words)


def _page(request: HttpRequest, form: LabelForm, winter: Winter, *, status: int) -> HttpResponse:
    context = {
        "form": form,
        "ruler": RulerForm(),
        "kept": [one for one in choices(winter.notebook.nursery) if ":" in one[0]],
        "graft_count": len(winter.plan.joins) if winter.plan else 0,
        "tree_count": here_count(winter.notebook.trees),
        "bundle_count": sum(one.is_in_store for one in winter.notebook.bundles.values()),
    }
    return render(request, "paper_room/labels.html", context, status=status)
