"""Every address of the program."""

from django.urls import URLPattern, URLResolver, path
from django.views.generic import RedirectView

from graftwright.web.first_day import begin
from graftwright.web.paper_room.views import labels_file, paper_file, paper_page
from graftwright.web.plan.views import plan_page
from graftwright.web.promises.views import (
    make_promise,
    promise_page,
    promises_page,
    withdraw_promise,
)
from graftwright.web.spreadsheet.views import (
    answer,
    drop,
    enter_rows,
    read_in,
    read_in_temperatures,
    reading_page,
    spreadsheet_page,
    template_file,
)
from graftwright.web.units import choose_unit

urlpatterns: list[URLPattern | URLResolver] = [
    path("", RedirectView.as_view(pattern_name="plan"), name="first-page"),
    path("promises/", promises_page, name="promises"),
    path("promises/make", make_promise, name="make-promise"),
    path("promises/<str:code>/", promise_page, name="promise"),
    path("promises/<str:code>/withdraw", withdraw_promise, name="withdraw-promise"),
    path("plan/", plan_page, name="plan"),
    path("paper/", paper_page, name="paper"),
    path("paper/labels", labels_file, name="labels"),
    path("paper/<str:file_name>", paper_file, name="paper-file"),
    path("spreadsheet/", spreadsheet_page, name="spreadsheet"),
    path("spreadsheet/template", template_file, name="spreadsheet-template"),
    path("spreadsheet/read", read_in, name="read-in"),
    path("spreadsheet/temperatures", read_in_temperatures, name="read-in-temperatures"),
    path("spreadsheet/<uuid:reading_id>/", reading_page, name="reading"),
    path("spreadsheet/<uuid:reading_id>/answer", answer, name="answer"),
    path("spreadsheet/<uuid:reading_id>/enter", enter_rows, name="enter-rows"),
    path("spreadsheet/<uuid:reading_id>/drop", drop, name="drop-reading"),
    path("begin", begin, name="begin"),
    path("unit", choose_unit, name="choose-unit"),
]
