"""The list of mother trees and the page of one, with a rename that shows what it changes."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import NameDecided
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import MotherTree
from graftwright.planting import RightsVerdict
from graftwright.season.mother_trees import (
    descendants,
    holders,
    mother_standing,
    mother_trees_standing,
)
from graftwright.season.rights_remarks import nursery_country, rights_of
from graftwright.store.read import read_notebook
from graftwright.tongue import inside, say, told
from graftwright.web.mothers.deeds import MOTHER_DEEDS
from graftwright.web.mothers.forms import NurseryPlaceForm, RenameForm
from graftwright.web.standing_on import today
from graftwright.web.trees.deeds import Deed
from graftwright.web.writing import is_written


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedShown:
    """A deed's form under its short name; open when it was just refused."""

    name: str
    form: Deed
    is_open: bool


@require_safe
def mothers_page(request: HttpRequest) -> HttpResponse:
    """List the mother trees, those to cut first at the head."""
    return _list(request, None, status=200)


@require_POST
def place_nursery(request: HttpRequest) -> HttpResponse:
    """Write down where the nursery stands: for rights, months, flowering and distances."""
    form = NurseryPlaceForm(request.POST)
    if form.is_valid() and is_written(lambda: form.entries(happened_on=today()), form=form):
        messages.success(request, say("Where the nursery stands is written down."))
        return redirect("mothers")
    return _list(request, form, status=422)


def _list(request: HttpRequest, form: NurseryPlaceForm | None, *, status: int) -> HttpResponse:
    notebook = read_notebook()
    nursery = notebook.nursery
    initial = {
        "country": nursery_country(notebook),
        "latitude": nursery.latitude_deg,
        "longitude": nursery.longitude_deg,
    }
    context = {
        "standings": mother_trees_standing(notebook),
        "has_place": nursery.latitude_deg is not None and nursery.longitude_deg is not None,
        "form": form or NurseryPlaceForm(initial=initial),
    }
    return render(request, "mothers/page.html", context, status=status)


@require_safe
def mother_page(request: HttpRequest, code: str) -> HttpResponse:
    """Show one mother tree."""
    return _one(request, _mother(code), status=200)


@require_POST
def write_mother(request: HttpRequest, code: str, deed: str) -> HttpResponse:
    """Write down one deed about a mother tree."""
    mother = _mother(code)
    if deed not in MOTHER_DEEDS:
        raise Http404(
            told("nothing called {deed} can be written about {code}", deed=deed, code=code)
        )
    form = MOTHER_DEEDS[deed](request.POST, notebook=read_notebook(), prefix=deed)
    if form.is_valid() and is_written(lambda: [form.entry((code,))], form=form):
        messages.success(request, told("Written down: {heading}.", heading=inside(form.heading)))
        return redirect("mother", code)
    return _one(request, mother, refused=(deed, form), status=422)


@require_POST
def rename_mother(request: HttpRequest, code: str) -> HttpResponse:
    """Show what another name would change; write it down once that was seen."""
    mother = _mother(code)
    form = RenameForm(request.POST)
    if not form.is_valid():
        return _one(request, mother, rename=form, status=422)
    name = " ".join(form.cleaned_data["variety"].split())
    if name == mother.variety:
        form.add_error("variety", told("It is called {name} already.", name=name))
        return _one(request, mother, rename=form, status=422)
    raised = descendants(code, read_notebook())
    if request.POST.get("seen") != _seen_mark(code, name, len(raised)):
        context = {
            "mother": mother,
            "name": name,
            "form": form,
            "raised": raised,
            "holders": holders(raised),
            "seen": _seen_mark(code, name, len(raised)),
        }
        return render(request, "mothers/rename.html", context)
    entry = NameDecided(
        happened_on=form.cleaned_data["happened_on"],
        code=code,
        variety=name,
        evidence=form.cleaned_data["evidence"],
    )
    if not is_written(lambda: [entry], form=form):
        return _one(request, mother, rename=form, status=422)
    messages.success(
        request, told("From now on it is called {name}, and all raised from it.", name=name)
    )
    return redirect("mother", code)


def _seen_mark(code: str, name: str, count: int) -> str:
    """Return what the second step must send: it was about this name and this many trees."""
    return f"{code}/{name}/{count}"


def _mother(code: str) -> MotherTree:
    mother = read_notebook().mother_trees.get(code)
    if mother is None:
        raise Http404(told("no mother tree has the code {code}", code=code))
    return mother


def _one(
    request: HttpRequest,
    mother: MotherTree,
    *,
    status: int,
    refused: tuple[str, Deed] | None = None,
    rename: RenameForm | None = None,
) -> HttpResponse:
    notebook = read_notebook()
    raised = descendants(mother.code, notebook)
    context = {
        "mother": mother,
        "standing": mother_standing(mother, notebook),
        "rights": _rights(mother, notebook),
        "raised_count": len(raised),
        "living_count": sum(one.is_alive for one in raised),
        "holders": holders(raised),
        "deeds": _deeds(notebook, refused),
        "rename": rename or RenameForm(),
    }
    return render(request, "mothers/one.html", context, status=status)


def _deeds(notebook: Notebook, refused: tuple[str, Deed] | None) -> list[DeedShown]:
    return [
        DeedShown(name=name, form=refused[1], is_open=True)
        if refused and refused[0] == name
        else DeedShown(name=name, form=kind(notebook=notebook, prefix=name), is_open=False)
        for name, kind in MOTHER_DEEDS.items()
    ]


def _rights(mother: MotherTree, notebook: Notebook) -> tuple[RightsVerdict, ...]:
    """Return what is known of its rights, for each country looked up and the nursery's own."""
    countries = {one.country for one in notebook.names_and_rights.rights}
    countries.add(nursery_country(notebook) or say("this country"))
    found = (
        rights_of(
            mother.variety,
            notebook,
            catalogue=shipped_catalogue(),
            country=country,
            today=today(),
        )
        for country in sorted(countries)
    )
    return tuple(one for one in found if one is not None)
