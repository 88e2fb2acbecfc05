"""The first day: no notebook yet, and the way to begin one."""

from collections.abc import Callable

from django.conf import settings
from django.core.management import call_command
from django.db import DatabaseError, OperationalError, connection
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_POST

from graftwright.errors import NotebookBusy
from graftwright.tongue import marked, told

_DAMAGED = marked(
    "The notebook’s database cannot be read ({wrong}). Leave it as it is and "
    "restore the last good backup into a new folder: graftwright restore"
)


class NoNotebookMiddleware:
    """Answers with the way to begin when there is no notebook, and calmly when it is busy."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the page's own answer."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, wrong: Exception) -> HttpResponse | None:
        """Return a page instead of a fault where the notebook is missing or busy."""
        if isinstance(wrong, NotebookBusy):
            return render(request, "busy.html", {"words": str(wrong)}, status=503)
        if type(wrong) is DatabaseError:  # the file itself: no fault of what was asked
            return render(request, "busy.html", {"words": told(_DAMAGED, wrong=wrong)}, status=503)
        if not isinstance(wrong, OperationalError):
            return None
        if connection.vendor == "postgresql" or _is_there():
            return render(request, "busy.html", {"words": str(wrong)}, status=503)
        return render(request, "no_notebook.html", {"folder": settings.NOTEBOOK_FOLDER})


def _is_there() -> bool:
    try:
        with connection.cursor() as cursor:
            names = connection.introspection.table_names(cursor)
    except OperationalError:
        return False
    return "store_writtenentry" in names


@require_POST
def begin(_request: HttpRequest) -> HttpResponse:
    """Make the notebook's folder and its empty tables, then show the first page."""
    settings.NOTEBOOK_FOLDER.mkdir(parents=True, exist_ok=True)
    call_command("migrate", verbosity=0, interactive=False)
    return HttpResponseRedirect("/")
