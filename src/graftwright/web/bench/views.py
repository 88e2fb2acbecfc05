"""The bench: one run at a time."""

from datetime import date
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from graftwright.notebook.entries import (
    BenchDayClosed,
    EntryWithdrawn,
    LabelsCounted,
    Method,
    RunGrafted,
)
from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan, Run
from graftwright.season.seasons import season_of
from graftwright.store.append import write
from graftwright.store.read import counted_story_of, read_notebook
from graftwright.tongue import english, say, told
from graftwright.web.bench.day import Day, bench_day
from graftwright.web.bench.forms import MOST_GRAFTS_A_RUN, CloseForm, LabelsForm, RunForm
from graftwright.web.bench.labels import asked_run, codes_for_run, labels_ready, planned_run
from graftwright.web.standing_on import today
from graftwright.web.winter import this_winter, winter_so_far
from graftwright.web.writing import refusal_on

_STEPS = (-1, 1, 5)


@require_http_methods(["GET", "HEAD", "POST"])
def bench_page(request: HttpRequest) -> HttpResponse:
    """Show the bench, its form filled in from the run chosen; write a run down."""
    notebook = read_notebook()
    if request.method != "POST":
        plan = winter_so_far().plan
        return _page(request, _form_asked(request, notebook, plan), status=200)
    plan = this_winter().plan
    form = RunForm(request.POST, notebook=notebook)
    if form.is_valid() and _may_open(form, bench_day(today())):
        with refusal_on(form):
            run = write_run(form, plan, happened_on=today())
            codes = run.tree_codes
            said = told(
                "Written down: {count} of bundle {bundle_code}, last {codes}.",
                count=len(codes),
                bundle_code=run.bundle_code,
                codes=codes[-1],
            )
            messages.success(request, said)
            if run.interstem_bundle_code:
                messages.info(request, _chain_words(run))
            return redirect("bench")
    return _page(request, form, status=422)


def _chain_words(run: RunGrafted) -> str:
    """Say which pieces stand on one another, from the root up."""
    notebook = read_notebook()
    chain = notebook.chain_of(notebook.trees[run.tree_codes[0]])
    return say("Three parts from the root up: {chain}.").format(chain=" – ".join(chain))


def _form_asked(request: HttpRequest, notebook: Notebook, plan: Plan | None) -> RunForm:
    """Return the form as asked for: a planned run, a changed count, or the next run in order."""
    if "step" in request.GET:
        changed: dict[str, object] = {name: request.GET[name] for name in request.GET}
        changed["how_many"] = _stepped(request.GET.get("how_many", ""), request.GET["step"])
        return RunForm(None, notebook=notebook, initial=changed)
    number = request.GET.get("run", "")
    run = next((r for r in plan.runs if str(r.number) == number), None) if plan else None
    return RunForm(None, notebook=notebook, initial=_filled_in(run or _next_run(plan), notebook))


def _stepped(count: str, step: str) -> int:
    try:
        wanted = int(count or 0) + int(step)
    except ValueError:
        return 1
    return min(MOST_GRAFTS_A_RUN, max(1, wanted))


def _next_run(plan: Plan | None) -> Run | None:
    """Return the first planned run; with a bundle lying open, the plan begins with that bundle."""
    return plan.runs[0] if plan and plan.runs else None


def _filled_in(run: Run | None, notebook: Notebook) -> dict[str, object]:
    last = bench_day(today()).last
    filled: dict[str, object] = {"method": "whip and tongue", "binding": "stretch film"}
    if last is not None:
        filled |= {"binding": english(last.run.binding), "who": last.run.grafter}
        filled["place"] = last.run.place_code
    if run is not None:
        filled |= {
            "bundle": run.bundle_code,
            "lot": run.lot_code,
            "promise": run.promise_code,
            "how_many": run.graft_count,
            "method": _method(run),
        }
        filled["place"] = run.place_code if run.place_code in notebook.places else ""
    return filled


def _method(run: Run) -> str:
    """Return a planned method in the notebook's word; the commonest where it has none."""
    word = run.method.replace("-", " ")
    return word if word in set(Method) else Method.WHIP_AND_TONGUE.value


def _may_open(form: RunForm, day: Day) -> bool:
    """Hold a new bundle back until the labels of the one lying open are counted."""
    lying = day.open_count
    code = form.cleaned_data["bundle"]
    if lying is None or lying.bundle_code == code or form.cleaned_data["open_anyway"]:
        return True
    form.add_error(
        "bundle",
        told(
            "Count the labels of bundle {bundle_code} first: {graft_count} grafts "
            "are written down. Or mark below that this one is opened all the same.",
            bundle_code=lying.bundle_code,
            graft_count=lying.graft_count,
        ),
    )
    return False


def write_run(form: RunForm, plan: Plan | None, *, happened_on: date) -> RunGrafted:
    """Write a valid run down with the codes of its labels. Raises what the rules refuse."""
    data = form.cleaned_data
    run = planned_run(
        plan, bundle_code=data["bundle"], lot_code=data["lot"], promise_code=data["promise"]
    )
    season = _season(form.notebook, plan)
    codes = data["codes"] or codes_for_run(asked_run(data, run), season, today=today())
    entry = form.entry(codes, run=run, happened_on=happened_on)
    write(entry, device="bench")
    return entry


def _season(notebook: Notebook, plan: Plan | None) -> int:
    return plan.season if plan else season_of(today(), latitude_deg=notebook.nursery.latitude_deg)


