"""Which trees a results sheet is about: those of a job, a place, a run, or codes typed in."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import nsmallest

from django import forms

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.grouped_trees import here_by_run, standing_by_place, trees_by_run
from graftwright.tongue import marked, say, told
from graftwright.web.today.jobs import DayJobs
from graftwright.web.trees.fields import CodesField
from graftwright.web.working.asking import StillWorking

WHAT = (
    ("take", marked("Judge the take")),
    ("growth", marked("Measure the growth")),
    ("grade", marked("Grade")),
    ("pot", marked("Pot on")),
    ("move", marked("Move to a place")),
)
_RUNS_OFFERED = 60


class ChooseForm(forms.Form):
    """What is written, and about which trees."""

    what = forms.ChoiceField(label=marked("What to write"), choices=WHAT)
    place = forms.ChoiceField(label=marked("All trees in a place"), required=False)
    run = forms.ChoiceField(label=marked("Or the grafts of a run"), required=False)
    codes = CodesField(label=marked("Or these codes"), required=False)
    job = forms.CharField(required=False, max_length=12, widget=forms.HiddenInput)

    def __init__(self, data: Mapping[str, object], *, notebook: Notebook) -> None:
        super().__init__(data)
        places = [(code, place.name) for code, place in notebook.places.items()]
        for name, choices in (
            ("place", [("", say("No place")), *places]),
            ("run", [("", say("No run")), *_runs(notebook)]),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = choices


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The trees chosen, in the order of the tags, and what was wrong with the choice."""

    trees: tuple[Tree, ...]
    wrong: str = ""


def chosen_trees(form: ChooseForm, day_jobs: DayJobs) -> Chosen:
    """Return the trees that a valid form names.

    Raises StillWorking where a job is named that may come with the plan, which is being worked.
    """
    data, notebook = form.cleaned_data, day_jobs.notebook
    if data["job"]:
        job = day_jobs.job_with(data["job"])
        if job is None and day_jobs.task is not None:
            raise StillWorking(day_jobs.task)
        if job is None:
            return Chosen(
                trees=(), wrong=say("That job is no longer on the list; look at it again.")
            )
        return Chosen(trees=_known(job.codes, notebook))
    if data["codes"]:
        missing = [code for code in data["codes"] if code not in notebook.trees]
        wrong = (
            told("No tree has the code {listed}; look at the tag.", listed=", ".join(missing[:5]))
            if missing
            else ""
        )
        return Chosen(trees=_known(data["codes"], notebook), wrong=wrong)
    if data["run"]:
        return Chosen(trees=_in_order(trees_by_run(notebook.trees).get(data["run"], ())))
    if data["place"]:
        standing = standing_by_place(notebook.trees).get(data["place"], ())
        return Chosen(trees=_in_order(tree for tree in standing if tree.is_here))
    return Chosen(trees=())


def _known(codes: tuple[str, ...], notebook: Notebook) -> tuple[Tree, ...]:
    return tuple(notebook.trees[code] for code in codes if code in notebook.trees)


def _in_order(trees: Iterable[Tree]) -> tuple[Tree, ...]:
    return tuple(sorted(trees, key=lambda tree: (tree.grafted_on, tree.run_id.int, tree.code)))


def _runs(notebook: Notebook) -> list[tuple[str, str]]:
    """Return the last runs that have a tree here, by id and in words."""
    runs = here_by_run(notebook.trees).items()
    last = nsmallest(
        _RUNS_OFFERED, runs, key=lambda run: (-run[1][0].grafted_on.toordinal(), run[1][0].code)
    )
    return [(str(run_id), _run_words(trees, notebook)) for run_id, trees in last]


def _run_words(trees: Sequence[Tree], notebook: Notebook) -> str:
    first = trees[0]
    names = told(
        "{variety_of} on {stock_of}",
        variety_of=notebook.variety_of(first),
        stock_of=notebook.stock_of(first),
    )
    return told(
        "{grafted_on:%-d %B %Y}, {count} of {names}",
        grafted_on=first.grafted_on,
        count=len(trees),
        names=names,
    )
