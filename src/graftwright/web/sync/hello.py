"""The first answer a phone asks for; this module is light, so that it comes at once."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from graftwright.store.signed_in import writer
from graftwright.web.sync.answers import now_ms


@require_safe
@never_cache
def hello(request: HttpRequest) -> HttpResponse:
    """Answer a contact with the time, the day, and the token that forms are sent with."""
    return JsonResponse(
        {
            "server_now_ms": now_ms(),
            "chosen_day": settings.STAND_ON.isoformat() if settings.STAND_ON else None,
            "token": get_token(request),
            "by": writer(""),
        }
    )
