"""The store as Django knows it."""

from django.apps import AppConfig


class StoreConfig(AppConfig):
    """The store."""

    name = "graftwright.store"
    label = "store"
