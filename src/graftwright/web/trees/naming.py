"""What the thing behind a code is called."""

from graftwright.notebook.notebook import Notebook


def name_of_thing(code: str, notebook: Notebook) -> str:
    """Return what a code names, in few words; empty if it names nothing."""
    if tree := notebook.trees.get(code):
        return f"{notebook.variety_of(tree)} on {notebook.stock_of(tree) or 'an unknown stock'}"
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
    return place.name if place else code or "no place written"


def trees_words(codes: tuple[str, ...]) -> str:
    """Return how many trees, naming a few: K4T76, or 12 trees (K4T76 and 11 others)."""
    if len(codes) <= 3:
        return ", ".join(codes)
    return f"{len(codes)} trees ({codes[0]} and {len(codes) - 1} others)"
