"""Two ways compared within the varieties grafted both ways."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from graftwright.errors import OutOfRange
from graftwright.season.comparisons import Choice, ComparedWays, choices, ways_compared
from graftwright.season.graft_counts import Factor, GraftCount
from graftwright.tongue import say
from graftwright.web.lessons.taught import Asked, Counted, asked_by, counted
from graftwright.web.rests_on import Kept, is_same_for_lessons
from graftwright.web.working.shown import so_far

_LOW, _HIGH = -1.0, 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The difference as a bar on a scale from ten fewer of ten to ten more of ten."""

    low_x: str
    high_x: str
    mean_x: str
    zero_x: str
    marks: tuple[tuple[str, str, str], ...]


@require_safe
def compare_page(request: HttpRequest) -> HttpResponse:
    """Compare two levels of what was recorded, or say why they cannot be compared."""
    asked = asked_by(request)
    now = counted(asked)
    found = _choices(asked, now)
    choice = next((one for one in found if one.factor == request.GET.get("factor")), None)
    wrong = ""
    compared: ComparedWays | None = None
    try:
        compared = _compared(request, asked, now.counts, choice)
    except OutOfRange as refused:
        wrong = str(refused)
    context: dict[str, object] = {
        "choices": found,
        "choice": choice,
        "first": request.GET.get("first", ""),
        "second": request.GET.get("second", ""),
        "compared": compared,
        "drawn": _drawn(compared) if compared and compared.found.is_comparable else None,
        "wrong": wrong,
    }
    status = 422 if wrong else 200
    return so_far(request, now.task, "lessons/compare.html", context, status=status)


def _choices(asked: Asked, now: Counted) -> tuple[Choice, ...]:
    """Return what may be compared; walking all counts of a large nursery takes its time."""
    kept = choices_kept.last(asked.day) if now.task else None
    if kept is not None:
        return kept

    def look() -> tuple[Choice, ...]:
        return choices(now.counts, notebook=asked.notebook)

    return look() if now.task else choices_kept.answer(asked.day, asked.notebook, look)


choices_kept: Kept[tuple[Choice, ...]] = Kept(is_same_for_lessons, most_count=2)


def _compared(
    request: HttpRequest, asked: Asked, counts: tuple[GraftCount, ...], choice: Choice | None
) -> ComparedWays | None:
    first, second = request.GET.get("first", ""), request.GET.get("second", "")
    if choice is None or not (first and second):
        return None
    known = {level for level, _, _ in choice.levels}
    if first == second or not {first, second} <= known:
        raise OutOfRange(say("the same way twice; choose two different ones"))
    return ways_compared(
        counts,
        factor=Factor(choice.factor),
        first=first,
        second=second,
        notebook=asked.notebook,
    )


def _drawn(compared: ComparedWays) -> Drawn | None:
    difference = compared.found.difference
    mean_fraction = compared.found.mean_difference_fraction
    if difference is None or mean_fraction is None:
        return None
    return Drawn(
        low_x=_x(difference.low_fraction),
        high_x=_x(difference.high_fraction),
        mean_x=_x(mean_fraction),
        zero_x=_x(0.0),
        marks=tuple(
            (_x(tenths / 10), f"{tenths:+d}".replace("-", "\u2212"), anchor)
            for tenths, anchor in ((-10, "start"), (-5, "middle"), (5, "middle"), (10, "end"))
        ),
    )


def _x(fraction: float) -> str:
    return f"{(min(_HIGH, max(_LOW, fraction)) - _LOW) / (_HIGH - _LOW) * 100:.2f}%"
