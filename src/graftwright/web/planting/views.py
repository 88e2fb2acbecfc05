"""The planting page, the plot's page with its files, and the card of one tree."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, UnknownCode
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import SpotDescribed
from graftwright.notebook.notebook import Notebook
from graftwright.paper.card import receiver_card_pdf
from graftwright.paper.geojson import planting_geojson
from graftwright.paper.plot_plan import plot_plan_pdf
from graftwright.planting import Catalogue, Crop, variety_named
from graftwright.season.planting_plan import PlantingPlan, planting_plan
from graftwright.season.receiver_card import receiver_card
from graftwright.season.spot import StockChoice, VigourTaken, stocks_for, vigour_taken
from graftwright.store.append import write
from graftwright.store.read import read_notebook
from graftwright.tagcode import read_code
from graftwright.tongue import marked, told
from graftwright.web.planting.flowering import FloweringShown, flowering_shown
from graftwright.web.planting.forms import (
    UNNAMED,
    KeepSpotForm,
    PlotForm,
    SpotForm,
    answers_of,
)
from graftwright.web.planting.names import page_catalogue
from graftwright.web.planting.plot_drawing import plot_drawn
from graftwright.web.planting.silhouettes import TreesDrawn, trees_drawn
from graftwright.web.standing_on import today
from graftwright.web.writing import refusal_on

_DRAWN, _FIRST_SHOWN = 3, 5
_SIX = (
    ("1. Room", ("space", "height")),
    (marked("2. Soil and water"), ("soil", "wetness")),
    ("3. Wind", ("exposure",)),
    ("4. Ground", ("ground",)),
    ("5. Stake", ("stake",)),
    (marked("6. Form, and ground or pot"), ("form", "pot")),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotLine:
    """A spot that was written down, with the address that opens it."""

    name: str
    address: str
    crop: str
    space_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotAnswered:
    """What a spot's answers come to."""

    described: SpotDescribed
    first: tuple[StockChoice, ...]
    more: tuple[StockChoice, ...]
    barred: tuple[StockChoice, ...]
    unknown: tuple[StockChoice, ...]
    drawn: tuple[StockChoice, ...]
    drawing: TreesDrawn | None
    vigour: VigourTaken
    flowering: FloweringShown | None


@require_safe
def planting_page(request: HttpRequest) -> HttpResponse:
    """Ask for a spot in six answers and show which trees suit it."""
    return _page(request, request.GET, KeepSpotForm(), status=200)


def _page(
    request: HttpRequest, answers: QueryDict, keep_form: KeepSpotForm, *, status: int
) -> HttpResponse:
    notebook = read_notebook()
    is_asked = "space" in answers
    form = SpotForm(answers) if is_asked else SpotForm()
    answered = None
    if is_asked:
        answered = _answered(form, notebook)
        status = status if answered else 422
    context = {
        "form": form,
        "six": [(head, [form[name] for name in names]) for head, names in _SIX],
        "trees": [form[name] for name in ("crop", "wanted", "vigour", "neighbours")],
        "rarely": [form[name] for name in ("stocks", "full_flower")],
        "answered": answered,
        "keep_form": keep_form,
        "query": answers.urlencode(),
        "spots": _spot_lines(notebook),
        "plot_query": _plot_query(answered),
        "add_address": _add_address(answered, answers),
    }
    return render(request, "planting/page.html", context, status=status)


def _answered(form: SpotForm, notebook: Notebook) -> SpotAnswered | None:
    """Return what the answers come to; None, with the reasons on the form, if they are wrong."""
    if not form.is_valid():
        return None
    described = form.described(name=UNNAMED, happened_on=today())
    catalogue = page_catalogue(notebook)
    try:
        flowering = flowering_shown(
            described,
            notebook=notebook,
            catalogue=catalogue,
            full_flower_on=form.cleaned_data["full_flower"],
        )
    except ValidationError as wrong:
        form.add_error("wanted", wrong)
        return None
    variety = _known_variety(described, flowering)
    try:
        choices = stocks_for(
            described, catalogue=catalogue, variety=variety, only=form.cleaned_data["stocks"]
        )
    except GraftwrightError as wrong:
        form.add_error("stocks", str(wrong))
        return None
    vigour = vigour_taken(described, catalogue=catalogue, variety=variety)
    return _sorted_out(described, choices, flowering, vigour)


