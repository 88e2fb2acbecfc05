"""The language of the pages: one cookie, one form in the foot, else English."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import translation
from django.views.decorators.http import require_POST

from graftwright.locale import LANGUAGES, catalogue_of
from graftwright.tongue import ENGLISH, language, speaking
from graftwright.web.remembered import back_with_choice

_COOKIE = "language"


class LanguageMiddleware:
    """Lets each page be made in the language its reader chose."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the answer, made in the reader's language and marked with it."""
        code = request.COOKIES.get(_COOKIE, ENGLISH)
        code = code if code in LANGUAGES else ENGLISH
        # Django's own texts and dates follow; its British English stays as it is set
        with speaking(catalogue_of(code), language=code), translation.override(_django_name(code)):
            response = self.get_response(request)
            response.headers.setdefault("Content-Language", _django_name(code))
            return response


def _django_name(code: str) -> str:
    return "en-gb" if code == ENGLISH else code


@require_POST
def choose_language(request: HttpRequest) -> HttpResponse:
    """Remember the language the reader asks for; go back to where they were."""
    return back_with_choice(request, field="language", cookie=_COOKIE, choices=LANGUAGES)


def spoken(_request: HttpRequest) -> dict[str, object]:
    """Return the language of the page and the one that the foot offers instead."""
    code = language()
    other = next(one for one in LANGUAGES if one != code)
    return {
        "language_of_page": _django_name(code) if code != ENGLISH else "en-GB",
        "other_language": other,
        "other_language_name": LANGUAGES[other],
    }
