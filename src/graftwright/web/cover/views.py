"""The page of things under cover."""

import os
from datetime import timedelta
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.intake.weather_http import weather_service
from graftwright.intake.weather_service import WeatherDay, WhereAsked
from graftwright.intake.weather_setting import weather_setting
from graftwright.notebook.entries import PlaceKind, TemperaturesAdded
from graftwright.notebook.entries.entry import Entry
from graftwright.season.cover import Cover
from graftwright.season.cover_batches import CoverBatch
from graftwright.season.expected_night import (
    alarm_costs,
    cost_entries,
    expected_entries,
    expected_night,
)
from graftwright.season.frost_watch import AlarmCosts, FrostRisk, frost_tonight
from graftwright.season.heat_watch import heat_risks
from graftwright.season.what_if import Change, Difference
from graftwright.store.append import write_many
from graftwright.tongue import say, told
from graftwright.web.cover.drawing import cover_drawing
from graftwright.web.cover.forms import DayForm, NightForm, WhatIfForm
from graftwright.web.cover.now import cover_now
from graftwright.web.cover.place_drawing import place_drawings
from graftwright.web.cover.shown import (
    batches_shown,
    changes_shown,
    closings_shown,
    places_shown,
)
from graftwright.web.shown_first import ShownFirst, shown_first
from graftwright.web.standing_on import today

_DAYS_ASKED = 14


@require_safe
def cover_page(request: HttpRequest) -> HttpResponse:
    """Show places and batches; with a change in the address, what it would change."""
    return _page(request, cover_now(), status=200)


@require_POST
def write_day(request: HttpRequest) -> HttpResponse:
    """Write down a day's lowest and highest in a place."""
    cover = cover_now()
    form = DayForm(request.POST, cover=cover)
    if not form.is_valid():
        return _page(request, cover, status=422, day_form=form)
    given = form.cleaned_data
    entry = TemperaturesAdded(
        happened_on=today(),
        place_code=given["place"],
        first_on=given["on"],
        low_c=(given["low"],),
        high_c=(given["high"],),
        station="read off by hand",
    )
    return _written(
        request,
        (entry,),
        told("The temperatures of {given:%-d %B} are written down.", given=given["on"]),
    )


@require_POST
def write_night(request: HttpRequest) -> HttpResponse:
    """Write down what is expected of the night, and what mistakes cost where that changed."""
    cover = cover_now()
    form = NightForm(request.POST, prefix="night")
    if not form.is_valid():
        return _page(request, cover, status=422, night_form=form)
    given = form.cleaned_data
    entries: list[Entry] = list(
        expected_entries(today=today(), low_c=given["low"], high_c=given["high"], words="typed in")
    )
    costs = AlarmCosts(false_alarm=given["false_alarm"], miss=given["miss"])
    if costs != alarm_costs(cover.ground.notebook.nursery):
        entries += cost_entries(costs, today=today())
    if not entries:
        form.add_error("low", say("Write the lowest or the highest expected."))
        return _page(request, cover, status=422, night_form=form)
    return _written(
        request, entries, say("The night is written down; warnings stand on Today too.")
    )


@require_POST
def ask_weather(request: HttpRequest) -> HttpResponse:
    """Ask the weather source that is set, and write down what it knows."""
    cover = cover_now()
    service = weather_service(weather_setting(os.environ))
    where = _where(cover)
    place_code = cover.ground.weather.own_place_code or _first_outdoors(cover)
    if where is None or place_code is None:
        words = say(
            "The source needs a mother tree’s latitude and longitude, and a place outdoors."
        )
        messages.error(request, words)
        return redirect("cover")
    first_on, last_on = today() - timedelta(days=_DAYS_ASKED), today() + timedelta(days=1)
    try:
        days = service.days(where, first_on=first_on, last_on=last_on)
    except GraftwrightError as wrong:
        messages.error(request, str(wrong))
        return redirect("cover")
    entries = _entries(cover, days, place_code)
    if not entries:
        messages.success(request, say("The source knew nothing new."))
        return redirect("cover")
    return _written(request, entries, say("What the source knew is written down."))


def _first_outdoors(cover: Cover) -> str | None:
    """The first place outdoors, where nothing has been measured yet."""
    codes = (one.place.code for one in cover.places if one.place.place_kind is PlaceKind.OUTDOORS)
    return next(codes, None)


def _where(cover: Cover) -> WhereAsked | None:
    for tree in cover.ground.notebook.mother_trees.values():
        if tree.latitude_deg is not None and tree.longitude_deg is not None:
            return WhereAsked(latitude_deg=tree.latitude_deg, longitude_deg=tree.longitude_deg)
    return None


