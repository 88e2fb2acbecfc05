"""The notebook's folder opened: made on first use, its tables brought up to date."""

import os
from datetime import date
from pathlib import Path

import django
from django.core.management import call_command


def open_notebook() -> Path:
    """Make the notebook's folder and tables if they are not there yet; return the folder."""
    folder = Path(
        os.environ.get("GRAFTWRIGHT_NOTEBOOK") or Path.home() / "graftwright-notebook"
    ).expanduser()
    folder.mkdir(parents=True, exist_ok=True)
    os.environ["DJANGO_SETTINGS_MODULE"] = "graftwright.web.settings"
    django.setup()
    call_command("migrate", verbosity=0, interactive=False)
    return folder


def today() -> date:
    """Return the day asked for, else the real one."""
    chosen = os.environ.get("GRAFTWRIGHT_DAY")
    return date.fromisoformat(chosen) if chosen else date.today()  # noqa: DTZ011 (the day here)
