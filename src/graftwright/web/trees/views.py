"""The list of trees, and one page for every code."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from graftwright.errors import UnknownCode
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.amended import effective
from graftwright.notebook.entries import (
    EntryCorrected,
    EntryWithdrawn,
    Scion,
    StockState,
    TakeJudged,
    UnionBroke,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.paper.code_square import code_svg
from graftwright.season.balance import Balance, balance_of
from graftwright.season.standing_names import own_catalogue
from graftwright.store.append import write, write_many
from graftwright.store.read import counted_story_of, read_notebook, story_of
from graftwright.tagcode import read_code
from graftwright.tongue import say, told
from graftwright.web.people.access import may_write
from graftwright.web.shown_first import ShownFirst, shown_first
from graftwright.web.standing_on import today, unit_chosen
from graftwright.web.today.jobs import days_jobs
from graftwright.web.trees.amending import amend_form, correction_of
from graftwright.web.trees.deeds import TREE_DEEDS, Deed
from graftwright.web.trees.deeds_later import LATER_DEEDS
from graftwright.web.trees.deeds_material import MATERIAL_DEEDS
from graftwright.web.trees.finding import FindForm, found_trees, tree_row
from graftwright.web.trees.limbs import limbs_shown
from graftwright.web.trees.naming import name_of_thing, place_name
from graftwright.web.trees.sentences import sentence_of
from graftwright.web.trees.standing import (
    age_words,
    batch_of,
    binding_words,
    scion_words,
    stock_words,
)
from graftwright.web.trees.story import story_lines
from graftwright.web.trees.things import outcome_words, thing_of
from graftwright.web.trees.wanted import evidence_by_name, rescue_shown
from graftwright.web.writing import refusal_on

_ON_A_PAGE = 40
_SISTERS_SHOWN = 24
_TREES_SHOWN = 200
_OTHERS_SHOWN = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedShown:
    """A deed's form under its short name; open when it was just refused."""

    name: str
    form: Deed
    is_open: bool


@require_safe
def trees_page(request: HttpRequest) -> HttpResponse:
    """List the trees that fit what is asked; a whole code opens its own page."""
    notebook = read_notebook()
    asked = request.GET.get("q", "")
    if code := _whole_code(asked, notebook):
        return redirect("code", code)
    form, whole = FindForm(request.GET, notebook=notebook), request.GET.get("whole", "")
    trees = found_trees(notebook, form)
    page = Paginator(trees, _ON_A_PAGE).get_page(request.GET.get("page"))
    query = request.GET.copy()
    query.pop("page", None)
    context = {
        "form": form,
        "page": page,
        "rows": [tree_row(tree, notebook) for tree in page.object_list],
        "others": _others(notebook, whole=whole),
        "whole": whole,
        "found_count": len(trees),
        "whole_count": len(notebook.trees),
        "query": query.urlencode(),
        "unread": _unread(asked, len(trees)),
        "notebook": notebook,
    }
    is_fragment = getattr(request, "htmx", False)
    return render(request, "trees/found.html" if is_fragment else "trees/page.html", context)


def _others(notebook: Notebook, *, whole: str) -> dict[str, ShownFirst[tuple[str, Any]]]:
    """Return what trees come from and where they stand, of long lists the first."""
    kinds: dict[str, Mapping[str, Any]] = {
        "places": notebook.places,
        "mother_trees": notebook.mother_trees,
        "bundles": notebook.bundles,
        "lots": notebook.lots,
    }
    return {
        key: shown_first(list(things.items()), key=key, whole=whole, most_count=_OTHERS_SHOWN)
        for key, things in kinds.items()
    }


def _whole_code(text: str, notebook: Notebook) -> str:
    try:
        code = read_code(text)
    except UnknownCode:
        return ""
    return code if notebook.kind_of_code(code) else ""


def _unread(text: str, found_count: int) -> str:
    """Return what is wrong with a code that was typed, if it looks like one and found nothing."""
    if found_count or len(text.strip()) != 5 or text.strip().isalpha():
        return ""
    try:
        return told(
            "No thing bears the code {read_code}; look at the tag again.", read_code=read_code(text)
        )
    except UnknownCode as wrong:
        return str(wrong)


@require_safe
def go_to_code(request: HttpRequest) -> HttpResponse:
    """Open the page of a code that was typed or scanned."""
    return redirect(f"{reverse('trees')}?{request.GET.urlencode()}")


