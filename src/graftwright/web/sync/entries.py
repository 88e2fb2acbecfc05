"""Entries that a phone wrote down itself: each answered for itself, kept once."""

import json
from collections.abc import Mapping
from contextvars import copy_context
from datetime import UTC, datetime

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_POST

from graftwright.errors import NotebookBusy, NotUnderstood
from graftwright.tongue import say, told
from graftwright.web.sync.answering import Answered, Hand, Line
from graftwright.web.sync.answers import now_ms
from graftwright.web.sync.clock import clock_from
from graftwright.web.sync.devices import device_from
from graftwright.web.sync.turns import MOST_TOGETHER, turns

MOST_ENTRIES = 500
MOST_BYTES = 1024 * 1024


@require_POST
def bring_entries(request: HttpRequest) -> HttpResponse:
    """Write down what a phone brings, in its order, and answer for each entry."""
    now = datetime.now(UTC)
    try:
        body = _body(request)
        clock, device = clock_from(body, now=now), device_from(str(body.get("device", "")))
        lines = _lines(body)
    except NotUnderstood as wrong:
        return JsonResponse({"words": str(wrong), "server_now_ms": now_ms()}, status=400)
    hand, context = Hand(clock=clock, device=device, now=now), copy_context()
    brought = [Line(line=line, hand=hand, context=context) for line in lines]
    answers: list[Answered] = []
    for start in range(0, len(brought), MOST_TOGETHER):
        try:
            answers += turns.answered(brought[start : start + MOST_TOGETHER])
        except (NotebookBusy, OperationalError):
            break  # what is not answered stays on the phone and is sent again
    found = [
        {"entry_id": one.entry_id, "answer": one.answer, "words": one.words} for one in answers
    ]
    return JsonResponse({"answers": found, "server_now_ms": now_ms()})


def _body(request: HttpRequest) -> dict[str, object]:
    if request.content_type != "application/json":
        raise NotUnderstood(say("entries come as application/json, as in a notebook's way out"))
    if len(request.body) > MOST_BYTES:
        raise NotUnderstood(say("more than 1 MB at once; send it in parts"))
    try:
        body = json.loads(request.body)
    except (ValueError, RecursionError) as wrong:
        raise NotUnderstood(say("that is no JSON; expected an object with entries")) from wrong
    if not isinstance(body, dict):
        raise NotUnderstood(say("expected an object with entries"))
    return body


def _lines(body: Mapping[str, object]) -> list[object]:
    lines = body.get("entries")
    if not isinstance(lines, list) or len(lines) > MOST_ENTRIES:
        raise NotUnderstood(
            told("entries: expected a list of at most {MOST_ENTRIES}", MOST_ENTRIES=MOST_ENTRIES)
        )
    return lines
