"""Names: search, join and part them; breeders' rights as they were looked up."""

from dataclasses import dataclass

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    LeaveRecorded,
    NamesJoined,
    NamesParted,
    RightsRecorded,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.planting import RightsStatus, Variety
from graftwright.season.rights_remarks import nursery_country
from graftwright.season.standing_names import (
    check_may_be_joined,
    doubtful_names,
    plant_named,
    search,
    whole_catalogue,
)
from graftwright.store.append import write
from graftwright.store.read import read_notebook
from graftwright.tongue import marked, told
from graftwright.web.mothers.forms import JoinForm, LeaveForm, PartForm, RightsForm
from graftwright.web.standing_on import today
from graftwright.web.writing import refusal_on

_MOST_FOUND = 30
_FORMS: dict[str, type[forms.Form]] = {
    "join": JoinForm,
    "part": PartForm,
    "rights": RightsForm,
    "leave": LeaveForm,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundName:
    """A variety that was found, with every other name it goes by."""

    name: str
    crop: str
    others: tuple[str, ...]
    is_doubtful: bool


@require_safe
def names_page(request: HttpRequest) -> HttpResponse:
    """Find a variety by any of its names; list names nobody has tied to a variety yet."""
    return _page(request, {}, status=200)


@require_POST
def write_names(request: HttpRequest, what: str) -> HttpResponse:
    """Write down a joining, a parting, a look-up of rights or a leave."""
    if what not in _FORMS:
        raise Http404(told("nothing called {what} can be written about names", what=what))
    form = _FORMS[what](request.POST)
    if form.is_valid():
        with refusal_on(form, _first_field(form)):
            write(_entry(what, form), device="desk")
            messages.success(request, _SAID[what])
            return redirect("names")
    return _page(request, {what: form}, status=422)


_SAID = {
    "join": marked("The two names are one from now on; it can be undone below."),
    "part": marked("The name stands for itself again."),
    "rights": marked("What was found is written down, with its country, source and day."),
    "leave": marked("The leave is written down."),
}


def _first_field(form: forms.Form) -> str | None:
    return next(iter(form.fields), None)


def _entry(what: str, form: forms.Form) -> Entry:
    data = form.cleaned_data
    match what:
        case "join":
            joined = NamesJoined(
                happened_on=today(),
                kept=data["kept"],
                joined=" ".join(data["joined"].split()),
                because=data["because"],
            )
            check_may_be_joined(joined, read_notebook(), catalogue=shipped_catalogue())
            return joined
        case "part":
            return NamesParted(happened_on=today(), joined=data["joined"], because=data["because"])
        case "rights":
            return RightsRecorded(
                happened_on=data["happened_on"],
                plant=_known_plant(data["plant"]),
                country=data["country"],
                status=RightsStatus(data["status"]),
                looked_up_in=data["looked_up_in"],
                holder=data["holder"],
                ends_on=data["ends_on"],
            )
        case _:
            return LeaveRecorded(
                happened_on=today(),
                plant=_known_plant(data["leave_plant"]),
                country=data["leave_country"],
                words=data["leave_words"],
                is_override=data["is_override"],
            )


def _known_plant(name: str) -> str:
    """Return the name as it was given; refuse one that is in no list or stands for several."""
    whole = whole_catalogue(read_notebook(), catalogue=shipped_catalogue())
    plant_named(name, catalogue=whole)
    return name


def _page(request: HttpRequest, refused: dict[str, forms.Form], *, status: int) -> HttpResponse:
    notebook = read_notebook()
    asked = request.GET.get("q", "")[:80].strip()
    found = search(asked, notebook, catalogue=shipped_catalogue()) if asked else ()
    context = {
        "asked": asked,
        "found": [_found(variety) for variety in found[:_MOST_FOUND]],
        "found_count": len(found),
        "doubtful": doubtful_names(notebook, catalogue=shipped_catalogue()),
        "joined": notebook.names_and_rights.joined,
        "rights": notebook.names_and_rights.rights,
        "leave": notebook.names_and_rights.leave,
        "wrong_part": refused.get("part"),
        "country": nursery_country(notebook),
        **{
            f"{what}_form": refused.get(what) or kind(initial=_country_here(notebook))
            for what, kind in _FORMS.items()
        },
    }
    return render(request, "mothers/names.html", context, status=status)


def _country_here(notebook: Notebook) -> dict[str, object]:
    """The nursery's country, so that it need not be typed again."""
    country = nursery_country(notebook)
    return {"country": country, "leave_country": country} if country else {}


def _found(variety: Variety) -> FoundName:
    others = dict.fromkeys(
        name.text for name in variety.names if name.text != variety.preferred_name
    )
    return FoundName(
        name=variety.preferred_name,
        crop=str(variety.crop),
        others=tuple(others),
        is_doubtful=variety.is_doubtful,
    )
