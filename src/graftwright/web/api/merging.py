"""What another copy of the notebook asks for and brings when the two are merged."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import URLPattern, path

from graftwright.errors import NotUnderstood
from graftwright.notebook.written import Plain
from graftwright.store.merging import (
    HEAP_COUNT,
    MOST_ENTRIES,
    entries_asked,
    heap_sums,
    heaps_with_ids,
    photos_wanted,
    take_in,
    take_photo,
)
from graftwright.store.photo_bytes import MOST_BYTES as MOST_PHOTO_BYTES
from graftwright.store.photos import read_photo
from graftwright.store.tokens import KnownToken
from graftwright.web.api.answers import json_answer
from graftwright.web.api.gate import for_copies
from graftwright.web.api.reading import json_of

_MOST_PIECE_BYTES = 8_000_000


def sums(_request: HttpRequest, token: KnownToken) -> HttpResponse:
    """Return the sums of the heaps of ids, and whether the token may give as well."""
    return json_answer({"sums": [*heap_sums()], "may_give": token.may_write})


def ids(request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Return the ids of some of the heaps asked for."""
    heaps = [_number(text) for text in request.GET.getlist("heap")[:HEAP_COUNT]]
    found = heaps_with_ids(heaps)
    told: dict[str, Plain] = {str(heap): [one.hex for one in some] for heap, some in found.items()}
    return json_answer({"heaps": told})


def entries(request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Return some of the entries asked for, as they were written."""
    asked = [_uuid(text) for text in request.GET.getlist("id")[:MOST_ENTRIES]]
    return json_answer({"entries": entries_asked(asked)})


def bring_entries(request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Take a piece of the other copy's entries in, all or none."""
    sent = json_of(request.body)
    if not isinstance(sent, dict):
        raise NotUnderstood("expected an object with 'entries'")
    return json_answer({"new": take_in(sent.get("entries"))})


def photos(_request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Return the names of photos that are missing here."""
    return json_answer({"wanted": [*photos_wanted()]})


def photo(_request: HttpRequest, _token: KnownToken, name: str) -> HttpResponse:
    """Return a photo that is kept here."""
    media_type, content = read_photo(name)
    answer = HttpResponse(content, content_type=media_type)
    answer["Cache-Control"] = "no-store"
    return answer


def bring_photo(request: HttpRequest, _token: KnownToken, name: str) -> HttpResponse:
    """Keep a photo that is missing here."""
    return json_answer({"kept": take_photo(name, request.body)})


def _number(text: str) -> int:
    if not text.isascii() or not text.isdecimal():
        raise NotUnderstood(f"heap {text[:20]!r}; expected a whole number")
    return int(text[:6])


def _uuid(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError as wrong:
        raise NotUnderstood(f"{text[:40]!r} is no id of an entry") from wrong


ADDRESSES: list[URLPattern] = [
    path("merge/sums", for_copies(GET=sums), name="merge-sums"),
    path("merge/ids", for_copies(GET=ids), name="merge-ids"),
    path(
        "merge/entries",
        for_copies(most_bytes=_MOST_PIECE_BYTES, GET=entries, POST=bring_entries),
        name="merge-entries",
    ),
    path("merge/photos", for_copies(GET=photos), name="merge-photos"),
    path(
        "merge/photos/<str:name>",
        for_copies(most_bytes=MOST_PHOTO_BYTES, GET=photo, POST=bring_photo),
        name="merge-photo",
    ),
]
