"""The addresses for programs."""

from django.urls import URLPattern, path

from graftwright.web.api import views
from graftwright.web.api.gate import for_programs

ADDRESSES: list[URLPattern] = [
    path("api/", for_programs(GET=views.index), name="api"),
    path("api/openapi.json", for_programs(GET=views.document), name="api-document"),
    path(
        "api/entries",
        for_programs(GET=views.entries, POST=views.write_entries),
        name="api-entries",
    ),
    path("api/entries/<uuid:entry_id>", for_programs(GET=views.one_entry), name="api-entry"),
    path("api/things/<str:kind>", for_programs(GET=views.things), name="api-things"),
    path("api/things/<str:kind>/<str:key>", for_programs(GET=views.one_thing), name="api-thing"),
    path("api/jobs", for_programs(GET=views.jobs), name="api-jobs"),
    path("api/plan", for_programs(GET=views.plan), name="api-plan"),
    path("api/codes", for_programs(POST=views.codes), name="api-codes"),
]
