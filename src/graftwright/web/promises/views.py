"""The promises page, and the page of one promise."""

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from graftwright.notebook.entries import ClashSettled, PromiseWithdrawn
from graftwright.notebook.replay import clashes_in
from graftwright.notebook.standing import Promise
from graftwright.store.append import write, write_many
from graftwright.store.codes import next_codes
from graftwright.store.read import counted_story_of, read_notebook
from graftwright.tongue import say, told
from graftwright.web.promises.forms import PromiseForm, WithdrawForm, as_written
from graftwright.web.promises.standing import PromiseLine, promise_list
from graftwright.web.shown_first import shown_first
from graftwright.web.standing_on import today
from graftwright.web.winter import winter_so_far
from graftwright.web.working.shown import so_far
from graftwright.web.writing import refusal_on


@require_safe
def promises_page(request: HttpRequest) -> HttpResponse:
    """List the promises, each with its chance, and offer a form for one more."""
    return _list_page(request, PromiseForm(), status=200)


@require_POST
def make_promise(request: HttpRequest) -> HttpResponse:
    """Write a promise down; what is wrong is shown beside its field, with nothing lost."""
    form = PromiseForm(request.POST)
    if form.is_valid():
        with refusal_on(form):
            code = next_codes(1, today=today())[0]
            promise = form.made(code=code, happened_on=today())
            write(promise, device="desk")
            messages.success(
                request,
                told("The promise to {who} is written down as {code}.", who=promise.who, code=code),
            )
            return redirect("promises")
    return _list_page(request, form, status=422)


@require_http_methods(["GET", "HEAD", "POST"])
def promise_page(request: HttpRequest, code: str) -> HttpResponse:
    """Show one promise with a form to change it; write down what was changed."""
    promise = _promise(code)
    if request.method != "POST":
        form = PromiseForm(initial=as_written(promise))
        return _one_page(request, promise, form, status=200)
    form = PromiseForm(request.POST)
    if form.is_valid() and _changed(request, promise, form):
        return redirect("promises")
    return _one_page(request, promise, form, status=422)


@require_POST
def withdraw_promise(request: HttpRequest, code: str) -> HttpResponse:
    """Write down that a promise was given up."""
    promise = _promise(code)
    form = WithdrawForm(request.POST)
    if not form.is_valid():
        shown = PromiseForm(initial=as_written(promise))
        return _one_page(request, promise, shown, withdraw_form=form, status=422)
    write(
        PromiseWithdrawn(
            happened_on=today(), code=promise.code, reason=form.cleaned_data["reason"]
        ),
        device="desk",
    )
    messages.success(
        request, told("The promise to {who} is withdrawn. It stays readable.", who=promise.who)
    )
    return redirect("promises")


@require_POST
def settle_promise(request: HttpRequest, code: str) -> HttpResponse:
    """Write down that what contradicts itself was looked at, and the promise stands as it is."""
    promise = _promise(code)
    found = clashes_in(promise.code, counted_story_of(promise.code))
    write_many(
        [
            ClashSettled(
                happened_on=today(),
                about_codes=(promise.code,),
                sides=tuple(side.entry_id for side in clash.sides),
            )
            for clash in found
        ],
        device="desk",
    )
    messages.success(
        request, told("The promise to {who} stands as it is shown here.", who=promise.who)
    )
    return redirect("promise", promise.code)


def _promise(code: str) -> Promise:
    promise = read_notebook().promises.get(code)
    if promise is None:
        raise Http404(told("no promise has the code {code}", code=code))
    return promise


def _changed(request: HttpRequest, promise: Promise, form: PromiseForm) -> bool:
    with refusal_on(form):
        entry = form.changed(promise, happened_on=today())
        if entry is not None:
            write(entry, device="desk")
        words = say("is changed") if entry else say("stays as it was: nothing was different")
        messages.success(
            request, told("The promise to {who} {words}.", who=promise.who, words=words)
        )
    return form.is_valid()


def _list_page(request: HttpRequest, form: PromiseForm, *, status: int) -> HttpResponse:
    winter, whole = winter_so_far(), request.GET.get("whole", "")
    listed = promise_list(winter)
    context: dict[str, object] = {
        "listed": listed,
        "open_lines": shown_first(listed.open_lines, key="open", whole=whole),
        "settled": shown_first(listed.settled, key="settled", whole=whole),
        "form": form,
        "why_none": winter.why_none,
    }
    return so_far(request, listed.task, "promises/page.html", context, status=status)


def _one_page(
    request: HttpRequest,
    promise: Promise,
    form: PromiseForm,
    *,
    status: int,
    withdraw_form: forms.Form | None = None,
) -> HttpResponse:
    winter = winter_so_far()
    listed = promise_list(winter)
    mine = [line for line in listed.open_lines if line.promise.code == promise.code]
    context: dict[str, object] = {
        "promise": promise,
        "one": mine[0] if mine else PromiseLine(promise=promise, line=None),
        "listed": listed,
        "form": form,
        "withdraw_form": withdraw_form or WithdrawForm(),
    }
    return so_far(request, listed.task, "promises/one.html", context, status=status)
