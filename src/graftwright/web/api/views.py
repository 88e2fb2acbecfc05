"""What programs read and write."""

from collections.abc import Mapping
from functools import cache
from uuid import UUID

from django.http import HttpRequest, HttpResponse

from graftwright.errors import CannotFollow, NotUnderstood, OutOfRange, UnknownCode
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.written import KINDS, Plain, plain, written_to_plain
from graftwright.store.append import add_written
from graftwright.store.codes import hand_out_block
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.pages import thing_from_row, written_from_row
from graftwright.store.read import read_notebook
from graftwright.store.tokens import KnownToken
from graftwright.tongue import english
from graftwright.web.api.answers import json_answer, problem
from graftwright.web.api.document import api_document
from graftwright.web.api.reading import plain_of, read_entries
from graftwright.web.api.things import THING_KINDS
from graftwright.web.standing_on import today
from graftwright.web.today.jobs import days_jobs
from graftwright.web.winter import this_winter
from graftwright.web.working.asking import StillWorking

MOST_ROWS, USUAL_ROWS = 500, 100
MOST_CODES = 200
_LAST_SEQUENCE = 10**15


def index(_request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Say whose notebook this is, what day it stands on, and where the rest is."""
    return json_answer(
        {
            "nursery": read_notebook().nursery.name,
            "today": today().isoformat(),
            "document": "/api/openapi.json",
            "kinds_of_things": [*THING_KINDS],
            "kinds_of_entries": [*sorted(KINDS)],
        }
    )


def document(_request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Return the description of this address in OpenAPI 3.1."""
    return json_answer(_document())


def entries(request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Return entries in the order in which they were written here, from a place on."""
    after = _number(request, "after", usual=0, most=_LAST_SEQUENCE, least=0)
    limit = _number(request, "limit", usual=USUAL_ROWS, most=MOST_ROWS)
    rows = WrittenEntry.objects.filter(sequence__gt=after).order_by("sequence")
    if kind := request.GET.get("kind"):
        rows = rows.filter(kind=_text(kind))
    if about := request.GET.get("about"):
        named = EntryAbout.objects.filter(key=_text(about)).values("entry_id")
        rows = rows.filter(pk__in=named)
    found = list(rows[: limit + 1])
    shown: list[Plain] = [
        {"sequence": row.sequence, **written_to_plain(written_from_row(row))}
        for row in found[:limit]
    ]
    following = found[limit - 1].sequence if len(found) > limit else None
    return json_answer({"entries": shown, "after": following})


def one_entry(_request: HttpRequest, _token: KnownToken, entry_id: UUID) -> HttpResponse:
    """Return one entry as it was written."""
    row = WrittenEntry.objects.filter(entry_id=entry_id).first()
    if row is None:
        raise UnknownCode(f"no entry {entry_id} is written here")
    return json_answer({"sequence": row.sequence, **written_to_plain(written_from_row(row))})


def write_entries(request: HttpRequest, token: KnownToken) -> HttpResponse:
    """Write entries down, all or none; one that is here already is given back as it was written."""
    sent = read_entries(request.body, written_by=token.name[:40])
    ids = [one.entry_id for one in sent]
    known = set(WrittenEntry.objects.filter(entry_id__in=ids).values_list("entry_id", flat=True))
    try:
        kept = add_written(sent, check=True)
    except CannotFollow as wrong:
        return problem(409, str(wrong))
    status = 201 if set(ids) - known else 200
    return json_answer({"entries": [written_to_plain(one) for one in kept]}, status=status)


def things(request: HttpRequest, _token: KnownToken, kind: str) -> HttpResponse:
    """Return things of a kind as they stand, by their keys, from a key on."""
    after = _text(request.GET.get("after", ""))
    limit = _number(request, "limit", usual=USUAL_ROWS, most=MOST_ROWS)
    rows = Standing.objects.filter(kind=_stored_kind(kind), key__gt=after).order_by("key")
    found = list(rows[: limit + 1])
    notebook = read_notebook()
    shown: list[Plain] = [_thing(row, kind, notebook) for row in found[:limit]]
    following = found[limit - 1].key if len(found) > limit else None
    return json_answer({"things": shown, "after": following})


def one_thing(_request: HttpRequest, _token: KnownToken, kind: str, key: str) -> HttpResponse:
    """Return one thing as it stands."""
    row = Standing.objects.filter(kind=_stored_kind(kind), key=_text(key)).first()
    if row is None:
        raise UnknownCode(f"nothing of the kind {kind} has the key {key[:80]!r}")
    return json_answer(_thing(row, kind, read_notebook()))


def jobs(_request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Return the day's jobs in walking order."""
    found = days_jobs(so_far=True)
    if found.task is not None:
        raise StillWorking(found.task)
    return json_answer({"today": found.day.isoformat(), "jobs": [plain(one) for one in found.jobs]})


def plan(_request: HttpRequest, _token: KnownToken) -> HttpResponse:
    """Return the winter's plan as it stands now."""
    winter = this_winter(may_wait=True)
    if winter.plan is None:
        return problem(409, winter.why_none or "there is nothing to plan yet")
    return json_answer(plain(winter.plan))


def codes(request: HttpRequest, token: KnownToken) -> HttpResponse:
    """Hand out codes that name nothing yet; nobody else is ever given the same ones."""
    sent = plain_of(request.body)
    count = sent.get("count") if isinstance(sent, dict) else None
    if not isinstance(count, int) or isinstance(count, bool) or not 1 <= count <= MOST_CODES:
        raise OutOfRange(f"'count' is a whole number from 1 to {MOST_CODES}")
    given = hand_out_block(count, to_device=f"program {token.name}"[:60], today=today())
    return json_answer({"codes": list(given)}, status=201)


@cache
def _document() -> Plain:
    return api_document()


def _stored_kind(kind: str) -> str:
    if kind not in THING_KINDS:
        raise UnknownCode(
            f"no kind of thing {kind[:60]!r}; expected one of {', '.join(THING_KINDS)}"
        )
    return THING_KINDS[kind]


def _thing(row: Standing, kind: str, notebook: Notebook) -> Plain:
    names: Mapping[str, Plain] = {}
    if kind == "trees" and (tree := notebook.trees.get(row.key)):
        names = {
            "variety": notebook.variety_of(tree),
            "stock": notebook.stock_of(tree),
            "certainty": english(notebook.certainty_of(tree)),
        }
    return {"key": row.key, "names": dict(names), "state": plain(thing_from_row(row))}


def _number(request: HttpRequest, name: str, *, usual: int, most: int, least: int = 1) -> int:
    text = request.GET.get(name)
    if text is None:
        return usual
    if not text.isascii() or not text.isdecimal() or not least <= int(text[:20]) <= most:
        raise OutOfRange(f"{name}={text[:20]!r}; expected a whole number from {least} to {most}")
    return int(text)


def _text(text: str) -> str:
    if "\x00" in text:
        raise NotUnderstood("a sign in the address is no letter of any script")
    return text.encode("utf-8", errors="replace").decode()
