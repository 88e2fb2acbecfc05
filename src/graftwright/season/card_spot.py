"""What is known of the place where one tree is to stand, for its card."""

from graftwright.notebook.entries import SpotDescribed
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.planting import GrowingConditions, TreeForm, Variety, VarietyVigour


def spot_of_tree(tree: Tree, notebook: Notebook) -> SpotDescribed | None:
    """Return the spot written down for the promise a tree serves; None if there is none.

    A spot belongs to a promise that it names, or that names it, in any case and spacing.
    """
    promise_code = tree.allocated_to or tree.handed_over_to
    promise = notebook.promises.get(promise_code)
    if promise is None:
        return None
    wanted = _folded(promise.spot)
    for spot in notebook.spots.values():
        described = spot.described
        named = bool(wanted) and _folded(described.spot_name) == wanted
        if described.promise_code == promise_code or named:
            return described
    return None


def conditions_of(
    tree: Tree, *, spot: SpotDescribed | None, variety: Variety | None, form: TreeForm | None
) -> GrowingConditions:
    """Return what moves the tree's size: its spot, its variety, and its union as planted."""
    listed = variety.vigour if variety else VarietyVigour.NOT_KNOWN
    if spot is None:
        return GrowingConditions(
            form=form or TreeForm.BUSH,
            variety_vigour=listed,
            union_height_mm=tree.union_height_mm,
        )
    is_said = spot.variety_vigour is not VarietyVigour.NOT_KNOWN
    return GrowingConditions(
        soil=spot.soil,
        variety_vigour=spot.variety_vigour if is_said else listed,
        form=form or spot.form,
        union_height_mm=tree.union_height_mm,
        pot_litres=spot.pot_litres,
    )


def _folded(name: str) -> str:
    return " ".join(name.casefold().split())
