"""The reader's choice of unit."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from graftwright.web.standing_on import UNIT_COOKIE, LengthUnit

_A_YEAR_S = 365 * 24 * 3600


@require_POST
def choose_unit(request: HttpRequest) -> HttpResponse:
    """Keep the unit chosen and go back to the page it was chosen on."""
    back = request.POST.get("back", "/")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = "/"
    response = HttpResponseRedirect(back)
    unit = request.POST.get("unit", "")
    if unit in set(LengthUnit):
        response.set_cookie(
            UNIT_COOKIE,
            unit,
            max_age=_A_YEAR_S,
            samesite="Strict",
            httponly=True,
            secure=request.is_secure(),
        )
    return response
