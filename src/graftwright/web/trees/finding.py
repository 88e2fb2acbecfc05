"""Trees found by code, variety, place, state and year."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from django import forms

from graftwright.notebook.entries import Scion
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.tongue import marked, say
from graftwright.web.trees.naming import place_name
from graftwright.web.trees.standing import Words, state_in_short

_STATES: dict[str, tuple[str, Callable[[Tree], bool]]] = {
    "here": (marked("Alive and here"), lambda tree: tree.is_here),
    "waiting": (marked("Waiting"), lambda tree: tree.is_here and tree.scion is Scion.WAITING),
    "moving": (marked("Moving"), lambda tree: tree.is_here and tree.scion is Scion.MOVING),
    "undecided": (
        marked("Growing, not yet a take"),
        lambda tree: tree.is_here and tree.scion is Scion.GROWING and not tree.has_taken,
    ),
    "taken": (marked("Taken"), lambda tree: tree.is_here and tree.has_taken),
    "doubtful": (marked("Doubtful"), lambda tree: tree.is_here and tree.scion is Scion.DOUBTFUL),
    "ready": (marked("Fit to hand over"), lambda tree: tree.is_here and bool(tree.ready)),
    "stock": (marked("Lost, its stock alive"), lambda tree: tree.is_free_stock),
    "dead": (marked("Lost"), lambda tree: not tree.is_alive),
    "gone": (marked("Handed over"), lambda tree: tree.handed_over_on is not None),
    "doubt": (marked("With a contradiction to settle"), lambda tree: bool(tree.doubts)),
}


class FindForm(forms.Form):
    """What is looked for."""

    q = forms.CharField(
        required=False,
        max_length=200,
        label=marked("Code or name"),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    place = forms.ChoiceField(required=False, label=marked("Place"))
    state = forms.ChoiceField(
        required=False,
        label=marked("State"),
        choices=[("", marked("Any state")), *((key, words) for key, (words, _) in _STATES.items())],
    )
    year = forms.ChoiceField(required=False, label=marked("Grafted in"))

    def __init__(self, data: Mapping[str, object], *, notebook: Notebook) -> None:
        super().__init__(data)
        places = [(code, place.name) for code, place in notebook.places.items()]
        years = sorted({tree.season for tree in notebook.trees.values()}, reverse=True)
        for name, choices in (
            ("place", [("", say("Any place")), *places]),
            ("year", [("", say("Any year")), *((str(year), str(year)) for year in years)]),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = choices


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeRow:
    """A tree as the list shows it."""

    tree: Tree
    variety: str
    stock: str
    place: str
    promised_to: str
    state: Words


def found_trees(notebook: Notebook, form: FindForm) -> list[Tree]:
    """Return the trees that fit what is asked; a part of the form that makes no sense is left."""
    form.is_valid()
    data = form.cleaned_data
    trees: Iterable[Tree] = notebook.trees.values()
    if place := data.get("place"):
        trees = [tree for tree in trees if tree.place_code == place]
    if year := data.get("year"):
        trees = [tree for tree in trees if str(tree.season) == year]
    if state := data.get("state"):
        trees = [tree for tree in trees if _STATES[state][1](tree)]
    for word in str(data.get("q") or "").casefold().split():
        trees = [tree for tree in trees if word in _searched(tree, notebook)]
    return sorted(trees, key=lambda tree: (-tree.season, notebook.variety_of(tree), tree.code))


def _searched(tree: Tree, notebook: Notebook) -> str:
    promise = notebook.promises.get(tree.allocated_to or tree.promise_code)
    words = (
        *(tree.code, notebook.variety_of(tree), notebook.stock_of(tree), tree.bundle_code),
        *(tree.lot_code, tree.grafter, promise.who if promise else ""),
    )
    return " ".join(words).casefold()


def tree_row(tree: Tree, notebook: Notebook) -> TreeRow:
    """Return a tree with its names and its state in words."""
    promise = notebook.promises.get(tree.allocated_to or tree.promise_code)
    return TreeRow(
        tree=tree,
        variety=notebook.variety_of(tree),
        stock=notebook.stock_of(tree),
        place=place_name(tree.place_code, notebook),
        promised_to=promise.who if promise else "",
        state=state_in_short(tree),
    )
