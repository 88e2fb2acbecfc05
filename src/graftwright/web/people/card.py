"""The receiver's card as a page: the one thing that is shown to everybody, and nothing beyond it.

Only a tree that was handed over has one. Whatever else a code may name, the answer is the same.
"""

from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from graftwright.errors import UnknownCode
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.paper.card import card_text
from graftwright.season.receiver_card import ReceiverCard, receiver_card
from graftwright.store.read import read_notebook
from graftwright.tagcode import read_code
from graftwright.tongue import told
from graftwright.web.people.limits import Tries, network_of
from graftwright.web.standing_on import today

WRONG_CODES = Tries(most_count=20, within_s=3600.0)


@require_safe
def receiver_card_page(request: HttpRequest, code: str) -> HttpResponse:
    """Show the card of a tree that was handed over; whoever guesses at codes is held up."""
    network = network_of(request)
    if WRONG_CODES.is_spent(network):
        return _answer(request, {"is_too_often": True}, status=429)
    card = _card(code)
    if card is None:
        WRONG_CODES.is_one_more_allowed(network)
        return _answer(request, {}, status=404)
    parts = [(head, text.split("\n")) for head, text in card_text(card)]
    return _answer(request, {"card": card, "parts": parts}, status=200)


def _card(code: str) -> ReceiverCard | None:
    """Return the card without anybody's name; None unless its tree was handed over."""
    notebook = read_notebook()
    try:
        found = read_code(code)
    except UnknownCode:
        return None
    tree = notebook.trees.get(found)
    if tree is None or tree.handed_over_on is None:
        return None
    card = receiver_card(found, notebook=notebook, catalogue=shipped_catalogue(), today=today())
    # under what name the wood came is often the name of whoever gave it
    return replace(
        card,
        name_words=told("Name of the variety: {certainty}.", certainty=notebook.certainty_of(tree)),
    )


def _answer(request: HttpRequest, context: dict[str, object], *, status: int) -> HttpResponse:
    answer = render(request, "people/card.html", context, status=status)
    answer["X-Robots-Tag"] = "noindex"
    answer["Cache-Control"] = "no-store"
    return answer
