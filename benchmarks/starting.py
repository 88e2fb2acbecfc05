"""How soon the program is there: its help, its server; and how large its base install is.

    python -m benchmarks.starting [--json]

Each is started three times, modules compiled beforehand as installing does; the shortest counts,
for on a shared machine the rest is other people's work. Beside the help stands a bare Python,
beside the server a bare Django that serves one line. The size counts every file of what the package
requires, extras left out, compiled modules included. What was built on the spot, not fetched ready
made, says so in its tag; that needs a compiler.
"""

import importlib.metadata as metadata
import os
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path
from tempfile import TemporaryDirectory

from packaging.requirements import Requirement

from benchmarks.demo_notebook import DEMO_DAY, demo_notebook
from benchmarks.figures import Figure, print_figures

_SO_FAR = 202  # the page without what its workers are at
_RUNS = 3
_LONGEST_S = 60.0
_PACKAGE = "graftwright"
_BARE_DJANGO = """
import sys
from wsgiref.simple_server import make_server
import django
from django.conf import settings
from django.http import HttpResponse
from django.urls import path
settings.configure(ROOT_URLCONF=__name__, ALLOWED_HOSTS=["*"], SECRET_KEY="bare")
django.setup()
urlpatterns = [path("", lambda request: HttpResponse("here"))]
from django.core.wsgi import get_wsgi_application
make_server("127.0.0.1", int(sys.argv[1]), get_wsgi_application()).serve_forever()
"""


def figures() -> list[Figure]:
    """Measure everything, the server on a fresh demo notebook."""
    with demo_notebook() as folder, TemporaryDirectory(prefix="graftwright-") as compiled:
        os.environ["PYTHONPYCACHEPREFIX"] = compiled
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        program = [sys.executable, "-m", "graftwright.cli.main"]
        serve = [*program, "serve", "--notebook", str(folder), "--day", DEMO_DAY, "--port"]
        bare = [sys.executable, "-c", _BARE_DJANGO]
        return [
            Figure(
                what="graftwright --help",
                measured=_shortest_s(lambda: _ended_s([*program, "--help"])),
                unit="s",
                baseline=_shortest_s(lambda: _ended_s([sys.executable, "-c", "pass"])),
                baseline_words="a bare Python, same run",
            ),
            Figure(
                what="server ready, its first answer given",
                measured=_shortest_s(lambda: _answered_s(serve, "/sync/hello")),
                unit="s",
                baseline=_shortest_s(lambda: _answered_s(bare, "/")),
                baseline_words="a bare Django that serves one line, same run",
            ),
            Figure(
                what="server started and the whole list of today shown",
                measured=_answered_s(serve, "/"),
                unit="s",
            ),
            *_installed(),
        ]


def _shortest_s(measure: Callable[[], float]) -> float:
    return min([measure() for _ in range(1 + _RUNS)][1:])


def _ended_s(command: list[str]) -> float:
    started = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - started


def _answered_s(command: list[str], address: str) -> float:
    """Time until a server answers for an address, and whole; the command lacks its port."""
    port = _free_port()
    started = time.perf_counter()
    with _running([*command, str(port)]):
        while time.perf_counter() - started < _LONGEST_S:
            try:
                connection = HTTPConnection("127.0.0.1", port, timeout=_LONGEST_S)
                connection.request("GET", address)
                status = connection.getresponse().status
            except OSError:
                time.sleep(0.005)
                continue
            if status == 200:
                return time.perf_counter() - started
            if status != _SO_FAR:
                raise SystemExit(f"{address} answered {status}; expected 200")
            time.sleep(0.05)
    raise SystemExit(f"no answer within {_LONGEST_S:.0f} s")


@contextmanager
def _running(command: list[str]) -> Iterator[None]:
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        yield
    finally:
        server.terminate()
        server.wait(timeout=20)


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port: int = one.getsockname()[1]
        return port


def base_packages() -> set[str]:
    """Name what the package requires, and what that requires, without extras."""
    found: set[str] = set()
    waiting = [_PACKAGE]
    while waiting:
        name = waiting.pop().lower().replace("_", "-")
        if name in found:
            continue
        found.add(name)
        for line in metadata.requires(name) or ():
            wanted = Requirement(line)
            if wanted.marker is None or wanted.marker.evaluate({"extra": ""}):
                waiting.append(wanted.name)
    return found


def _installed() -> list[Figure]:
    sizes = {name: _size_mb(name) for name in base_packages()}
    numbers_mb = sizes.get("numpy", 0.0) + sizes.get("scipy", 0.0)
    return [
        Figure(
            what="base install, all files",
            measured=sum(sizes.values()),
            unit="MB",
            baseline=numbers_mb,
            baseline_words=f"NumPy and SciPy alone; {len(sizes)} packages in all",
        ),
        Figure(
            what="base install, packages that were compiled here",
            measured=float(sum(_was_compiled_here(name) for name in sizes)),
            unit="packages",
        ),
    ]


def _size_mb(name: str) -> float:
    if name == _PACKAGE:  # installed in place while it is worked on
        import graftwright  # noqa: PLC0415

        places = list(Path(graftwright.__file__).parent.rglob("*"))
    else:
        places = [Path(str(file.locate())) for file in metadata.files(name) or ()]
    return sum(place.stat().st_size for place in places if place.is_file()) / 1e6


def _was_compiled_here(name: str) -> bool:
    """A wheel made on the spot bears the plain tag of the system, a fetched one a wider one."""
    words = metadata.distribution(name).read_text("WHEEL") or ""
    tags = [line.split(":")[1].strip() for line in words.splitlines() if line.startswith("Tag:")]
    return any(tag.split("-")[2].startswith("linux_") for tag in tags)


def main(arguments: list[str]) -> int:
    """Measure and print."""
    return print_figures(figures, arguments, prog="benchmarks.starting", words=__doc__ or "")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
