"""How far a task is, as a page shows it; and a page of its own where nothing else can be shown."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from graftwright.errors import GraftwrightError
from graftwright.tongue import say
from graftwright.web.working.asking import StillWorking
from graftwright.work import Stage, Task

_LOOK_AGAIN_S = 2


def progress(task: "Task[Any]", *, back: str, fills: bool = False) -> dict[str, object]:
    """Return what the fragment of progress needs; `back` is the page that shows the answer.

    With `fills` only the part of that page called `list` is put in, so that no form loses what was
    typed meanwhile.
    """
    return {
        "task": task,
        "back": back,
        "fills": fills,
        "look_again_s": _LOOK_AGAIN_S,
        "seconds": round(task.seconds),
        "is_waiting": task.stage is Stage.WAITING,
        "is_stopped": task.stage is Stage.STOPPED,
        "why_failed": _why_failed(task),
    }


def so_far(
    request: HttpRequest,
    task: "Task[Any] | None",
    template: str,
    held: dict[str, object],
    *,
    status: int = 200,
) -> HttpResponse:
    """Return a page without what still waits for `task`; its part `list` fills itself."""
    if task is None:
        return render(request, template, held, status=status)
    back = request.get_full_path() if request.method in ("GET", "HEAD") else request.path
    held |= progress(task, back=back, fills=True)
    return not_kept(render(request, template, held, status=202 if status == 200 else status))


def _why_failed(task: "Task[Any]") -> str:
    if task.error is None:
        return ""
    if isinstance(task.error, GraftwrightError):
        return str(task.error)
    return say("a fault of the program, which its log describes")


def waiting_page(request: HttpRequest, task: "Task[Any]") -> HttpResponse:
    """Show how far a task is, in place of the page that waits for it."""
    # what was sent is not sent again by itself
    back = request.get_full_path() if request.method in ("GET", "HEAD") else reverse("plan")
    if request.headers.get("HX-Request"):
        # a part of a page was asked for: the browser opens the whole page instead
        return HttpResponse(status=204, headers={"HX-Redirect": back})
    held = progress(task, back=back)
    return not_kept(render(request, "working/page.html", held, status=202))


def not_kept(answer: HttpResponse) -> HttpResponse:
    """Return a page that no browser and no phone keeps, for it holds good for a moment only."""
    answer.headers["Cache-Control"] = "private, no-store"
    return answer


class StillWorkingMiddleware:
    """Answers with the progress of the work where a page cannot be shown without its answer."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the page's own answer."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, wrong: Exception) -> HttpResponse | None:
        """Return the page of progress instead of a fault."""
        return waiting_page(request, wrong.task) if isinstance(wrong, StillWorking) else None
