"""A form that a phone sends with an id of its own: written down once, however often it comes.

The id is that of the first entry the form makes, so the record itself says whether it came before.
"""

from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import urlsplit
from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.utils import timezone

from graftwright.errors import NotUnderstood
from graftwright.store.append import is_written
from graftwright.store.sending import Sending, under
from graftwright.tongue import say, told
from graftwright.web.sync.answers import Answer, doubts_of, now_ms, reasons_on_page
from graftwright.web.sync.clock import Moment, clock_from, instant
from graftwright.web.sync.devices import device_from

_FIELD = "sending_id"
_CLOCK_HEADERS = {
    "phone_now_ms": "X-Phone-Now",
    "known_offset_ms": "X-Known-Offset",
    "zone_minutes": "X-Zone-Minutes",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Came:
    """A sending on its way through its page."""

    sending: Sending
    moment: Moment


class SendingMiddleware:
    """Lets a form that carries an id of its own count once, dated to when it was filled in."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self._came: dict[HttpRequest, _Came] = {}
        self._stacks: dict[HttpRequest, ExitStack] = {}

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the page's own answer; for a form from the queue, what became of it."""
        with ExitStack() as stack:
            self._stacks[request] = stack
            response = self.get_response(request)
        self._stacks.pop(request)
        came = self._came.pop(request, None)
        return _answered(request, response, came) if came and _is_queued(request) else response

    def process_view(
        self, request: HttpRequest, _view: object, _args: object, _kwargs: object
    ) -> HttpResponse | None:
        """Open the sending of a form with an id. Forged forms were stopped before."""
        text = _id_text(request)
        if not text:
            return None
        try:
            came = _sending(request, text)
        except NotUnderstood as wrong:
            return _refused(request, str(wrong))
        if is_written(came.sending.sending_id):
            return _came_before(request)
        self._came[request] = came
        self._stacks[request].enter_context(under(came.sending))
        return None


def _id_text(request: HttpRequest) -> str:
    if request.method != "POST" or request.content_type == "application/json":
        return ""
    return request.headers.get("X-Sending-Id") or request.POST.get(_FIELD, "")


def _is_queued(request: HttpRequest) -> bool:
    return "X-Sending-Id" in request.headers


def _sending(request: HttpRequest, text: str) -> _Came:
    try:
        sending_id = UUID(text)
    except ValueError as wrong:
        raise NotUnderstood(
            told("{text!r} is no id of a sending; open the page again", text=text[:40])
        ) from wrong
    now = datetime.now(UTC)
    if not _is_queued(request):
        day = timezone.localdate(now)
        moment = Moment(made_at=now, happened_on=day, phone_day=day)
        return _Came(sending=_dated(sending_id, moment, device=""), moment=moment)
    said = {name: request.headers.get(head, "") for name, head in _CLOCK_HEADERS.items()}
    made = request.headers.get("X-Made-At", "")
    if not made.isdecimal():
        raise NotUnderstood(
            told("made at {made!r}; expected milliseconds since 1970", made=made[:40])
        )
    moment = clock_from(said, now=now).moment(instant(int(made)), now=now)
    device = device_from(request.headers.get("X-Device", "")) + moment.mark
    if settings.STAND_ON is None and moment.phone_day != moment.happened_on:
        _put_days_right(request, moment)
    return _Came(sending=_dated(sending_id, moment, device=device), moment=moment)


def _dated(sending_id: UUID, moment: Moment, *, device: str) -> Sending:
    return Sending(
        sending_id=sending_id,
        made_at=moment.made_at,
        happened_on=settings.STAND_ON or moment.happened_on,
        device=device,
    )


def _put_days_right(request: HttpRequest, moment: Moment) -> None:
    """Let a form that says today by a wrong clock say the right day."""
    right = request.POST.copy()
    for name in right:
        if name.endswith("happened_on") and right[name] == moment.phone_day.isoformat():
            right[name] = moment.happened_on.isoformat()
    request.POST = right  # type: ignore[assignment]


def _answered(request: HttpRequest, response: HttpResponse, came: _Came) -> HttpResponse:
    """Return in a few words what became of a form from the queue."""
    if response.status_code >= 500 or response.status_code in (401, 403):
        return response
    said = list(messages.get_messages(request))
    words = [str(one) for one in said]
    if not is_written(came.sending.sending_id):
        if said and all(one.level < messages.ERROR for one in said):
            return _json(Answer.HERE, words)  # nothing was different, so nothing was to write
        return _json(Answer.REFUSED, words or reasons_on_page(response))
    doubts = [*doubts_of(came.sending.sending_id), came.moment.words]
    is_flagged = any(doubts)
    return _json(Answer.FLAGGED if is_flagged else Answer.KEPT, [*words, *filter(None, doubts)])


def _came_before(request: HttpRequest) -> HttpResponse:
    if _is_queued(request):
        return _json(Answer.HERE, [])
    messages.success(request, say("That is written down already; it counts once."))
    return redirect(_page_it_came_from(request))


def _page_it_came_from(request: HttpRequest) -> str:
    from_page = urlsplit(request.headers.get("Referer", ""))
    return from_page.path if from_page.netloc == request.get_host() else "/"


def _refused(request: HttpRequest, words: str) -> HttpResponse:
    if _is_queued(request):
        return _json(Answer.REFUSED, [words])
    return HttpResponse(words, status=400, content_type="text/plain; charset=utf-8")


def _json(answer: Answer, words: list[str]) -> JsonResponse:
    return JsonResponse({"answer": answer, "words": " ".join(words), "server_now_ms": now_ms()})
