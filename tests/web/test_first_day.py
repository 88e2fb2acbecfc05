"""The first day: no notebook folder at all, then an empty notebook."""

import os
import subprocess
import sys
from pathlib import Path

_FIRST_DAY = """
import django
django.setup()
from django.test import Client
client = Client()
before = client.get("/plan/")
begun = client.post("/begin")
after = client.get("/plan/")
print(before.status_code, "Begin an empty notebook" in before.content.decode())
print(begun.status_code)
print(after.status_code, "Write down a promise" in after.content.decode())
"""


def test_a_start_without_a_folder_shows_how_to_begin_and_beginning_works(tmp_path: Path) -> None:
    folder = tmp_path / "notebook not made yet"
    said = subprocess.run(
        [sys.executable, "-c", _FIRST_DAY],
        env={
            **os.environ,
            "GRAFTWRIGHT_NOTEBOOK": str(folder),
            "DJANGO_SETTINGS_MODULE": "graftwright.web.settings",
        },
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.splitlines() == ["200 True", "302", "200 True"], said.stderr
    assert (folder / "notebook.sqlite3").exists()
