"""The time each page takes on the demo's notebook, beside a list of fifty rows of a bare table.

    python -m benchmarks.pages

Each page is asked for once cold and then nine times; the middle of the nine is given, with the
first beside it. The client calls the program in the same process: no network is in the figure.
"""

import sys
import time
from collections.abc import Callable
from statistics import median

from benchmarks.demo_notebook import demo_notebook
from benchmarks.figures import Figure, print_figures

_TIMES = 9
_BARE = "list of 50 rows of a bare table, same run"


def figures() -> list[Figure]:
    """Measure every page of a fresh demo notebook."""
    with demo_notebook():
        bare_ms = median(_times_ms(_bare_list()))
        return [figure for address in addresses() for figure in _page(address, bare_ms)]


def _page(address: str, bare_ms: float) -> list[Figure]:
    from django.test import Client  # noqa: PLC0415 (after Django is set up)

    client = Client()

    def ask() -> None:
        answer = client.get(address)
        if answer.status_code not in (200, 302):
            raise SystemExit(f"{address} answered {answer.status_code}; expected 200 or 302")

    first_ms, *others_ms = _times_ms(ask)
    return [
        Figure(
            what=f"page {address}",
            measured=median(others_ms),
            unit="ms",
            baseline=bare_ms,
            baseline_words=f"{_BARE}; asked for the first time {first_ms:.0f} ms",
        )
    ]


def _times_ms(call: Callable[[], None]) -> list[float]:
    taken = []
    for _ in range(_TIMES + 1):
        started = time.perf_counter()
        call()
        taken.append(1000.0 * (time.perf_counter() - started))
    return taken


def _bare_list() -> Callable[[], None]:
    from django.template import Context, Engine  # noqa: PLC0415 (after Django is set up)

    from graftwright.store.models import WrittenEntry  # noqa: PLC0415

    page = Engine().from_string(
        "<table>{% for row in rows %}<tr>{% for cell in row %}<td>{{ cell }}</td>{% endfor %}</tr>"
        "{% endfor %}</table>"
    )

    columns = ("entry_id", "kind", "happened_on", "written_at", "written_by")

    def show() -> None:
        page.render(Context({"rows": list(WrittenEntry.objects.values_list(*columns)[:50])}))

    return show


def addresses() -> list[str]:
    """Every page of the program, with a code of the notebook where one is asked for."""
    from graftwright.store.read import read_notebook  # noqa: PLC0415 (after Django is set up)
    from graftwright.web.urls import urlpatterns  # noqa: PLC0415

    notebook = read_notebook()
    living = next(tree for tree in notebook.trees.values() if tree.is_here)
    codes = {
        "trees": living.code,
        "trace": living.bundle_code,
        "promises": next(iter(notebook.promises)),
        "mothers": next(iter(notebook.mother_trees)),
        "walk": living.place_code,
    }
    found = []
    for one in urlpatterns:
        route = str(one.pattern)
        if not getattr(getattr(one, "callback", None), "__name__", "").endswith("_page"):
            continue
        room = route.split("/")[0]
        if ("<str:code>" in route and room not in codes) or room in _NOT_HERE:
            continue
        address = "/" + route.replace("<str:code>", codes.get(room, ""))
        if "<" not in address:
            found.append(address)
    return found


# pages of signing in, which are there only where people sign in
_NOT_HERE = ("sign-in", "me", "people", "pair")


def main(arguments: list[str]) -> int:
    """Measure and print."""
    return print_figures(figures, arguments, prog="benchmarks.pages", words=__doc__ or "")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
