"""Where a column of a table comes from: fields of entries, or what it follows from."""

from dataclasses import dataclass, fields

from graftwright.notebook.written import KINDS
from graftwright.tongue import marked

Field = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """What a column's cells come from.

    `stated` are kinds of entries and their fields, of which the latest with a value counts; an
    empty field stands for the whole entry, and `in_turn` for a list of one value an entry. Else
    the column is derived: it `follows` from something and is changed another `way`.
    """

    stated: tuple[Field, ...] = ()
    in_turn: bool = False
    follows: str = ""
    way: str = ""


def stated(*sources: str, in_turn: bool = False) -> Column:
    """Return a column that stands in entries, each source as Kind.field."""
    pairs = [source.partition(".") for source in sources]
    return Column(stated=tuple((kind, name) for kind, _, name in pairs), in_turn=in_turn)


def derived(follows: str, way: str) -> Column:
    """Return a column that follows from something else."""
    return Column(follows=follows, way=way)


def of_entry(kind: str, without: tuple[str, ...] = ()) -> dict[str, Column]:
    """Return the columns of a table whose rows are entries of one kind."""
    names = (field.name for field in fields(KINDS[kind]) if field.name not in without)
    return {name: stated(f"{kind}.{name}") for name in names}


THE_KEY = derived(
    marked("the row’s own name"),
    marked("leave it as it went out; what is new goes in through the empty workbook"),
)
THE_CODES = derived(
    marked("the tags, whose codes never change"),
    marked("withdraw the entry on the tree’s page if these trees were not grafted"),
)
THE_DOUBTS = derived(
    marked("entries that contradict one another"), marked("settle it on the page of the thing")
)
