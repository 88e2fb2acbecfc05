"""The workshop page."""

from collections.abc import Iterable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from graftwright.errors import OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.naming import Names
from graftwright.season.workshop_plan import (
    KNIFE_WORDS,
    Hands,
    WorkshopWish,
    workshop_plan,
)
from graftwright.store.read import read_notebook
from graftwright.web.standing_on import today
from graftwright.web.workshop.forms import USUAL_PEOPLE_COUNT, USUAL_PERCENT, WorkshopForm

_USUAL = {
    "people": USUAL_PEOPLE_COUNT,
    "trees": 1,
    "hands": Hands.FIRST_TIME.value,
    "sureness": USUAL_PERCENT,
}


@require_safe
def workshop_page(request: HttpRequest) -> HttpResponse:
    """Say what to lay out so that nobody goes without, and how sure that is."""
    notebook, names = read_notebook(), Names(shipped_catalogue())
    asked = {**_USUAL, **request.GET.dict()}
    form = WorkshopForm(asked)
    form.offer(_varieties(notebook, names), _stocks(notebook, names))
    plan, percent = None, USUAL_PERCENT
    if form.is_valid():
        percent = form.percent()
        try:
            plan = workshop_plan(form.wish(), notebook=notebook, names=names)
        except OutOfRange as refused:
            form.add_error("exactly", str(refused))
    context = {
        "form": form,
        "plan": plan,
        "percent": percent,
        "knife_words": KNIFE_WORDS,
        "is_own_count": bool(asked.get("wood") or asked.get("stocks")),
        "pack_query": _pack_query(plan.wish) if plan else "",
    }
    return render(request, "workshop/page.html", context, status=200 if plan else 422)


def _pack_query(wish: WorkshopWish) -> str:
    asked: dict[str, str | bytes | int | Iterable[str | bytes | int]] = {
        "people_count": wish.people_count,
        "trees_each_count": wish.trees_each_count,
        "on": today().isoformat(),
        "stock": wish.stock,
        "varieties": wish.variety,
        "hands": wish.hands.value,
        "sureness": round(100 * wish.service_fraction),
    }
    for name, laid_out in (
        ("wood", wish.wood_laid_out_count),
        ("stocks", wish.stocks_laid_out_count),
    ):
        if laid_out is not None:
            asked[name] = laid_out
    return urlencode(asked)


def _varieties(notebook: Notebook, names: Names) -> tuple[str, ...]:
    found = {
        names.variety(notebook.variety_of_bundle(bundle.code))
        for bundle in notebook.bundles.values()
        if bundle.is_in_store
    }
    return tuple(sorted(found - {""}))


def _stocks(notebook: Notebook, names: Names) -> tuple[str, ...]:
    found = {names.stock(lot.stock) for lot in notebook.lots.values() if lot.in_hand_count}
    return tuple(sorted(found - {""}))