def _known_variety(described: SpotDescribed, flowering: FloweringShown | None) -> str | None:
    """Return the key of the first variety wanted, where the lists know its crop and name."""
    if flowering is None:
        return None
    key = flowering.report.trees[0].variety_key
    try:
        shipped_catalogue().variety(key)
    except GraftwrightError:
        return None
    return key if key.startswith(f"{described.crop.value}:") else None


def _sorted_out(
    described: SpotDescribed,
    choices: Sequence[StockChoice],
    flowering: FloweringShown | None,
    vigour: VigourTaken,
) -> SpotAnswered:
    fit = tuple(choice for choice in choices if choice.is_suitable)
    rest = tuple(choice for choice in choices if not choice.is_suitable)
    unknown = tuple(choice for choice in rest if not choice.size.is_stock_known)
    barred = tuple(choice for choice in rest if choice.size.is_stock_known)
    drawn = (*fit, *barred, *unknown)[:_DRAWN]
    return SpotAnswered(
        described=described,
        first=fit[:_FIRST_SHOWN],
        unknown=unknown,
        more=fit[_FIRST_SHOWN:],
        barred=barred,
        drawn=drawn,
        drawing=trees_drawn(drawn, form=described.form) if drawn else None,
        flowering=flowering,
        vigour=vigour,
    )


def _spot_lines(notebook: Notebook) -> tuple[SpotLine, ...]:
    found = sorted(notebook.spots.values(), key=lambda spot: spot.described.spot_name.casefold())
    return tuple(
        SpotLine(
            name=spot.described.spot_name,
            address=f"{reverse('planting')}?{urlencode(answers_of(spot.described))}",
            crop=str(spot.described.crop),
            space_m=spot.described.space_m,
        )
        for spot in found
    )


def _add_address(answered: SpotAnswered | None, answers: QueryDict) -> str:
    """Return the address of the same spot with the missing partners on its list."""
    if answered is None or answered.flowering is None or not answered.flowering.additions.names:
        return ""
    whole = answers.copy()
    wanted = (*answered.described.wanted_varieties, *answered.flowering.additions.names)
    whole["wanted"] = "\n".join(dict.fromkeys(wanted))
    return f"{reverse('planting')}?{whole.urlencode()}#flowering"


def _plot_query(answered: SpotAnswered | None) -> str:
    if answered is None or not answered.drawn:
        return ""
    stock = answered.drawn[0].rootstock
    lines = [
        told("1 {name} on {stock}", name=name, stock=stock)
        for name in answered.described.wanted_varieties
    ]
    return urlencode({"trees": "\n".join(lines), "form": answered.described.form.value})


@require_POST
def keep_spot(request: HttpRequest) -> HttpResponse:
    """Write a spot down under a name; what is wrong stands beside its field."""
    answers = QueryDict(request.POST.get("query", "")[:8000])
    name_form, form = KeepSpotForm(request.POST), SpotForm(answers)
    if not (name_form.is_valid() and form.is_valid()):
        return _page(request, answers, name_form, status=422)
    name = " ".join(name_form.cleaned_data["name"].split())
    with refusal_on(name_form, "name"):
        write(form.described(name=name, happened_on=today()), device="desk")
    if name_form.errors:
        return _page(request, answers, name_form, status=422)
    messages.success(request, told("The spot “{name}” is written down.", name=name))
    return redirect(f"{reverse('planting')}?{answers.urlencode()}")


