"""The program as our own server sees it: it answers at once and loads its pages meanwhile."""

from importlib import import_module
from threading import Thread

from graftwright.web.wsgi import application

__all__ = ["application"]


def _load_pages() -> None:
    import_module("graftwright.web.urls")


# whoever asks for a page before they are loaded waits for the rest of the loading alone
Thread(target=_load_pages, name="loading pages", daemon=True).start()
