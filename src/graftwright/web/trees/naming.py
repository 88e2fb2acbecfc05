"""What the thing behind a code is called."""

from graftwright.notebook.notebook import Notebook
from graftwright.tongue import say, told


def name_of_thing(code: str, notebook: Notebook) -> str:
    """Return what a code names, in few words; empty if it names nothing."""
    if tree := notebook.trees.get(code):
        return told(
            "{variety_of} on {stock_of}",
            variety_of=notebook.variety_of(tree),
            stock_of=notebook.stock_of(tree) or say("an unknown stock"),
        )
    if code in notebook.bundles:
        return notebook.variety_of_bundle(code)
    if lot := notebook.lots.get(code):
        return lot.stock
    if place := notebook.places.get(code):
        return place.name
    if mother := notebook.mother_trees.get(code):
        return mother.variety
    if promise := notebook.promises.get(code):
        return promise.who
    return ""


def place_name(code: str, notebook: Notebook) -> str:
    """Return a place's name, its code where the place is unknown, or that none is written."""
    place = notebook.places.get(code)
    return place.name if place else code or say("no place written")


def trees_words(codes: tuple[str, ...]) -> str:
    """Return how many trees, naming a few: K4T76, or 12 trees (K4T76 and 11 others)."""
    if len(codes) <= 3:
        return ", ".join(codes)
    return told(
        "{count} trees ({codes} and {count_2} others)",
        count=len(codes),
        codes=codes[0],
        count_2=len(codes) - 1,
    )
