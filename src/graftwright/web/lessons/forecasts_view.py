"""The book of forecasts: kept before results, held against them afterwards."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST, require_safe

from graftwright.season.forecasts import HeldForecast, forecasts_held
from graftwright.store.forecasts import keep_forecast
from graftwright.tongue import marked, say, told
from graftwright.web.lessons.taught import asked_by, counted
from graftwright.web.winter import this_winter
from graftwright.web.working.shown import so_far

_FIFTH_WORDS = (
    marked("lowest fifth"),
    marked("second fifth"),
    marked("middle fifth"),
    marked("fourth fifth"),
    marked("highest fifth"),
)
_FIRST = "take"
_BAR_TOP, _BAR_FOOT = 24.0, 120.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldBar:
    """A forecast's range on a scale from none to all of its grafts, and what came."""

    held: HeldForecast
    low_x: str
    high_x: str
    expected_x: str
    came_x: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FifthBar:
    """How many results fell into one fifth of their forecasts."""

    words: str
    count: int
    x: str
    middle_x: str
    y: str
    height: str
    count_y: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StageHeld:
    """The forecasts of one stage of a season; those of the take are drawn first."""

    stage: str
    is_first: bool
    bars: tuple[HeldBar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonHeld:
    """The forecasts of one season, stage by stage."""

    season: int
    stages: tuple[StageHeld, ...]


@require_safe
def forecasts_page(request: HttpRequest) -> HttpResponse:
    """Show every forecast beside what came, and how honest the ranges were."""
    asked = asked_by(request)
    now = counted(asked)
    found = forecasts_held(asked.notebook.forecasts, now.counts)
    context: dict[str, object] = {
        "found": found,
        "seasons": _by_season(found.held),
        "fifths": _fifths(found.fifths),
        "even_y": f"{_level(sum(found.fifths) / 5, max(found.fifths, default=0)):.1f}",
        "even_count": sum(found.fifths) / 5,
        "made": tuple(reversed(asked.notebook.forecasts.made)),
    }
    return so_far(request, now.task, "lessons/forecasts.html", context)


@require_POST
def keep_forecasts(request: HttpRequest) -> HttpResponse:
    """Keep what this winter's plan foretells."""
    plan = this_winter().plan
    if plan is None:
        messages.error(request, say("There is no plan just now, so there is nothing to foretell."))
    elif keep_forecast(plan) is None:
        messages.info(request, say("This plan foretells nothing that is not kept already."))
    else:
        messages.success(
            request,
            told(
                "What the plan for {season} foretells is kept as it stands today.",
                season=plan.season,
            ),
        )
    return redirect("lessons-forecasts")


def _by_season(held: Sequence[HeldForecast]) -> tuple[SeasonHeld, ...]:
    return tuple(
        SeasonHeld(season=season, stages=_by_stage([one for one in held if one.season == season]))
        for season in dict.fromkeys(one.season for one in held)
    )


def _by_stage(held: Sequence[HeldForecast]) -> tuple[StageHeld, ...]:
    stages = sorted(dict.fromkeys(one.stage for one in held), key=lambda stage: stage != _FIRST)
    return tuple(
        StageHeld(
            stage=stage,
            is_first=place == 0,
            bars=tuple(_bar(one) for one in held if one.stage == stage),
        )
        for place, stage in enumerate(stages)
    )


def _bar(held: HeldForecast) -> HeldBar:
    return HeldBar(
        held=held,
        low_x=_x(held.low_count, held),
        high_x=_x(held.high_count, held),
        expected_x=_x(held.expected_count, held),
        came_x=_x(held.came_count, held),
    )


def _x(count: float, held: HeldForecast) -> str:
    return f"{count / held.decided_count * 100:.2f}%"


def _fifths(counts: Sequence[int]) -> tuple[FifthBar, ...]:
    most = max(counts, default=0)
    bars = []
    for place, (words, count) in enumerate(zip(_FIFTH_WORDS, counts, strict=True)):
        y = _level(count, most)
        bars.append(
            FifthBar(
                words=words,
                count=count,
                x=f"{place * 20 + 2}%",
                middle_x=f"{place * 20 + 10}%",
                y=f"{y:.1f}",
                height=f"{_BAR_FOOT - y:.1f}",
                count_y=f"{y - 6:.1f}",
            )
        )
    return tuple(bars)


def _level(count: float, most_count: int) -> float:
    return _BAR_FOOT - (_BAR_FOOT - _BAR_TOP) * count / most_count if most_count else _BAR_FOOT