@require_safe
def code_page(request: HttpRequest, code: str) -> HttpResponse:
    """Show what a code names, whatever it is."""
    found = _known(code)
    if found != code:
        return redirect("code", found)
    if found in read_notebook().promises:
        return redirect("promise", found)
    return _show(request, found, status=200)


@require_POST
def write_deed(request: HttpRequest, code: str, deed: str) -> HttpResponse:
    """Write down one deed about what a code names."""
    code = _known(code)
    notebook = read_notebook()
    kinds = _deeds_of(code, notebook)
    if deed not in kinds:
        raise Http404(
            told("nothing called {deed} can be written about {code}", deed=deed, code=code)
        )
    form = kinds[deed](request.POST, notebook=notebook, prefix=deed, code=code)
    if form.is_valid():
        with refusal_on(form):
            written = write(form.entry((code,)), device="desk")
            messages.success(
                request,
                told(
                    "Written down: {sentence_of}",
                    sentence_of=sentence_of(written.entry, read_notebook()),
                ),
            )
            return redirect("code", code)
    return _show(request, code, refused=(deed, form), status=422)


@require_POST
def revive(request: HttpRequest, code: str) -> HttpResponse:
    """Take a death back: one entry says that the tree lives, and the story keeps both."""
    tree = read_notebook().trees.get(_known(code))
    if tree is None:
        raise Http404(told("no tree has the code {code}", code=code))
    if tree.is_alive:
        messages.success(request, told("{tree_code} is alive already.", tree_code=tree.code))
        return redirect("code", tree.code)
    write_many(_revivals(tree), device="desk")
    messages.success(
        request,
        told(
            "{tree_code} lives again. What was written before stays readable.", tree_code=tree.code
        ),
    )
    return redirect("code", tree.code)


def _revivals(tree: Tree) -> list[Entry]:
    words = "taken back: it lives after all"
    broken = [
        EntryWithdrawn(happened_on=today(), target=one.entry_id, reason=words)
        for one in counted_story_of(tree.code)
        if isinstance(one.entry, UnionBroke)
    ]
    if tree.scion is not Scion.DEAD:
        return list(broken)
    was = Scion.MOVING if tree.moved_on else Scion.WAITING
    scion = Scion.GROWING if tree.growth_mm > 0 or tree.growing_since else was
    judged = TakeJudged(
        happened_on=today(),
        tree_codes=(tree.code,),
        scion=scion,
        stock=StockState.ALIVE,
        words=words,
    )
    return [*broken, judged]


