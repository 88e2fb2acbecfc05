"""Pairing a phone: a link shown once as a square and as text, opened once on the phone."""

import re

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from graftwright.paper.code_square import address_svg
from graftwright.store.accounts import KnownAccount, accounts
from graftwright.store.pairing import VALID_MINUTES, account_of_link, make_link, use_link
from graftwright.store.signed_in import signed_in
from graftwright.tongue import marked, say, told
from graftwright.web.people.limits import Tries, network_of
from graftwright.web.people.signing import let_in

OPENINGS = Tries(most_count=30, within_s=900.0)
_KINDS = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", marked("Android phone")),
    ("Mac OS", "Mac"),
    ("Windows", marked("Windows computer")),
    ("Linux", marked("Linux computer")),
)


@require_POST
def make_own_link(request: HttpRequest) -> HttpResponse:
    """Make a link for a phone of one's own and show it this once."""
    person = signed_in()
    if person is None:
        raise Http404(say("nobody is signed in"))
    return _shown(request, person.account_id)


@require_POST
def make_link_for(request: HttpRequest, account_id: int) -> HttpResponse:
    """Make a link for somebody's phone and show it this once."""
    return _shown(request, account_id)


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def pairing_page(request: HttpRequest, secret: str) -> HttpResponse:
    """Ask whether this phone is to be signed in; only the button uses the link up.

    A message program that looks at a link beforehand therefore does not spoil it.
    """
    if not settings.NEEDS_ACCOUNT:
        raise Http404(say("this machine alone is served; no phone has to be paired"))
    if not OPENINGS.is_one_more_allowed(network_of(request)):
        return _answer(request, {"is_too_often": True}, status=429)
    if request.method == "POST":
        account = use_link(secret)
        if account is not None:
            let_in(request, account, phone_name=_phone_name(request))
            messages.success(
                request,
                told("This phone is signed in as {account_name}.", account_name=account.name),
            )
            return redirect("today")
    account = account_of_link(secret)
    return _answer(request, {"account": account}, status=200 if account else 404)


def _answer(request: HttpRequest, context: dict[str, object], *, status: int) -> HttpResponse:
    answer = render(request, "people/pair.html", context, status=status)
    answer["X-Robots-Tag"] = "noindex"
    return answer


def _shown(request: HttpRequest, account_id: int) -> HttpResponse:
    account = _open_account(account_id)
    address = request.build_absolute_uri(reverse("pair", args=[make_link(account.account_id)]))
    context = {
        "account": account,
        "address": address,
        "square": address_svg(
            address, name=told("link for the phone of {name}", name=account.name)
        ),
        "minutes": VALID_MINUTES,
    }
    answer = render(request, "people/link.html", context)
    answer["Cache-Control"] = "no-store"
    return answer


def _open_account(account_id: int) -> KnownAccount:
    for one in accounts():
        if one.account_id == account_id and one.is_open:
            return one
    raise Http404(told("no open account {account_id}", account_id=account_id))


def _phone_name(request: HttpRequest) -> str:
    """Return what the list calls this phone: its own words, else the kind it says it is."""
    said = re.sub(r"[^\w .'’-]", "", " ".join(request.POST.get("phone", "").split()))[:40]
    if said:
        return said
    agent = request.headers.get("User-Agent", "")
    return next((words for sign, words in _KINDS if sign in agent), "phone")
