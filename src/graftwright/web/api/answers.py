"""Answers of the address for programs: JSON, and problems as RFC 9457 lays them down."""

import json

from django.http import HttpResponse

from graftwright.notebook.written import Plain

JSON = "application/json"
PROBLEM = "application/problem+json"
TITLES = {
    400: "not understood",
    401: "no token",
    403: "this token may not write",
    404: "not here",
    405: "not done with this address",
    409: "cannot follow from what is written",
    413: "too much at once",
    422: "no entry",
    429: "too often",
    503: "the notebook is busy",
}


def json_answer(body: Plain, *, status: int = 200) -> HttpResponse:
    """Return a value as JSON."""
    text = json.dumps(body, ensure_ascii=False, allow_nan=False)
    answer = HttpResponse(text, content_type=JSON, status=status)
    answer["Cache-Control"] = "no-store"
    return answer


def problem(status: int, detail: str) -> HttpResponse:
    """Return what went wrong and the way out, as a problem document."""
    body = {"type": "about:blank", "title": TITLES[status], "status": status, "detail": detail}
    answer = HttpResponse(json.dumps(body), content_type=PROBLEM, status=status)
    answer["Cache-Control"] = "no-store"
    return answer
