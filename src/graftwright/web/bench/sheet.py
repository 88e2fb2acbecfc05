"""A run sheet filled by hand, typed in line by line; a bad line keeps no good one back."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from graftwright.notebook.entries import RunGrafted
from graftwright.store.read import read_notebook
from graftwright.web.bench.forms import SheetDayForm, SheetLineForm
from graftwright.web.bench.views import write_run
from graftwright.web.standing_on import today
from graftwright.web.today.jobs import days_jobs
from graftwright.web.writing import refusal_on

_LINE_COUNT = 6
_MOST_LINES = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class LineWritten:
    """A line that is written down."""

    number: int
    variety: str
    run: RunGrafted


@require_http_methods(["GET", "HEAD", "POST"])
def sheet_page(request: HttpRequest) -> HttpResponse:
    """Show an empty run sheet; write its good lines down and show the bad ones again."""
    if request.method != "POST":
        return _page(request, SheetDayForm(), _blank_lines(), (), status=200)
    day_form = SheetDayForm(request.POST)
    numbers = range(1, _MOST_LINES + 1)
    notebook = read_notebook()
    lines = [SheetLineForm(request.POST, notebook=notebook, number=n) for n in numbers]
    asked = [line for line in lines if not line.is_blank]
    if not day_form.is_valid() or not asked:
        shown = asked or _blank_lines()
        status = 422 if day_form.errors else 200
        return _page(request, day_form, shown, (), status=status)
    written = _write_lines(asked, day_form)
    bad = [line for line in asked if line.errors]
    return _page(request, day_form, bad or _blank_lines(), written, status=422 if bad else 200)


def _write_lines(lines: Sequence[SheetLineForm], day_form: SheetDayForm) -> tuple[LineWritten, ...]:
    written = []
    for line in lines:
        line.notebook = read_notebook()
        if not line.is_valid():
            continue
        with refusal_on(line):
            plan = days_jobs().plan
            run = write_run(line, plan, happened_on=day_form.cleaned_data["happened_on"])
            variety = line.notebook.variety_of_bundle(run.bundle_code)
            written.append(LineWritten(number=line.number, variety=variety, run=run))
    return tuple(written)


def _blank_lines() -> list[SheetLineForm]:
    notebook = read_notebook()
    return [SheetLineForm(notebook=notebook, number=n) for n in range(1, _LINE_COUNT + 1)]


def _page(
    request: HttpRequest,
    day_form: SheetDayForm,
    lines: Sequence[SheetLineForm],
    written: tuple[LineWritten, ...],
    *,
    status: int,
) -> HttpResponse:
    notebook = read_notebook()
    context = {
        "day_form": day_form,
        "lines": lines,
        "written": written,
        "bad_count": sum(bool(line.errors) for line in lines),
        "bundles": [b for b in notebook.bundles.values() if b.discarded_on is None],
        "lots": [lot for lot in notebook.lots.values() if lot.in_hand_count],
        "notebook": notebook,
        "day": today(),
    }
    return render(request, "bench/sheet.html", context, status=status)
