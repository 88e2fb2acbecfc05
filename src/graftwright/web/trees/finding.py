"""Trees found by code, variety, place, state and year."""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, chain
from typing import overload

from django import forms

from graftwright.notebook.entries import Scion
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.grouped_trees import trees_by_origin
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
        seasons = {season for season, _ in trees_by_origin(notebook.trees)}
        years = sorted(seasons, reverse=True)
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


class FoundTrees(Sequence[Tree]):
    """Trees found, the youngest season first, then by variety and code.

    Put in order is only what is looked at: of hundreds of thousands a page shows forty.
    """

    def __init__(self, found: Mapping[tuple[int, str], Sequence[Sequence[Tree]]]) -> None:
        ordered = sorted(found, key=lambda key: (-key[0], key[1]))
        self._parts = [found[key] for key in ordered]
        counts = [sum(map(len, part)) for part in self._parts]
        self._ends = list(accumulate(counts))

    def __len__(self) -> int:
        return self._ends[-1] if self._ends else 0

    @overload
    def __getitem__(self, place: int) -> Tree: ...

    @overload
    def __getitem__(self, place: slice) -> list[Tree]: ...

    def __getitem__(self, place: int | slice) -> Tree | list[Tree]:
        if isinstance(place, int):
            start = range(len(self))[place]
            return self[start : start + 1][0]
        start, stop, step = place.indices(len(self))
        if stop <= start:
            return []
        first, last = bisect_right(self._ends, start), bisect_left(self._ends, stop)
        begins = self._ends[first - 1] if first else 0
        looked_at = [
            tree
            for part in self._parts[first : last + 1]
            for tree in sorted(chain.from_iterable(part), key=lambda tree: tree.code)
        ]
        return looked_at[start - begins : stop - begins : step]


def found_trees(notebook: Notebook, form: FindForm) -> FoundTrees:
    """Return the trees that fit what is asked; a part of the form that makes no sense is left."""
    form.is_valid()
    data = form.cleaned_data
    tests: list[Callable[[Tree], bool]] = []
    if place := data.get("place"):
        tests.append(lambda tree: tree.place_code == place)
    if state := data.get("state"):
        tests.append(_STATES[state][1])
    words = str(data.get("q") or "").casefold().split()
    if words:
        tests.append(lambda tree: all(word in _searched(tree, notebook) for word in words))
    found: dict[tuple[int, str], list[Sequence[Tree]]] = {}
    for (season, bundle_code), trees in trees_by_origin(notebook.trees).items():
        if data.get("year") and str(season) != data["year"]:
            continue
        mine = [tree for tree in trees if all(test(tree) for test in tests)] if tests else trees
        if mine:
            variety = notebook.variety_of_bundle(bundle_code)
            found.setdefault((season, variety), []).append(mine)
    return FoundTrees(found)


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
