"""The results sheet: one thing written about many trees at once, with exceptions."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.store.append import write_many
from graftwright.store.read import read_notebook
from graftwright.tongue import say, told
from graftwright.web.bench.chosen import WHAT, ChooseForm, chosen_trees
from graftwright.web.bench.sheets import SHEETS, Sheet
from graftwright.web.standing_on import today
from graftwright.web.today.jobs import DayJobs, days_jobs
from graftwright.web.trees.fields import codes_in
from graftwright.web.trees.standing import Words, state_in_short
from graftwright.web.writing import refusal_on

_MOST_TREES = 200
_MOST_NAMED = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultRow:
    """One tree on the sheet: what it is, how it stands, its own fields."""

    tree: Tree
    variety: str
    stock: str
    state: Words
    fields: tuple[forms.BoundField, ...]

    @property
    def is_wrong(self) -> bool:
        """Whether one of its fields was refused."""
        return any(field.errors for field in self.fields)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rest:
    """The trees that a sheet of this length leaves for the next ones, named by their codes.

    By codes, since writing the first sheet down may take its trees off the job or out of the place.
    """

    what: str
    codes: tuple[str, ...]

    @property
    def address(self) -> str:
        """The next sheet; empty where nothing is left."""
        if not self.codes:
            return ""
        codes = " ".join(self.codes[:_MOST_NAMED])
        return f"{reverse('results')}?{urlencode({'what': self.what, 'codes': codes})}"


@require_safe
def results_page(request: HttpRequest) -> HttpResponse:
    """Let trees be chosen; once they are, show the sheet."""
    day_jobs = (
        days_jobs(so_far=True)
        if request.GET.get("job")
        else DayJobs(notebook=read_notebook(), day=today(), jobs=())
    )
    if not any(request.GET.get(name) for name in ("place", "run", "codes", "job")):
        asked = {"what": request.GET.get("what", "take")}
        return _choose(request, ChooseForm(asked, notebook=day_jobs.notebook), status=200)
    data = request.GET.copy()
    data.setdefault("what", "take")
    form = ChooseForm(data, notebook=day_jobs.notebook)
    if not form.is_valid():
        return _choose(request, form, status=422)
    chosen = chosen_trees(form, day_jobs)
    if chosen.wrong or not chosen.trees:
        form.add_error(None, chosen.wrong or say("No living tree is there; choose others."))
        return _choose(request, form, status=422)
    what, trees = form.cleaned_data["what"], chosen.trees[:_MOST_TREES]
    sheet = SHEETS[what](None, trees=trees, notebook=day_jobs.notebook)
    rest = _Rest(what=what, codes=tuple(tree.code for tree in chosen.trees[_MOST_TREES:]))
    return _sheet(request, sheet, day_jobs.notebook, status=200, rest=rest)


@require_POST
def write_results(request: HttpRequest, what: str) -> HttpResponse:
    """Write a whole sheet down, all of it or nothing, one entry for trees that are alike."""
    notebook = read_notebook()
    codes, _ = codes_in(request.POST.get("trees", ""))
    trees = tuple(notebook.trees[code] for code in codes if code in notebook.trees)
    if what not in SHEETS or not trees:
        messages.error(request, say("No tree stood on that sheet; choose them again."))
        return redirect("results")
    sheet = SHEETS[what](request.POST, trees=trees, notebook=notebook)
    if sheet.is_valid():
        entries = sheet.entries()
        with refusal_on(sheet):
            write_many(entries, device="desk")
            count = len({code for entry in entries for code in entry.concerns()} & set(codes))
            messages.success(
                request,
                told(
                    "Written down about {count} of {count_2} trees.",
                    count=count,
                    count_2=len(trees),
                ),
            )
            onward = request.POST.get("onward", "")
            is_sheet = onward.startswith(f"{reverse('results')}?")
            return redirect(onward if is_sheet else "today")
    return _sheet(request, sheet, notebook, status=422)


def _choose(request: HttpRequest, form: ChooseForm, *, status: int) -> HttpResponse:
    return render(request, "bench/choose.html", {"form": form}, status=status)


def _sheet(
    request: HttpRequest,
    sheet: Sheet,
    notebook: Notebook,
    *,
    status: int,
    rest: _Rest | None = None,
) -> HttpResponse:
    context = {
        "rest_count": len(rest.codes) if rest else 0,
        "onward": rest.address if rest else request.POST.get("onward", ""),
        "sheet": sheet,
        "what": sheet.what,
        "heading": dict(WHAT)[sheet.what],
        "rows": _rows(sheet, sheet.trees, notebook),
        "whole": [sheet[name] for name in sheet.whole_names],
        "tree_codes": " ".join(tree.code for tree in sheet.trees),
        "heads": sheet.row_heads,
    }
    return render(request, "bench/results.html", context, status=status)


def _rows(sheet: Sheet, trees: Sequence[Tree], notebook: Notebook) -> list[ResultRow]:
    by_code: Mapping[str, tuple[str, ...]] = sheet.row_names
    return [
        ResultRow(
            tree=tree,
            variety=notebook.variety_of(tree),
            stock=notebook.stock_of(tree),
            state=state_in_short(tree),
            fields=tuple(sheet[name] for name in by_code[tree.code]),
        )
        for tree in trees
    ]
