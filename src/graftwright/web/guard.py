"""What a page may load: only what the program itself ships, no script or style in the page."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; manifest-src 'self'; worker-src 'self'"
)


class ContentPolicyMiddleware:
    """Sends the content policy with every answer."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the answer with the policy on it."""
        response = self.get_response(request)
        response.headers.setdefault("Content-Security-Policy", _POLICY)
        return response
