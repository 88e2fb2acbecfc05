"""What contradicts itself in the notebook: both sides shown, and settled by an entry."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.store.clash_list import clash_list
from graftwright.store.read import read_notebook
from graftwright.store.settling import Settled, settle
from graftwright.tongue import say
from graftwright.web.clashes.shown import clashes_shown
from graftwright.web.standing_on import today

_MOST_SHOWN = 50
_LONGEST_WORDS = 200


@require_safe
def clashes_page(request: HttpRequest) -> HttpResponse:
    """Show every clash that is open, its sides beside one another."""
    found = clash_list()
    context = {
        "clashes": clashes_shown(found[:_MOST_SHOWN], read_notebook()),
        "clash_count": len(found),
        "more_count": max(0, len(found) - _MOST_SHOWN),
    }
    return render(request, "clashes/page.html", context)


@require_POST
def settle_clash(request: HttpRequest, clash_id: str) -> HttpResponse:
    """Settle one clash as the button that was pressed says."""
    words = request.POST.get("words", "")[:_LONGEST_WORDS]
    try:
        chosen = _chosen(request.POST.get("chosen", ""))
        settled = settle(clash_id, chosen, today=today(), words=words)
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        messages.error(request, str(refused))
        return redirect("clashes")
    messages.success(request, _said(settled))
    return redirect("clashes")


def _chosen(text: str) -> UUID | None:
    try:
        return UUID(text) if text else None
    except ValueError:
        return UUID(int=0)  # no side bears it, so it is refused in words


def _said(settled: Settled) -> str:
    if settled.new_codes:
        words = say(
            "The other bears {codes} now: write a new label for it and destroy the old one."
        )
        return words.format(codes=", ".join(settled.new_codes))
    return say("Settled. Every side stays readable.")