@require_safe
def count_part(request: HttpRequest) -> HttpResponse:
    """Answer a count button with the count and the labels it takes."""
    notebook, plan = read_notebook(), this_winter().plan
    form = _form_asked(request, notebook, plan)
    context = {"form": form, "steps": _STEPS, "labels": _labels_shown(form, notebook, plan)}
    return render(request, "bench/count.html", context)


@require_POST
def count_labels(request: HttpRequest) -> HttpResponse:
    """Write down the labels used and left over of the bundle lying open."""
    lying = bench_day(today()).open_count
    form = LabelsForm(request.POST)
    if lying is None:
        messages.error(request, say("No bundle lies open, so there is nothing to count."))
        return redirect("bench")
    if not form.is_valid():
        return _page(request, _fresh_form(), status=422, labels_form=form)
    used, left_over = form.cleaned_data["used"], form.cleaned_data["left_over"] or 0
    write(
        LabelsCounted(
            happened_on=today(),
            bundle_code=lying.bundle_code,
            used_count=used,
            left_over_count=left_over,
        ),
        device="bench",
    )
    if used != lying.graft_count:
        messages.error(
            request,
            told(
                "{used} labels used, {graft_count} grafts written down for bundle "
                "{bundle_code}: find the difference while the grafts lie before you.",
                used=used,
                graft_count=lying.graft_count,
                bundle_code=lying.bundle_code,
            ),
        )
    else:
        messages.success(
            request,
            told("The labels of bundle {bundle_code} agree.", bundle_code=lying.bundle_code),
        )
    return redirect("bench")


@require_POST
def undo_run(request: HttpRequest, entry_id: UUID) -> HttpResponse:
    """Withdraw the day's last run, as long as nothing else was written about its trees."""
    last = bench_day(today()).last
    if last is None or last.entry_id != entry_id:
        messages.error(request, say("That is no longer the last run; look at the list again."))
        return redirect("bench")
    for code in last.run.tree_codes:
        if len(counted_story_of(code)) > 1:
            messages.error(
                request, told("More is written about {code}; withdraw it on its page.", code=code)
            )
            return redirect("bench")
    reason = "undone at the bench"
    write(EntryWithdrawn(happened_on=today(), target=entry_id, reason=reason), device="bench")
    messages.success(
        request,
        told("The last run of bundle {bundle_code} is undone.", bundle_code=last.run.bundle_code),
    )
    return redirect("bench")


@require_POST
def close_day(request: HttpRequest) -> HttpResponse:
    """Close the bench day; what does not agree must be explained first."""
    day = bench_day(_day_to_close(request))
    form = CloseForm(request.POST)
    if form.is_valid() and day.quarrels and not form.cleaned_data["words"]:
        form.add_error(
            "words", say("The labels do not agree yet. Count them, or say how it came about.")
        )
    if not form.is_valid():
        return _page(request, _fresh_form(), status=422, close_form=form)
    words = form.cleaned_data["words"]
    write(BenchDayClosed(happened_on=today(), bench_on=day.on, words=words), device="bench")
    messages.success(
        request, told("The bench is closed: {graft_count} grafts.", graft_count=day.graft_count)
    )
    return redirect("bench")


def _day_to_close(request: HttpRequest) -> date:
    """Return the day named in form or address, if it is one; today otherwise."""
    asked = request.POST.get("bench_on") or request.GET.get("bench_on", "")
    try:
        return date.fromisoformat(asked)
    except ValueError:
        return today()


def _fresh_form() -> RunForm:
    notebook = read_notebook()
    filled = _filled_in(_next_run(winter_so_far().plan), notebook)
    return RunForm(None, notebook=notebook, initial=filled)


def _labels_shown(form: RunForm, notebook: Notebook, plan: Plan | None) -> tuple[str, ...]:
    value = {
        name: str(form[name].value() or "") for name in ("bundle", "lot", "promise", "how_many")
    }
    if not value["how_many"].isdecimal() or not value["bundle"]:
        return ()
    run = planned_run(
        plan, bundle_code=value["bundle"], lot_code=value["lot"], promise_code=value["promise"]
    )
    value["how_many"] = str(min(MOST_GRAFTS_A_RUN, int(value["how_many"][:6])))
    return labels_ready(asked_run(value, run), _season(notebook, plan))


def _page(
    request: HttpRequest,
    form: RunForm,
    *,
    status: int,
    labels_form: LabelsForm | None = None,
    close_form: CloseForm | None = None,
) -> HttpResponse:
    winter = winter_so_far()
    notebook, plan = winter.notebook, winter.plan
    day, closing_on = bench_day(today()), _day_to_close(request)
    context = {
        "form": form,
        "notebook": notebook,
        "plan_task": winter.task,
        "day": day,
        "steps": _STEPS,
        "labels": _labels_shown(form, notebook, plan),
        "labels_form": labels_form or LabelsForm(),
        "close_form": close_form or CloseForm(),
        "runs": plan.runs if plan else (),
        "closing": day if closing_on == today() else bench_day(closing_on),
        "closed_on": notebook.bench_days.closed_on,
        "bundles": [b for b in notebook.bundles.values() if b.discarded_on is None],
        "lots": [lot for lot in notebook.lots.values() if lot.in_hand_count],
        "bundle_name": notebook.variety_of_bundle(str(form["bundle"].value() or "")),
        "between_name": notebook.variety_of_bundle(str(form["interstem"].value() or "")),
        "stock_name": _stock_name(str(form["lot"].value() or ""), notebook),
    }
    return render(request, "bench/page.html", context, status=status)


def _stock_name(code: str, notebook: Notebook) -> str:
    lot = notebook.lots.get(code)
    return lot.stock if lot else ""
