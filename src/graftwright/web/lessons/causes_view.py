"""Why did these fail: what stands out among a season's losses."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from graftwright.web.lessons.taught import asked_by, taught
from graftwright.web.working.shown import so_far


@require_safe
def causes_page(request: HttpRequest) -> HttpResponse:
    """Show what stands out, what was written down, and what was seen in opened grafts."""
    found = taught(asked_by(request))
    lessons = found.lessons
    context: dict[str, object] = {
        "lessons": lessons,
        "alarm_seasons": _one_season_of(lessons.findings),
        "is_counted": bool(lessons.findings),
    }
    return so_far(request, found.task, "lessons/causes.html", context)


def _one_season_of(findings: tuple[object, ...]) -> int:
    """Return in one of how many seasons of mere chance anything at all is named."""
    total = sum(getattr(one, "alarm_fraction", 0.0) for one in findings)
    return round(1.0 / total) if total else 0
