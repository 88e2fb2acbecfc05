"""Nothing without a token: who calls, how often, how much, and what may go wrong on the way."""

from collections.abc import Callable
from math import ceil
from typing import Concatenate, ParamSpec

from django.core.exceptions import RequestDataTooBig
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.views.decorators.csrf import csrf_exempt

from graftwright.errors import GraftwrightError, NoPlan, NotebookBusy, UnknownCode
from graftwright.store.tokens import KnownToken, Purpose, token_of
from graftwright.web.api.answers import problem
from graftwright.web.api.rate import wait_s
from graftwright.web.standing_on import today
from graftwright.web.working.asking import StillWorking

MOST_BYTES = 1_000_000
Rest = ParamSpec("Rest")
View = Callable[Concatenate[HttpRequest, Rest], HttpResponse]
Called = Callable[Concatenate[HttpRequest, KnownToken, Rest], HttpResponse]


def for_programs(**by_method: Called[Rest]) -> View[Rest]:
    """Return a view that asks for a program's token and leads each method to its function."""
    return _gate(Purpose.PROGRAM, MOST_BYTES, by_method)


def for_copies(*, most_bytes: int = MOST_BYTES, **by_method: Called[Rest]) -> View[Rest]:
    """Return such a view for another copy of the notebook, with tokens of its own."""
    return _gate(Purpose.COPY, most_bytes, by_method)


def _gate(purpose: Purpose, most_bytes: int, by_method: dict[str, Called[Rest]]) -> View[Rest]:
    """Return a view that leads each method to its function.

    A method whose function only reads is led there with any token; POST asks for one that may
    write. Cookies are not looked at, so that no page in a browser can call in somebody's name.
    """
    allowed = ", ".join(sorted(by_method))

    @csrf_exempt
    def view(request: HttpRequest, /, *args: Rest.args, **kwargs: Rest.kwargs) -> HttpResponse:
        try:
            token = _token(request, purpose)
        except OperationalError as missing:
            return _busy(f"the notebook cannot be read ({missing}); open it first, or wait")
        if token is None:
            answer = problem(401, "send a token: Authorization: Bearer, then the token")
            answer["WWW-Authenticate"] = "Bearer"
            return answer
        method = by_method.get("GET" if request.method == "HEAD" else str(request.method))
        if method is None:
            answer = problem(405, f"{request.method} is not done here; expected {allowed}")
            answer["Allow"] = allowed
            return answer
        return _refused(request, token, most_bytes) or _called(
            method, request, token, *args, **kwargs
        )

    return view


def _token(request: HttpRequest, purpose: Purpose) -> KnownToken | None:
    scheme, _, secret = request.headers.get("Authorization", "").partition(" ")
    if scheme.casefold() != "bearer":
        return None
    return token_of(secret.strip(), purpose, today=today())


def _refused(request: HttpRequest, token: KnownToken, most_bytes: int) -> HttpResponse | None:
    waits_s = wait_s(token.token_id)
    if waits_s:
        answer = problem(429, "too many calls; wait as long as Retry-After says")
        answer["Retry-After"] = str(ceil(waits_s))
        return answer
    if request.method == "POST" and not token.may_write:
        return problem(403, "this token only reads; make one that may write")
    try:
        if len(request.body) > most_bytes:
            return problem(413, f"{len(request.body)} bytes; expected at most {most_bytes}")
    except RequestDataTooBig:
        return problem(413, f"expected at most {most_bytes} bytes; send fewer entries at once")
    return None


def _called(
    method: Called[Rest],
    request: HttpRequest,
    token: KnownToken,
    *args: Rest.args,
    **kwargs: Rest.kwargs,
) -> HttpResponse:
    try:
        return method(request, token, *args, **kwargs)
    except (NotebookBusy, OperationalError) as busy:
        return _busy(str(busy))
    except StillWorking:
        return _busy("the winter's plan is being thought out; ask again", after_s=5)
    except UnknownCode as unknown:
        return problem(404, str(unknown))
    except NoPlan as none:
        return problem(409, str(none))
    except GraftwrightError as wrong:
        return problem(422, str(wrong))


def _busy(detail: str, *, after_s: int = 1) -> HttpResponse:
    answer = problem(503, detail)
    answer["Retry-After"] = str(after_s)
    return answer
