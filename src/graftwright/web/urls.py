"""Every address of the program."""

from django.urls import URLPattern, URLResolver, path

from graftwright.web.first_day import begin
from graftwright.web.units import choose_unit

urlpatterns: list[URLPattern | URLResolver] = [
    path("begin", begin, name="begin"),
    path("unit", choose_unit, name="choose-unit"),
]
