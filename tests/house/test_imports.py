"""What is loaded when: help is quick, and the core only reads its own modules."""

import json
import subprocess
import sys

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


def _run(code: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    return done.stdout.strip()


def test_help_is_shown_without_loading_django_numpy_or_any_heavy_library() -> None:
    assert _run(HELP) == "True []"


def test_importing_the_core_opens_no_file_and_no_connection_and_loads_no_store() -> None:
    found = json.loads(_run(WATCHED.replace("ROOMS", repr(CORE))))
    assert found == {"seen": [], "web": []}