def _entries(cover: Cover, days: tuple[WeatherDay, ...], place_code: str) -> list[Entry]:
    """Past days not known yet as temperatures of the place; tomorrow as what is expected."""
    until = cover.ground.weather.own_until
    past = [day for day in days if day.on < today() and (until is None or day.on > until)]
    entries: list[Entry] = [
        TemperaturesAdded(
            happened_on=today(),
            place_code=place_code,
            first_on=day.on,
            low_c=(day.low_c,),
            high_c=(day.high_c,),
            station=weather_setting(os.environ).name,
        )
        for day in past
    ]
    for day in days:
        if day.on == today() + timedelta(days=1):
            entries += expected_entries(
                today=today(),
                low_c=day.low_c,
                high_c=day.high_c,
                words=f"by {weather_setting(os.environ).name}",
            )
    return entries


def _written(
    request: HttpRequest, entries: tuple[Entry, ...] | list[Entry], words: str
) -> HttpResponse:
    try:
        write_many(entries, device="desk")
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, words)
    return redirect("cover")


def _page(
    request: HttpRequest,
    cover: Cover,
    *,
    status: int,
    day_form: DayForm | None = None,
    night_form: NightForm | None = None,
) -> HttpResponse:
    asked, batches = "if-from_on" in request.GET, batches_shown(cover, request.GET)
    offered = [one.batch for one in batches.first.shown]
    form = (
        WhatIfForm(request.GET, cover=cover, batches=offered)
        if asked
        else _first_what_if(cover, offered)
    )
    changed = _changes(form, cover, request.GET) if asked and form.is_valid() else None
    tried = {**_tried(form, changed, request.GET), "shown": batches}
    if asked and getattr(request, "htmx", False):
        status = 200 if form.is_valid() else 422
        return render(request, "cover/what_if.html", tried, status=status)
    places = places_shown(cover, request.GET)
    context = {
        **tried,
        **_night(cover, night_form, request.GET.get("whole", "")),
        "cover": cover,
        "batches": [(one, one.overdue_words(today())) for one in batches.first.shown],
        "drawing": cover_drawing(batches.first.shown, today=today()),
        "places": places,
        "place_drawings": place_drawings(places.shown),
        "closings": closings_shown(cover, request.GET),
        "day_form": day_form or DayForm(cover=cover),
        "source_name": weather_setting(os.environ).name,
    }
    if asked and not form.is_valid():
        status = 422
    return render(request, "cover/page.html", context, status=status)


def _tried(
    form: WhatIfForm, changed: ShownFirst[Difference] | None, asked: QueryDict
) -> dict[str, object]:
    shown = changed.shown if changed else ()
    new, old = [one.new for one in shown], [one.old for one in shown]
    drawing = cover_drawing(new, today=today(), old=old)
    typed = urlencode([one for one in asked.items() if one[0] != "whole"])
    return {"form": form, "changes": changed, "new_drawing": drawing, "typed": f"&{typed}"}


def _night(cover: Cover, form: NightForm | None, whole: str) -> dict[str, object]:
    ground, nursery = cover.ground, cover.ground.notebook.nursery
    night, costs = expected_night(nursery, today=today()), alarm_costs(nursery)
    typed = {
        "low": night.low_c,
        "high": night.high_c,
        "false_alarm": costs.false_alarm,
        "miss": costs.miss,
    }
    low_c, high_c = night.low_c, night.high_c
    heat = heat_risks(cover.batches, ground=ground, outdoor_high_c=high_c)
    frost: tuple[FrostRisk, ...] = ()
    if low_c is not None:
        frost = frost_tonight(cover.batches, ground=ground, outdoor_low_c=low_c, costs=costs)
    return {
        "night": night,
        "night_form": form or NightForm(initial=typed, prefix="night"),
        "frost": shown_first(frost, key="frost", whole=whole),
        "heat": shown_first(heat, key="heat", whole=whole),
    }


def _first_what_if(cover: Cover, offered: list[CoverBatch]) -> WhatIfForm:
    form = WhatIfForm(cover=cover, batches=offered)
    form.initial = {"from_on": today(), "kept_at": 18}
    return form


def _changes(form: WhatIfForm, cover: Cover, asked: QueryDict) -> ShownFirst[Difference]:
    given = form.cleaned_data
    change = Change(
        from_on=given["from_on"],
        place_code=given["place"],
        kept_at_c=given["kept_at"],
        union_only=given["reach"] != "place",
        batch_key=given["batch"],
    )
    return changes_shown(cover, change=change, asked=asked)