@require_http_methods(["GET", "HEAD", "POST"])
def correct_entry(request: HttpRequest, code: str, entry_id: UUID) -> HttpResponse:
    """Correct one entry of a story; as it was first written it stays readable."""
    written = _entry_of(_known(code), entry_id)
    form = amend_form(written.entry, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid() and _corrected(request, written, form):
        return redirect("code", code)
    context = {
        "code": code,
        "form": form,
        "sentence": sentence_of(written.entry, read_notebook()),
        "happened_on": written.entry.happened_on,
    }
    status = 422 if request.method == "POST" else 200
    return render(request, "trees/correct.html", context, status=status)


def _corrected(request: HttpRequest, written: Written, form: forms.Form) -> bool:
    with refusal_on(form):
        entry = correction_of(written, form.cleaned_data, happened_on=today())
        if entry is None:
            messages.success(request, say("Nothing was different, so nothing is written."))
            return True
        write(entry, device="desk")
        messages.success(
            request, say("Corrected. The entry as it was first written stays readable.")
        )
    return form.is_valid()


@require_POST
def withdraw_entry(request: HttpRequest, code: str, entry_id: UUID) -> HttpResponse:
    """Withdraw an entry, or a withdrawal; nothing is rubbed out."""
    code = _known(code)
    written = next((one for one in story_of(code) if one.entry_id == entry_id), None)
    if written is None or isinstance(written.entry, EntryCorrected):
        raise Http404(told("no such entry about {code}", code=code))
    reason = request.POST.get("reason", "")[:200]
    write(EntryWithdrawn(happened_on=today(), target=entry_id, reason=reason), device="desk")
    is_back = isinstance(written.entry, EntryWithdrawn)
    said = (
        say("The entry counts again.")
        if is_back
        else say("Withdrawn. It stays readable in the story.")
    )
    messages.success(request, said)
    return redirect("code", code) if read_notebook().kind_of_code(code) else redirect("today")


def _entry_of(code: str, entry_id: UUID) -> Written:
    """Return an entry as it counts now. Raises Http404 where it is none or is withdrawn."""
    for one in effective(story_of(code)):
        if one.entry_id == entry_id:
            return one
    raise Http404(told("no entry about {code} that could be corrected", code=code))


def _known(text: str) -> str:
    try:
        code = read_code(text)
    except UnknownCode as wrong:
        raise Http404(str(wrong)) from wrong
    if not read_notebook().kind_of_code(code) and not story_of(code):
        raise Http404(told("nothing bears the code {code}", code=code))
    return code


def _deeds_of(code: str, notebook: Notebook) -> dict[str, type[Deed]]:
    kind = notebook.kind_of_code(code)
    if kind == "tree":
        return _tree_deeds(notebook.trees[code])
    return MATERIAL_DEEDS.get(kind, {})


def _tree_deeds(tree: Tree) -> dict[str, type[Deed]]:
    """Return a tree's deeds; those that cannot be true of it as it stands are left out."""
    out = set() if tree.parts else {"judge-part", "girth", "limb"}
    if tree.is_alive and not tree.earlier:
        out.add("autopsy")
    note = {"note": TREE_DEEDS["note"]}
    whole = {**TREE_DEEDS, **LATER_DEEDS}
    return {n: kind for n, kind in whole.items() if n not in out and n != "note"} | note


def _deeds_shown(
    code: str, notebook: Notebook, refused: tuple[str, Deed] | None
) -> list[DeedShown]:
    return [
        DeedShown(name=name, form=refused[1], is_open=True)
        if refused and refused[0] == name
        else DeedShown(
            name=name, form=kind(notebook=notebook, prefix=name, code=code), is_open=False
        )
        for name, kind in _deeds_of(code, notebook).items()
        if may_write(name)
    ]


def _show(
    request: HttpRequest, code: str, *, status: int, refused: tuple[str, Deed] | None = None
) -> HttpResponse:
    notebook = read_notebook()
    context: dict[str, object] = {
        "code": code,
        "square": mark_safe(code_svg(code)),
        "deeds": _deeds_shown(code, notebook, refused),
        "story": story_lines(code, notebook),
        "jobs": days_jobs(so_far=True).jobs_on(code),
    }
    if tree := notebook.trees.get(code):
        context |= _tree_context(tree, notebook)
        return render(request, "trees/tree.html", context, status=status)
    thing = thing_of(code, notebook, unit_chosen(request))
    context["thing"] = thing
    if mother := notebook.mother_trees.get(code):
        context["evidence"] = evidence_by_name(mother)
        context["no_match"] = [one for one in mother.evidence_found if not one.speaks_for]
        context["rescue"] = rescue_shown(mother, notebook)
    if thing is not None:
        context["outcome"] = outcome_words(thing.trees)
        context["rows"] = [tree_row(tree, notebook) for tree in thing.trees[:_TREES_SHOWN]]
        context["more_count"] = max(0, len(thing.trees) - _TREES_SHOWN)
    return render(request, "trees/thing.html", context, status=status)


def _balance(tree: Tree, notebook: Notebook) -> Balance | None:
    if not tree.parts:
        return None
    catalogue = own_catalogue(notebook, catalogue=shipped_catalogue())
    return balance_of(tree, notebook, catalogue=catalogue)


def _tree_context(tree: Tree, notebook: Notebook) -> dict[str, object]:
    bundle = notebook.bundles.get(tree.bundle_code)
    sisters = notebook.sisters_of(tree)
    return {
        "tree": tree,
        "variety": notebook.variety_of(tree),
        "stock": notebook.stock_of(tree),
        "certainty": notebook.certainty_of(tree),
        "mother_code": bundle.mother_tree_code if bundle else "",
        "scion": scion_words(tree),
        "stock_state": stock_words(tree),
        "binding": binding_words(tree),
        "place": place_name(tree.place_code, notebook),
        "batch": batch_of(tree, notebook),
        "age": age_words(tree, today=today()),
        "promised": notebook.promises.get(tree.allocated_to or tree.promise_code),
        "sisters": [
            (sister.code, name_of_thing(sister.code, notebook))
            for sister in sisters[:_SISTERS_SHOWN]
        ],
        "sister_count": len(sisters),
        "chain": notebook.chain_of(tree),
        "interstem": notebook.variety_of_bundle(tree.interstem_bundle_code),
        "fruited_sure": say(tree.fruited_sure) if tree.fruited_sure else "",
        "limbs": limbs_shown(tree, notebook),
        "balance": balance_of(
            tree, notebook, catalogue=own_catalogue(notebook, catalogue=shipped_catalogue())
        ),
        "earlier": [(one, notebook.variety_of_bundle(one.bundle_code)) for one in tree.earlier],
    }
