"""The door: on a network nothing is answered before somebody has signed in."""

from collections.abc import Callable
from datetime import date
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.auth import get_user
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import resolve, reverse

from graftwright.store.account_models import Account
from graftwright.store.sessions import SEEN_ON
from graftwright.store.signed_in import Role, SignedIn, by
from graftwright.tongue import marked, told
from graftwright.web.people.access import Access, Open, access_to

_SIGN_IN_FIRST = marked("Sign in, then it is sent.")


class DoorMiddleware:
    """Lets in whoever may come in, and writes down under whose initials."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the page's own answer, or the way in, or why not."""
        if not settings.NEEDS_ACCOUNT:
            return self.get_response(request)
        access = _access(request)
        if access is Open.BY_TOKEN:
            return self.get_response(request)
        person = person_of(request)
        if person is None:
            return self.get_response(request) if access is Open.TO_ALL else _sign_in(request)
        with by(person):
            if isinstance(access, Role) and not person.role.reaches(access):
                return _not_for_you(request, access)
            answer = self.get_response(request)
        # what one person saw is no other person's to find in the browser's own store
        answer.headers.setdefault("Cache-Control", "private, no-cache")
        return answer


def person_of(request: HttpRequest) -> SignedIn | None:
    """Return who is signed in, as the account stands now; None if nobody is."""
    account = get_user(request)
    if not isinstance(account, Account):
        return None
    day = date.today().isoformat()  # noqa: DTZ011 (the day here, to show when it was last seen)
    if request.session.get(SEEN_ON) != day:
        request.session[SEEN_ON] = day
    return SignedIn(
        account_id=account.pk,
        name=account.name,
        initials=account.initials,
        role=Role(account.role),
    )


def _access(request: HttpRequest) -> Access:
    """Return what the address asks for; one that is none asks for an account like any page."""
    try:
        found = resolve(request.path_info)
    except Http404:
        return Role.HELPER
    return access_to(found.url_name or "", deed=str(found.kwargs.get("deed", "")))


def _sign_in(request: HttpRequest) -> HttpResponse:
    """Ask to sign in. A form is never sent elsewhere, so that no browser takes it for written."""
    if _is_script(request):
        return JsonResponse({"words": _SIGN_IN_FIRST}, status=401)
    if request.method in ("GET", "HEAD"):
        return redirect(f"{reverse('sign-in')}?{urlencode({'then': request.get_full_path()})}")
    return render(request, "people/not_written.html", status=401)


def _not_for_you(request: HttpRequest, access: Role) -> HttpResponse:
    words = told(
        "This needs the account of {ARTICLE}; nothing was written.", ARTICLE=_ARTICLE[access]
    )
    if _is_script(request):
        return JsonResponse({"answer": "refused", "words": words}, status=403)
    return render(request, "people/not_for_you.html", {"who": _ARTICLE[access]}, status=403)


_ARTICLE = {
    Role.HELPER: marked("a helper"),
    Role.GRAFTER: marked("a grafter"),
    Role.ORGANISER: marked("an organiser"),
}


def _is_script(request: HttpRequest) -> bool:
    """Whether a script asks, which reads an answer by its number and not by its words."""
    if "X-Sending-Id" in request.headers:
        return True
    return request.path_info.startswith("/sync/") and request.path_info != reverse("this-phone")
