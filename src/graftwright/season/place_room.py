"""Room in a place: how many trees it holds, and how many more it can take."""

from graftwright.notebook.notebook import Notebook
from graftwright.tongue import told


def no_room_words(notebook: Notebook, *, place_code: str, codes: tuple[str, ...]) -> str:
    """Return why trees cannot go to a place, with the way out; empty where there is room.

    Trees that stand there already take no room anew. A place without a written room takes any.
    """
    place = notebook.places.get(place_code)
    if place is None or place.capacity_count is None:
        return ""
    here = {
        tree.code
        for tree in notebook.trees.values()
        if tree.place_code == place_code and (tree.is_here or tree.is_free_stock)
    }
    after = len(here | set(codes))
    if after <= place.capacity_count or set(codes) <= here:
        return ""
    return told(
        "{place_name} has room for {capacity_count} and holds {count}; with "
        "these it would hold {after}. Choose another place, move some out "
        "first, or write its room anew.",
        place_name=place.name,
        capacity_count=place.capacity_count,
        count=len(here),
        after=after,
    )
