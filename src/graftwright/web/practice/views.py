"""Every rule with its number and its basis; one's own number in its place, and what came of it."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from graftwright.notebook.entries import PracticeSet
from graftwright.notebook.notebook import Notebook
from graftwright.season.practice import CHOICES, THRESHOLDS, number_in, own_practice
from graftwright.season.practice_results import before_and_since
from graftwright.store.append import write
from graftwright.store.read import read_notebook
from graftwright.tongue import english, say, told
from graftwright.web.standing_on import today

_MOST_VALUE = 100_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleShown:
    """One rule: what is usual and on what basis, what the person set, and what came of it."""

    key: str
    practice: str
    usual: str
    unit: str
    basis: str
    options: tuple[str, ...]
    own_value: str
    own_words: str
    compared: str
    wrong: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """What was wrong with a rule that was sent."""

    practice: str
    value: str
    words: str
    why: str


@require_safe
def practice_page(request: HttpRequest) -> HttpResponse:
    """List every rule."""
    return _show(request, None, status=200)


@require_POST
def set_practice(request: HttpRequest) -> HttpResponse:
    """Replace a rule by the person's own, or take the usual one again where nothing is given."""
    practice = request.POST.get("practice", "")
    value, words = (
        request.POST.get("value", "").strip(),
        request.POST.get("words", "").strip()[:200],
    )
    why = _wrong(practice, value)
    if why:
        refused = Refused(practice=practice, value=value, words=words, why=why)
        return _show(request, refused, status=422)
    threshold = THRESHOLDS.get(practice)
    number = number_in(value) if threshold else None
    kept = f"{number:g} {english(threshold.unit)}" if threshold and number is not None else value
    entry = PracticeSet(happened_on=today(), practice=practice, value=kept, words=words)
    write(entry, device="desk")
    said = (
        told("Your own rule now: {practice} {kept}.", practice=say(practice), kept=say(kept))
        if kept
        else told("The usual rule again: {practice}.", practice=say(practice))
    )
    messages.success(request, said)
    return redirect("practice")


def _wrong(practice: str, value: str) -> str:
    if practice in CHOICES:
        known = value in ("", *CHOICES[practice].options)
        return "" if known else say("Choose one of the ways offered.")
    if practice not in THRESHOLDS:
        return say("No such rule; look at the list again.")
    number = number_in(value)
    if value and (number is None or abs(number) > _MOST_VALUE):
        return told(
            "{value} is no number; write one such as {default:g}.",
            value=value,
            default=THRESHOLDS[practice].default,
        )
    return ""


def _show(request: HttpRequest, refused: Refused | None, *, status: int) -> HttpResponse:
    notebook = read_notebook()
    shown = [
        *(
            _shown(one.practice, f"{one.default:g}", one.unit, one.basis, (), notebook, refused)
            for one in THRESHOLDS.values()
        ),
        *(
            _shown(one.practice, one.default, "", one.basis, one.options, notebook, refused)
            for one in CHOICES.values()
        ),
    ]
    context = {"own": [one for one in shown if one.own_value], "rules": shown, "refused": refused}
    return render(request, "practice/page.html", context, status=status)


def _shown(
    practice: str,
    usual: str,
    unit: str,
    basis: str,
    options: tuple[str, ...],
    notebook: Notebook,
    refused: Refused | None,
) -> RuleShown:
    own = own_practice(notebook.nursery, practice)
    is_wrong = refused is not None and refused.practice == practice
    return RuleShown(
        key=practice.replace(" ", "-"),
        practice=english(practice),
        usual=usual,
        unit=unit,
        basis=basis,
        options=tuple(map(english, options)),
        own_value=own.value if own else "",
        own_words=own.words if own else "",
        compared=before_and_since(notebook, own).words if own else "",
        wrong=refused.why if refused and is_wrong else "",
    )
