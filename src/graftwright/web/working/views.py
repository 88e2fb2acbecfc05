"""How far a task is, asked by the page every two seconds; stopping it, and asking for it again."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST, require_safe

from graftwright.web.working.asking import desk, task_seen
from graftwright.web.working.shown import not_kept, progress

_SOON_S = 2.0


@require_safe
def work_progress(request: HttpRequest, work_id: str) -> HttpResponse:
    """Give the fragment of progress; once the task has ended, show its page or part anew."""
    fills = bool(request.GET.get("fills"))
    task, back = task_seen(str(work_id)), _back(request.GET.get("back", ""))
    if task is None or not task.is_open:
        if fills:
            return not_kept(render(request, "working/fills.html", {"back": back}))
        return not_kept(HttpResponse(status=204, headers={"HX-Redirect": back}))
    return not_kept(
        render(request, "working/progress.html", progress(task, back=back, fills=fills))
    )


@require_POST
def cancel_work(request: HttpRequest, work_id: str) -> HttpResponse:
    """Stop a task; its page says so, and how to ask again."""
    task = task_seen(str(work_id))
    if task is not None and task.is_open:
        task.cancelled.set()
        task.ended.wait(_SOON_S)
    return redirect(_back(request.POST.get("back", "")))


@require_POST
def ask_work_again(request: HttpRequest, work_id: str) -> HttpResponse:
    """Forget a task that was stopped or failed; its page begins it anew."""
    task = task_seen(str(work_id))
    if task is not None and not task.is_open:
        desk().forget(task)
    return redirect(_back(request.POST.get("back", "")))


def _back(address: str) -> str:
    """Return the page asked for if it is one of ours, else the first page."""
    return address if url_has_allowed_host_and_scheme(address, allowed_hosts=None) else "/"
