"""The reader's choice of unit."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from graftwright.web.remembered import back_with_choice
from graftwright.web.standing_on import UNIT_COOKIE, LengthUnit


@require_POST
def choose_unit(request: HttpRequest) -> HttpResponse:
    """Keep the unit chosen and go back to the page it was chosen on."""
    return back_with_choice(request, field="unit", cookie=UNIT_COOKIE, choices=set(LengthUnit))
