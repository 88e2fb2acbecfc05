"""What a page may load: only what the program itself ships, no script or style in the page."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; manifest-src 'self'; worker-src 'self'"
)
_WORTH_PACKING = ("text/", "application/json", "application/javascript", "image/svg+xml")


class ContentPolicyMiddleware:
    """Sends the content policy with every answer."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the answer with the policy on it."""
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", _POLICY)
        # the camera is for scanning tags; nothing else of the phone is asked for
        response.headers.setdefault("Permissions-Policy", "camera=(self), microphone=()")
        return response


class PackingMiddleware(GZipMiddleware):
    """Packs pages, scripts and styles on their way; fonts and photos are packed already."""

    def process_response(
        self, request: HttpRequest, response: HttpResponseBase
    ) -> HttpResponseBase:
        """Return the answer, packed where that makes it smaller."""
        if response.headers.get("Content-Type", "").startswith(_WORTH_PACKING):
            return super().process_response(request, response)
        return response
