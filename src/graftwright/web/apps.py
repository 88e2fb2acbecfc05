"""The pages as Django knows them."""

from django.apps import AppConfig


class WebConfig(AppConfig):
    """The pages."""

    name = "graftwright.web"
    label = "web"
