"""One up, one down: a page and a table of where something came from and where it went."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from graftwright.errors import UnknownCode
from graftwright.paper.csv_table import csv_text
from graftwright.season.trace import Trace, trace_of
from graftwright.store.read import read_notebook
from graftwright.tagcode import read_code
from graftwright.tongue import told
from graftwright.web.standing_on import today


@require_safe
def trace_page(request: HttpRequest) -> HttpResponse:
    """Ask for a code, and list the mother trees to start from."""
    notebook, typed, wrong = read_notebook(), request.GET.get("code", "").strip(), ""
    if typed:
        try:
            code = read_code(typed)
            if trace_of(code, notebook):
                return redirect("trace-of", code)
            wrong = told(
                "{code} is no tree, bundle, mother tree or lot; look at the tag again.", code=code
            )
        except UnknownCode as unread:
            wrong = str(unread)
    context = {
        "typed": typed,
        "wrong": wrong,
        "mothers": notebook.mother_trees.values(),
        "lots": [lot for lot in notebook.lots.values() if not lot.is_offer],
    }
    return render(request, "trace/page.html", context, status=422 if wrong else 200)


@require_safe
def trace_of_page(request: HttpRequest, code: str) -> HttpResponse:
    """Show one trace."""
    return render(request, "trace/one.html", {"trace": _found(code)})


@require_safe
def trace_file(_request: HttpRequest, code: str) -> HttpResponse:
    """Give one trace as a table that a spreadsheet opens."""
    trace = _found(code)
    answer = HttpResponse(_table(trace), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="trace-{trace.code}.csv"'
    return answer


_HEADS = (
    "direction", "code", "what", "variety", "stock", "with whom", "since", "living", "traced", "on",
)  # fmt: skip


def _table(trace: Trace) -> str:
    made_on = f"{today()}"
    rows = [
        ("from", one.code, one.what, "", "", one.from_whom, one.on, "", trace.code, made_on)
        for one in trace.sources
    ]
    for held in trace.descended:
        tree = (held.tree.code, held.holds, held.variety, held.stock, held.holder)
        living = "yes" if held.is_living else "no"
        rows.append(("to", *tree, held.since, living, trace.code, made_on))
    return csv_text(_HEADS, rows)


def _found(code: str) -> Trace:
    try:
        trace = trace_of(read_code(code), read_notebook())
    except UnknownCode as wrong:
        raise Http404(str(wrong)) from wrong
    if trace is None:
        raise Http404(told("nothing that can be traced bears the code {code}", code=code))
    return trace
