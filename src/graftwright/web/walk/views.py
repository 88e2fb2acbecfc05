"""A walk through a place: read the codes one after the other, then say what follows from them."""

from dataclasses import dataclass
from datetime import timedelta

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries import NoteWritten, TreeMoved, TreeSeen
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Place, Tree
from graftwright.season.roll_call import RollCall, expected_at, roll_call, verdict
from graftwright.store.append import write_many
from graftwright.store.read import read_notebook
from graftwright.tongue import marked, say, told
from graftwright.web.standing_on import today
from graftwright.web.trees.fields import codes_in
from graftwright.web.trees.naming import name_of_thing, place_name


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceToWalk:
    """A place, how much stands there, and how much of it was not seen this month."""

    place: Place
    tree_count: int
    unseen_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """A code as it was read: what it names, and what that means here."""

    code: str
    name: str
    means: str
    words: str


_MEANS = {
    "seen": marked("stands where it should"),
    "moved": marked("stands elsewhere by the notebook: {where}"),
    "extra": marked("does not belong here: {why}"),
}
_SEEN_DAYS = 30


@require_safe
def walk_page(request: HttpRequest) -> HttpResponse:
    """Let a place be chosen, in walking order."""
    notebook = read_notebook()
    places = sorted(notebook.places.values(), key=lambda place: (place.walking_order, place.name))
    return render(request, "walk/page.html", {"places": [_to_walk(p, notebook) for p in places]})


def _to_walk(place: Place, notebook: Notebook) -> PlaceToWalk:
    trees = expected_at(notebook, place_code=place.code)
    seen_since = today() - timedelta(days=_SEEN_DAYS)
    unseen_count = sum(t.seen_on is None or t.seen_on < seen_since for t in trees)
    return PlaceToWalk(place=place, tree_count=len(trees), unseen_count=unseen_count)


@require_safe
def walk_place_page(request: HttpRequest, code: str) -> HttpResponse:
    """Take one code after the other; those read so far are part of the address."""
    notebook = read_notebook()
    place = _place(code, notebook)
    typed, wrong = codes_in(request.GET.get("code", ""))
    read = _read_so_far(request.GET)
    left_out = set(codes_in(request.GET.get("drop", ""))[0])
    codes = tuple(one for one in dict.fromkeys((*read, *typed)) if one not in left_out)
    call = roll_call(notebook, place_code=code, read=codes)
    context = {
        "place": place,
        "call": call,
        "codes": " ".join(codes),
        "last": [_read(one, call, notebook) for one in reversed(codes[-5:])],
        "again": [one for one in typed if one in read],
        "wrong": wrong,
        "to_find": call.missing[:60],
    }
    return render(request, "walk/place.html", context, status=422 if wrong else 200)


@require_safe
def walk_end_page(request: HttpRequest, code: str) -> HttpResponse:
    """Show what the walk found and what it would write; nothing is written yet."""
    notebook = read_notebook()
    place = _place(code, notebook)
    call = roll_call(notebook, place_code=code, read=_read_so_far(request.GET))
    context = {
        "place": place,
        "call": call,
        "codes": " ".join(call.read),
        "moved": [
            (tree, place_name(tree.place_code, notebook), _name(tree, notebook))
            for tree in call.moved
        ],
        "missing": [(tree, _name(tree, notebook)) for tree in call.missing],
    }
    return render(request, "walk/end.html", context)


@require_POST
def apply_walk(request: HttpRequest, code: str) -> HttpResponse:
    """Write down what was agreed to, and nothing else."""
    notebook = read_notebook()
    place = _place(code, notebook)
    call = roll_call(notebook, place_code=code, read=_read_so_far(request.POST))
    entries = _agreed(request.POST, call, place)
    if not entries:
        messages.error(request, say("Nothing was agreed to, so nothing is written."))
        return redirect(f"{reverse('walk-end', args=[code])}?codes={'+'.join(call.read)}")
    who = "".join(request.POST.get("who", "").split()).upper()[:8]
    try:
        write_many(entries, device="desk", written_by=who)
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        messages.error(request, str(refused))
        return redirect(f"{reverse('walk-end', args=[code])}?codes={'+'.join(call.read)}")
    count = len({one for entry in entries for one in entry.concerns()} - {place.code})
    messages.success(
        request,
        told(
            "Written down about {count} trees at {place_name}.", count=count, place_name=place.name
        ),
    )
    return redirect("walk")


def _agreed(data: QueryDict, call: RollCall, place: Place) -> list[Entry]:
    entries: list[Entry] = []
    if "seen" in data and call.seen:
        codes = tuple(tree.code for tree in call.seen)
        entries.append(TreeSeen(happened_on=today(), tree_codes=codes, place_code=place.code))
    moved = tuple(t.code for t in call.moved if t.code in data.getlist("moved"))
    if moved:
        entries.append(TreeMoved(happened_on=today(), tree_codes=moved, place_code=place.code))
    missing = tuple(t.code for t in call.missing if t.code in data.getlist("missing"))
    if missing:
        words = f"not found on the walk through {place.name}"  # not said: it is stored
        entries.append(NoteWritten(happened_on=today(), about_codes=missing, words=words))
    return entries


def _read_so_far(data: QueryDict) -> tuple[str, ...]:
    return codes_in(data.get("codes", ""))[0]


def _read(code: str, call: RollCall, notebook: Notebook) -> Read:
    means = verdict(code, call)
    tree = notebook.trees.get(code)
    why = next((one.why for one in call.extra if one.code == code), "")
    where = place_name(tree.place_code, notebook) if tree else ""
    words = told(_MEANS[means], where=where, why=why)
    return Read(code=code, name=name_of_thing(code, notebook), means=means, words=words)


def _name(tree: Tree, notebook: Notebook) -> str:
    return name_of_thing(tree.code, notebook)


def _place(code: str, notebook: Notebook) -> Place:
    place = notebook.places.get(code)
    if place is None:
        raise Http404(told("no place has the code {code}", code=code))
    return place
