"""What is loaded when: help is quick, and the core only reads its own modules."""

import json
import os
import subprocess
import sys
from pathlib import Path

CORE = ("wood", "climate", "losses", "planting", "notebook", "season.plan", "season.due")

HELP = """
import sys, io, contextlib
with contextlib.redirect_stdout(io.StringIO()) as shown:
    try:
        from graftwright.cli.main import main
        main(["--help"])
    except SystemExit:
        pass
heavy = ("django", "numpy", "scipy", "highspy", "reportlab", "xlsxwriter", "python_calamine")
print("template" in shown.getvalue(), [one for one in heavy if one in sys.modules])
"""

PLAN = """
import sys
import graftwright.cli.main, graftwright.cli.folder
graftwright.cli.folder.open_notebook()
graftwright.cli.folder.open_notebook()
import graftwright.cli.winter
heavy = ("reportlab", "xlsxwriter", "icalendar", "PIL", "segno", "python_calamine", "cryptography",
    "scipy.optimize")
print([one for one in heavy if one in sys.modules])
"""

FIRST_ANSWER = """
import os, sys
from graftwright.cli.folder import open_notebook
open_notebook()
import graftwright.cli.pages
from django.test import Client
print(Client().get("/sync/hello", headers={"host": "localhost"}).status_code)
heavy = ("numpy", "scipy", "highspy", "reportlab", "xlsxwriter", "icalendar", "python_calamine")
print([one for one in (*heavy, "graftwright.web.urls") if one in sys.modules])
from django.urls import reverse
print(reverse("hello"), reverse("today"), "graftwright.web.urls" in sys.modules)
"""

WATCHED = """
import sys, json, importlib, pathlib
import numpy, scipy.stats, scipy.optimize, scipy.special, scipy.sparse, highspy
seen = []
CODE = (".py", ".pyc", ".so", ".pyd", ".dylib")
def watch(event, details):
    if event == "open" and isinstance(details[0], (str, bytes)):
        path = details[0] if isinstance(details[0], str) else details[0].decode()
        if not path.endswith(CODE) and ".pyc." not in path and "scipy" not in path:
            seen.append(f"open {path}")
    elif event.startswith(("socket.", "subprocess.", "os.system", "sqlite3.", "urllib.")):
        seen.append(event)
sys.addaudithook(watch)
for room in ROOMS:
    importlib.import_module("graftwright." + room)
loaded = [one for one in ("django", "sqlite3") if one in sys.modules]
print(json.dumps({"seen": seen, "web": loaded}))
"""


def _run(code: str, *, notebook: Path | None = None) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
        env=os.environ | ({"GRAFTWRIGHT_NOTEBOOK": str(notebook)} if notebook else {}),
    )
    return done.stdout.strip()


def test_help_is_shown_without_loading_django_numpy_or_any_heavy_library() -> None:
    assert _run(HELP) == "True []"


def test_a_plan_loads_nothing_that_prints_reads_workbooks_or_seals(tmp_path: Path) -> None:
    assert _run(PLAN, notebook=tmp_path) == "[]"


def test_the_first_answer_is_given_before_the_pages_are_loaded(tmp_path: Path) -> None:
    assert _run(FIRST_ANSWER, notebook=tmp_path) == "200\n[]\n/sync/hello / True"


def test_importing_the_core_opens_no_file_and_no_connection_and_loads_no_store() -> None:
    found = json.loads(_run(WATCHED.replace("ROOMS", repr(CORE))))
    assert found == {"seen": [], "web": []}
