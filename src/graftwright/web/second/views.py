"""Stocks whose graft failed: matched to promises, budded in summer, or carried over."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    Binding,
    Method,
    Reworked,
    StockCarriedOver,
    StockGrade,
    StocksArrived,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, Tree
from graftwright.season.naming import Names
from graftwright.season.second_chance import (
    Chance,
    SecondChance,
    second_chance,
    spring_of_bud,
    working_counts,
)
from graftwright.store.codes import next_codes
from graftwright.store.read import read_notebook
from graftwright.tongue import say, told
from graftwright.web.second.forms import BudForm, CarryOverForm
from graftwright.web.shown_first import ShownFirst, shown_first
from graftwright.web.standing_on import today
from graftwright.web.writing import is_written

_LATELY_DAYS = 60
_PROMISES_ON_A_PAGE = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceShown:
    """A promise that is short, its stocks, and the form that writes the budding down."""

    chance: Chance
    stocks: ShownFirst[Tree]
    form: BudForm | None
    codes: str
    is_open: bool


@require_safe
def second_chance_page(request: HttpRequest) -> HttpResponse:
    """Show every free stock: matched to promises, and the rest."""
    return _show(request, status=200)


@require_POST
def bud_stocks(request: HttpRequest) -> HttpResponse:
    """Write down that stocks were budded; each keeps its code and begins a new working."""
    notebook = read_notebook()
    promise_code = request.POST.get("promise", "")
    form = BudForm(
        request.POST, bundles=_lately(notebook), notebook=notebook, prefix=f"bud-{promise_code}"
    )
    if form.is_valid() and is_written(lambda: [_budded(form, promise_code, notebook)], form=form):
        count = len(form.cleaned_data["codes"])
        messages.success(
            request, told("Written down: {count} budded. Look at them in a fortnight.", count=count)
        )
        return redirect("second-chance")
    return _show(request, status=422, refused=(promise_code, form))


def _budded(form: BudForm, promise_code: str, notebook: Notebook) -> Entry:
    data = form.cleaned_data
    on = data["happened_on"]
    return Reworked(
        happened_on=on,
        tree_codes=data["codes"],
        bundle_code=data["bundle"],
        method=Method(data["method"]),
        binding=Binding(data["binding"]),
        grafter="".join(data["grafter"].split()).upper(),
        promise_code=promise_code if promise_code in notebook.promises else "",
        breaks_in=spring_of_bud(on, is_south=_is_south(notebook)),
        spoilt_count=data["spoilt_count"] or 0,
    )


@require_POST
def carry_over(request: HttpRequest) -> HttpResponse:
    """Keep free stocks of one kind for the next winter, as a lot of their own."""
    notebook = read_notebook()
    form = CarryOverForm(request.POST, notebook=notebook)
    if form.is_valid():
        kinds = {_kind(code, notebook) for code in form.cleaned_data["codes"]}
        if len(kinds) != 1 or "" in kinds:
            form.add_error(
                "codes", say("Name stocks of one kind only; each kind becomes its own lot.")
            )
        elif is_written(lambda: _kept(form, kinds.pop()), form=form):
            count = len(form.cleaned_data["codes"])
            messages.success(
                request, told("Written down: {count} stocks carried over as a lot.", count=count)
            )
            return redirect("second-chance")
    return _show(request, status=422, refused_keep=form)


def _kind(code: str, notebook: Notebook) -> str:
    tree = notebook.trees.get(code)
    return notebook.stock_of(tree) if tree else ""


def _kept(form: CarryOverForm, kind: str) -> list[Entry]:
    data = form.cleaned_data
    on, low_mm, high_mm = data["happened_on"], data["low_mm"], data["high_mm"]
    lot_code = next_codes(1, today=on)[0]
    arrived = StocksArrived(
        happened_on=on,
        code=lot_code,
        arrived_count=len(data["codes"]),
        grade=StockGrade(stock=kind, low_mm=low_mm, high_mm=high_mm),
        carried_over=True,
        place_code=data["place"],
        price_each=0.0,
    )
    return [
        arrived,
        StockCarriedOver(happened_on=on, tree_codes=data["codes"], lot_code=lot_code),
    ]


def _show(
    request: HttpRequest,
    *,
    status: int,
    refused: tuple[str, BudForm] | None = None,
    refused_keep: CarryOverForm | None = None,
) -> HttpResponse:
    notebook, whole = read_notebook(), request.GET.get("whole", "")
    found = second_chance(notebook, names=Names(shipped_catalogue()), today=today())
    bundles = _lately(notebook)
    page = _page(found.chances, request.GET.get("page"), refused[0] if refused else "")
    left_over = [
        (kind, shown_first(trees, key=kind, whole=whole)) for kind, trees in found.left_over
    ]
    left = [tree.code for _, trees in left_over for tree in trees.shown]
    context = {
        "found": found,
        "page": page,
        "chances": [_shown(one, bundles, notebook, refused, whole) for one in page],
        "left_over": left_over,
        "rest_form": refused[1]
        if refused and not refused[0]
        else _form("", tuple(left), bundles, notebook),
        "keep_form": refused_keep or CarryOverForm(notebook=notebook),
        "is_keep_open": refused_keep is not None,
        "bundles": bundles,
        "counts": working_counts(notebook, year=today().year),
        "matched_count": _matched_count(found),
    }
    return render(request, "second/page.html", context, status=status)


def _page(chances: Sequence[Chance], asked: str | None, promise_code: str) -> Page[Chance]:
    """Return the page of chances asked for, or the one that holds a promise."""
    paginator = Paginator(chances, _PROMISES_ON_A_PAGE)
    codes = [one.promise.code for one in chances]
    if promise_code in codes:
        return paginator.page(codes.index(promise_code) // _PROMISES_ON_A_PAGE + 1)
    return paginator.get_page(asked)


def _matched_count(found: SecondChance) -> int:
    return sum(len(one.stocks) for one in found.chances)


def _shown(
    chance: Chance,
    bundles: tuple[Bundle, ...],
    notebook: Notebook,
    refused: tuple[str, BudForm] | None,
    whole: str,
) -> ChanceShown:
    code = chance.promise.code
    codes = tuple(tree.code for tree in chance.stocks)
    is_open = refused is not None and refused[0] == code
    # the promise's own variety first, yet a bundle that answers its second choice may serve
    ordered = (*chance.bundles, *(b for b in bundles if b not in chance.bundles))
    form = refused[1] if refused and is_open else _form(code, codes, ordered, notebook)
    stocks = shown_first(chance.stocks, key=code, whole=whole)
    return ChanceShown(
        chance=chance, stocks=stocks, form=form, codes=" ".join(codes), is_open=is_open
    )


def _form(
    promise_code: str, codes: tuple[str, ...], bundles: tuple[Bundle, ...], notebook: Notebook
) -> BudForm | None:
    if not codes or not bundles:
        return None
    return BudForm(bundles=bundles, notebook=notebook, codes=codes, prefix=f"bud-{promise_code}")


def _lately(notebook: Notebook) -> tuple[Bundle, ...]:
    """Return the bundles cut within two months that still hold buds, the latest first."""
    day = today()
    found = [
        bundle
        for bundle in notebook.bundles.values()
        if bundle.discarded_on is None
        and 0 <= (day - bundle.cut_on).days <= _LATELY_DAYS
        and (bundle.pieces_at_most > 0 or not bundle.sticks)
    ]
    return tuple(sorted(found, key=lambda one: (one.cut_on, one.code), reverse=True))


def _is_south(notebook: Notebook) -> bool:
    latitude_deg = notebook.nursery.latitude_deg
    return latitude_deg is not None and latitude_deg < 0.0
