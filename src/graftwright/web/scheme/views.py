"""The organiser's page: offers of several nurseries, the joint plan, its papers."""

from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, UnknownCode
from graftwright.exchange import offer_bytes
from graftwright.paper.joint_sheet import joint_paper, paper_names
from graftwright.paper.joint_words import CAUTION, best_words, cost_words, gain_words, lot_words
from graftwright.season.scheme import JointPlan, SchemeWishes
from graftwright.store.offers import drop_offer, kept_offers
from graftwright.store.read import read_notebook
from graftwright.tongue import say, told
from graftwright.web.paper_room.files import PDF, file_answer
from graftwright.web.scheme.forms import OfferFileForm, OwnOfferForm, PricesForm
from graftwright.web.scheme.offers_here import OfferHere, bring_in, offers_here, own_offer, plan_of
from graftwright.web.standing_on import today
from graftwright.web.working.asking import StillWorking
from graftwright.web.working.shown import not_kept, progress
from graftwright.work import Task

_JSON = "application/json"


@require_safe
def scheme_page(request: HttpRequest) -> HttpResponse:
    """Show the offers and what they come to together."""
    return _page(request)


@require_POST
def bring_offer(request: HttpRequest) -> HttpResponse:
    """Take another nursery's offer in; a newer one takes the place of the older."""
    form = OfferFileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _page(request, file_form=form, status=422)
    try:
        offer = bring_in(form.cleaned_data["file"].read())
    except GraftwrightError as wrong:
        form.add_error("file", str(wrong))
        return _page(request, file_form=form, status=422)
    messages.info(request, say("The offer of {nursery} is in.").format(nursery=offer.nursery))
    return redirect("scheme")


@require_POST
def make_own_offer(request: HttpRequest) -> HttpResponse:
    """Draw this nursery's offer from its notebook, as it stands now."""
    form = OwnOfferForm(request.POST)
    form.full_clean()
    try:
        bring_in(offer_bytes(own_offer(form.wishes())))
    except GraftwrightError as wrong:
        messages.error(request, str(wrong))
        return redirect("scheme")
    messages.info(request, say("Your own offer is in; take the file to send it to others."))
    return redirect("scheme")


@require_POST
def remove_offer(request: HttpRequest, name: str) -> HttpResponse:
    """Let go of an offer."""
    try:
        drop_offer(name)
    except UnknownCode as gone:
        messages.error(request, str(gone))
    return redirect("scheme")


@require_safe
def offer_file(_request: HttpRequest, name: str) -> HttpResponse:
    """Give an offer's file."""
    content = kept_offers().get(name)
    if content is None:
        raise Http404(told("no offer {name} is kept here", name=name[:80]))
    return file_answer(content, file_name="offer.json", media_type=_JSON)


@require_safe
def scheme_paper(request: HttpRequest, file_name: str) -> HttpResponse:
    """Print one paper of the joint plan."""
    prices = _prices(request)
    try:
        plan = plan_of(offers_here(), wishes=_wishes(prices), on=today())
    except GraftwrightError as why:
        raise Http404(str(why)) from why
    content = joint_paper(plan, file_name)
    if content is None:
        raise Http404(told("no paper is called {file_name}", file_name=file_name[:80]))
    return file_answer(content, file_name=file_name, media_type=PDF)


def _prices(request: HttpRequest) -> PricesForm:
    """Return the prices of the address; what it leaves out is as usual."""
    usual = {name: field.initial for name, field in PricesForm.base_fields.items()}
    return PricesForm({**usual, **request.GET.dict()})


def _wishes(prices: PricesForm) -> SchemeWishes:
    return prices.wishes(currency=read_notebook().nursery.currency or "GBP")


def _page(
    request: HttpRequest, *, file_form: OfferFileForm | None = None, status: int = 200
) -> HttpResponse:
    offers = offers_here()
    prices = _prices(request)
    plan, why_none, task = _planned(offers, _wishes(prices))
    held = {
        "offers": offers,
        "own_choices": OwnOfferForm().choices(),
        "file_form": file_form or OfferFileForm(),
        "prices": prices,
        "why_none": why_none,
        "asked": f"?{urlencode(request.GET)}" if request.GET else "",
        **(_shown(plan) if plan else {}),
    }
    if task is None:
        return render(request, "scheme/scheme.html", held, status=status)
    back = request.get_full_path() if request.method == "GET" else reverse("scheme")
    held |= progress(task, back=back)
    return not_kept(render(request, "scheme/scheme.html", held, status=status))


def _planned(
    offers: list[OfferHere], wishes: SchemeWishes
) -> tuple[JointPlan | None, str, "Task[Any] | None"]:
    """Return the plan, or in words why there is none, or what is being worked for it."""
    if not offers:
        return None, "", None
    try:
        return plan_of(offers, wishes=wishes, on=today()), "", None
    except GraftwrightError as why:
        return None, str(why), None
    except StillWorking as still:
        return None, "", still.task


def _shown(plan: JointPlan) -> dict[str, object]:
    parcels = [
        {"parcel": one, "lots": [lot_words(lot) for lot in one.lots]} for one in plan.parcels
    ]
    return {
        "plan": plan,
        "sentences": (gain_words(plan), cost_words(plan), best_words(plan)),
        "parcels": parcels,
        "caution": say(CAUTION),
        "papers": paper_names(plan),
    }