@require_safe
def plot_page(request: HttpRequest) -> HttpResponse:
    """Draw a plot with its trees to scale and offer it as files."""
    is_asked = "width" in request.GET
    form = PlotForm(request.GET) if is_asked else PlotForm(initial=request.GET.dict())
    plan = _planned(form) if is_asked else None
    context = {
        "form": form,
        "plan": plan,
        "flowering": _flowering_of_plot(plan),
        "drawing": plot_drawn(plan) if plan and plan.places else None,
        "query": request.GET.urlencode(),
        "has_corner": plan is not None and _corner(form) is not None,
    }
    status = 422 if is_asked and plan is None else 200
    return render(request, "planting/plot.html", context, status=status)


def _flowering_of_plot(plan: PlantingPlan | None) -> FloweringShown | None:
    """Return who flowers with whom on a plot; None where its trees are no one kind of fruit."""
    if plan is None or not plan.places:
        return None
    notebook = read_notebook()
    catalogue = page_catalogue(notebook)
    names = tuple(dict.fromkeys(place.variety for place in plan.places))
    crops = {_crop_of(name, catalogue) for name in names}
    if len(crops) != 1:
        return None
    described = SpotDescribed(
        happened_on=today(),
        spot_name=UNNAMED,
        space_m=1.0,
        crop=crops.pop(),
        wanted_varieties=names,
    )
    try:
        return flowering_shown(described, notebook=notebook, catalogue=catalogue)
    except ValidationError:
        return None


def _crop_of(name: str, catalogue: Catalogue) -> Crop:
    try:
        return variety_named(name, catalogue=catalogue).crop
    except GraftwrightError:
        return Crop.APPLE


def _planned(form: PlotForm) -> PlantingPlan | None:
    if not form.is_valid():
        return None
    notebook = read_notebook()
    try:
        return planting_plan(
            form.cleaned_data["trees"],
            plot=form.plot(notebook.nursery.latitude_deg),
            catalogue=page_catalogue(notebook),
            form=form.cleaned_data["form"],
        )
    except GraftwrightError as wrong:
        form.add_error("trees", str(wrong))
        return None


def _corner(form: PlotForm) -> tuple[float, float] | None:
    latitude_deg, longitude_deg = form.cleaned_data["latitude"], form.cleaned_data["longitude"]
    if latitude_deg is None or longitude_deg is None:
        return None
    return latitude_deg, longitude_deg


@require_safe
def plot_pdf(request: HttpRequest) -> HttpResponse:
    """Give the plot's plan as a PDF; a plot that cannot be read goes back to its page."""
    plan = _planned(PlotForm(request.GET))
    if plan is None:
        return redirect(f"{reverse('plot')}?{request.GET.urlencode()}")
    content = plot_plan_pdf(plan, nursery_name=read_notebook().nursery.name)
    return _file(content, media_type="application/pdf", name="planting-plan.pdf")


@require_safe
def plot_geojson(request: HttpRequest) -> HttpResponse:
    """Give the plot's plan as a map file; without its corner it goes back to its page."""
    form = PlotForm(request.GET)
    plan = _planned(form)
    corner = _corner(form) if plan else None
    if plan is None or corner is None:
        return redirect(f"{reverse('plot')}?{request.GET.urlencode()}")
    content = planting_geojson(plan, latitude_deg=corner[0], longitude_deg=corner[1])
    return _file(content, media_type="application/geo+json", name="planting-plan.geojson")


@require_safe
def card_file(_: HttpRequest, code: str) -> HttpResponse:
    """Give the receiver's card of one tree as a PDF."""
    try:
        found = read_code(code)
        card = receiver_card(
            found, notebook=read_notebook(), catalogue=shipped_catalogue(), today=today()
        )
    except UnknownCode as wrong:
        raise Http404(str(wrong)) from wrong
    content = receiver_card_pdf(card, address=settings.PUBLIC_ADDRESS)
    return _file(content, media_type="application/pdf", name=f"card-{found}.pdf")


def _file(content: bytes, *, media_type: str, name: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=media_type)
    answer.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
