"""A reader's choice, remembered by the browser; then back to the page it was made on."""

from collections.abc import Container

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.http import url_has_allowed_host_and_scheme

_A_YEAR_S = 365 * 24 * 3600


def back_with_choice(
    request: HttpRequest, *, field: str, cookie: str, choices: Container[str]
) -> HttpResponse:
    """Go back to where the form stood; keep what it chose if that is one of the choices."""
    back = request.POST.get("back", "")
    is_ours = url_has_allowed_host_and_scheme(back, allowed_hosts=None)
    response = HttpResponseRedirect(back if is_ours else "/")
    chosen = request.POST.get(field, "")
    if chosen in choices:
        response.set_cookie(
            cookie,
            chosen,
            max_age=_A_YEAR_S,
            samesite="Strict",
            httponly=True,
            secure=request.is_secure(),
        )
    return response
