"""What is printed about the forms a tree is trained to, for one stock."""

from graftwright.planting.catalogue import Catalogue
from graftwright.planting.conditions import TreeForm
from graftwright.planting.rootstock import FormSpacing, Rootstock
from graftwright.planting.union_height import holds_tree_small


def forms_printed(
    form: TreeForm, *, stock: Rootstock, catalogue: Catalogue
) -> tuple[FormSpacing, ...]:
    """Give the rows of published spacings for a form that speak of the stock or of any stock."""
    return tuple(
        row
        for row in catalogue.forms
        if form.value in _forms_of(row) and stock.crop in row.crops and _speaks_of(row, stock)
    )


def _forms_of(row: FormSpacing) -> frozenset[str]:
    form = row.form.replace(" or ", "/")  # not said
    words = form.replace("dwarf pyramid", "pyramid").split("/")  # not said
    return frozenset(word.strip() for word in words)


_GENERIC_STOCK_WORDS = frozenset({"", "dwarfing", "any trained"})  # not said


def _speaks_of(row: FormSpacing, stock: Rootstock) -> bool:
    if row.rootstocks in _GENERIC_STOCK_WORDS:
        return row.rootstocks != "dwarfing" or holds_tree_small(stock)
    words = row.rootstocks.replace(",", " ").replace(";", " ") + " "
    return any(f"{given.text} " in words for given in stock.names)
