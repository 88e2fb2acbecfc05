"""Autumn on one page: what to grade, who gets what by the rule, what goes, how cold roots get."""

from dataclasses import dataclass

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries import TreeAllocated, TreeHandedOver
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Promise, Tree
from graftwright.season.counted_trees import here_count, taken_by_pot
from graftwright.season.first_winter import FirstWinter, first_winter, smallest_pot_litres
from graftwright.season.grouped_trees import set_aside_by_promise
from graftwright.season.practice import rule
from graftwright.season.setting_aside import Share, Sharing
from graftwright.season.tree_work import Season
from graftwright.store.append import write_many
from graftwright.store.read import read_notebook
from graftwright.tongue import say, told
from graftwright.web.autumn.kept import sharing_kept
from graftwright.web.shown_first import ShownFirst, shown_first
from graftwright.web.standing_on import today
from graftwright.web.today.kept import ground_kept


@dataclass(frozen=True, slots=True, kw_only=True)
class ToGo:
    """What stands ready for one promise, and what still hinders it."""

    promise: Promise
    trees: tuple[Tree, ...]
    bound: tuple[Tree, ...]
    unfit: tuple[Tree, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToGoShown:
    """What goes to one promise, with the first of its trees."""

    one: ToGo
    trees: ShownFirst[Tree]
    bound: ShownFirst[Tree]
    unfit: ShownFirst[Tree]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareShown:
    """What one promise would get, with the first of its trees."""

    share: Share
    trees: ShownFirst[Tree]
    second_choice: ShownFirst[Tree]


_PROMISES_ON_A_PAGE = 20


@require_safe
def autumn_page(request: HttpRequest) -> HttpResponse:
    """Show the autumn's work; nothing is set aside or handed over by looking."""
    notebook = read_notebook()
    season = Season(notebook=notebook, today=today(), ground=ground_kept(notebook, day=today()))
    sharing, whole = sharing_kept(notebook), request.GET.get("whole", "")
    page = Paginator(_to_go(notebook), _PROMISES_ON_A_PAGE).get_page(request.GET.get("page"))
    share_pages = Paginator(sharing.shares, _PROMISES_ON_A_PAGE)
    share_page = share_pages.get_page(request.GET.get("shares"))
    context = {
        "sharing": sharing,
        "order": shown_first(sharing.shares, key="order", whole=whole),
        "share_page": share_page,
        "shares": [_share_shown(share, whole) for share in share_page],
        "spare": shown_first(sharing.spare, key="spare", whole=whole),
        "proposed_count": sum(len(s.trees) + len(s.second_choice) for s in sharing.shares),
        "page": page,
        "to_go": [_to_go_shown(_going(one, notebook), whole) for one in page],
        "winter": _winter(season),
        "has_trees": here_count(notebook.trees) > 0,
    }
    return render(request, "autumn/page.html", context)


def _share_shown(share: Share, whole: str) -> ShareShown:
    key = f"share-{share.promise.code}"
    return ShareShown(
        share=share,
        trees=shown_first(share.trees, key=key, whole=whole),
        second_choice=shown_first(share.second_choice, key=key, whole=whole),
    )


def _to_go_shown(one: ToGo, whole: str) -> ToGoShown:
    key = one.promise.code
    return ToGoShown(
        one=one,
        trees=shown_first(one.trees, key=key, whole=whole),
        bound=shown_first(one.bound, key=f"bound-{key}", whole=whole),
        unfit=shown_first(one.unfit, key=f"unfit-{key}", whole=whole),
    )


@require_POST
def set_aside(request: HttpRequest) -> HttpResponse:
    """Set aside the trees that were agreed to, for the promises the rule proposed."""
    entries = _agreed(request.POST, sharing_kept(read_notebook()))
    if not entries:
        messages.error(request, say("No tree was marked, so nothing is set aside."))
        return redirect("autumn")
    return _written(request, entries, say("Set aside"))


@require_POST
def hand_over_promise(request: HttpRequest, code: str) -> HttpResponse:
    """Write down that what was set aside for a promise went to its receiver."""
    notebook = read_notebook()
    promise, marked = notebook.promises.get(code), set(request.POST.getlist("tree"))
    fit = _going(promise, notebook).trees if promise else ()
    codes = tuple(tree.code for tree in fit if tree.code in marked)
    if promise is None or not codes:
        messages.error(request, say("No tree was marked, so nothing was handed over."))
        return redirect("autumn")
    entry = TreeHandedOver(
        happened_on=today(), tree_codes=codes, promise_code=code, to_whom=promise.who
    )
    return _written(request, [entry], told("Handed over to {who}", who=promise.who))


def _written(request: HttpRequest, entries: list[Entry], words: str) -> HttpResponse:
    try:
        write_many(entries, device="desk")
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        messages.error(request, str(refused))
        return redirect("autumn")
    trees = {code for entry in entries for code in getattr(entry, "tree_codes", ())}
    count = say("1 tree") if len(trees) == 1 else told("{count} trees", count=len(trees))
    messages.success(request, f"{words}: {count}.")
    return redirect("autumn")


def _agreed(data: QueryDict, sharing: Sharing) -> list[Entry]:
    """Return one setting aside for each promise, of the proposed trees that were marked."""
    marked = set(data.getlist("tree"))
    entries: list[Entry] = []
    for share in sharing.shares:
        mine = (*share.trees, *share.second_choice)
        codes = tuple(tree.code for tree in mine if tree.code in marked)
        if codes:
            code = share.promise.code
            entries.append(TreeAllocated(happened_on=today(), tree_codes=codes, promise_code=code))
    return entries


def _to_go(notebook: Notebook) -> list[Promise]:
    """Return the promises for which trees are set aside, by the day they are due."""
    apart = set_aside_by_promise(notebook.trees)
    found = [one for one in notebook.promises.values() if one.code in apart]
    return sorted(found, key=lambda one: (str(one.due_on or ""), one.who))


def _going(promise: Promise, notebook: Notebook) -> ToGo:
    mine = set_aside_by_promise(notebook.trees).get(promise.code, ())
    fit = tuple(tree for tree in mine if tree.ready)
    return ToGo(
        promise=promise,
        trees=fit,
        bound=tuple(tree for tree in fit if tree.binding_on),
        unfit=tuple(tree for tree in mine if not tree.ready),
    )


def _winter(season: Season) -> FirstWinter | None:
    """The first winter of the trees that stay: potted, taken, promised to nobody this autumn."""
    nursery = season.notebook.nursery
    staying = taken_by_pot(season.notebook.trees)
    if not staying:
        return None
    usual = rule(nursery, "pot where none is written").value
    smallest = smallest_pot_litres(staying, usual_litres=usual)
    return first_winter(season, pot_litres=smallest, tree_count=sum(staying.values()))
