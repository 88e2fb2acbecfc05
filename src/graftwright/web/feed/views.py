"""The calendar as a feed: whoever has the secret address reads it, until it is taken back."""

from datetime import UTC, datetime
from hashlib import sha256

from django.http import HttpRequest, HttpResponse, HttpResponseNotFound, HttpResponseNotModified
from django.views.decorators.http import require_safe

from graftwright.paper.almanac import almanac, empty_almanac
from graftwright.store.tokens import Purpose, token_of
from graftwright.store.years import written_count
from graftwright.tongue import say
from graftwright.web.standing_on import today
from graftwright.web.winter import this_winter
from graftwright.web.working.asking import StillWorking

_LAST_EDITION = 9_999
_CALENDAR = "text/calendar; charset=utf-8"


@require_safe
def calendar_feed(request: HttpRequest, secret: str) -> HttpResponse:
    """Return the calendar as it stands now; without a plan an empty one, never a fault.

    An address that was taken back and one that never was look alike.
    """
    if token_of(secret, Purpose.CALENDAR, today=today()) is None:
        return HttpResponseNotFound(say("no calendar here"), content_type="text/plain")
    try:
        winter = this_winter(may_wait=True)
    except StillWorking:
        # a calendar keeps what it has, and asks again
        words = say("the winter’s plan is being thought out; ask again in a minute")
        return HttpResponse(
            words,
            status=503,
            content_type="text/plain; charset=utf-8",
            headers={"Retry-After": "60"},
        )
    if winter.plan is None:
        content = empty_almanac(winter.notebook.nursery.name)
    else:
        edition = min(written_count(datetime.now(UTC).date()), _LAST_EDITION)
        content = almanac(winter.plan, edition=edition)
    mark = f'"{sha256(content).hexdigest()[:32]}"'
    if request.headers.get("If-None-Match") == mark:
        return HttpResponseNotModified(headers={"ETag": mark})
    answer = HttpResponse(content, content_type=_CALENDAR)
    answer["ETag"] = mark
    answer["Cache-Control"] = "private, max-age=0, must-revalidate"
    # the address is a secret: it is to stand in no other program's log of where one came from
    answer["Referrer-Policy"] = "no-referrer"
    answer["X-Robots-Tag"] = "noindex"
    return answer
