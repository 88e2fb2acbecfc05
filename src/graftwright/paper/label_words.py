"""What stands on a label: of a grafted tree, of a bundle of wood, or of nothing yet."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, Tree
from graftwright.paper.words import count_words, day_words
from graftwright.season.planned import Plan
from graftwright.tagcode import read_code
from graftwright.tongue import say, told

_WORDS_AND_NUMBERS = re.compile(r"([^0-9]*)([0-9]{0,9})")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWords:
    """The words of any label, by where they stand.

    `head` is set large; empty, it leaves a line for a pencil. `second` stands beneath it, `small`
    at the foot, the lowest line first.
    """

    code: str
    head: str
    second: str
    small: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """What the label of a tree says. `line` is free (bundle, graft number); `certainty` in words.

    Raises UnknownCode if the code does not check, OutOfRange if a name is missing.
    """

    code: str
    variety: str
    stock: str
    line: str = ""
    certainty: str = ""
    day: date | None = None

    def __post_init__(self) -> None:
        read_code(self.code)
        if not self.variety.strip() or not self.stock.strip():
            raise OutOfRange(
                told(
                    "the label of {code} has variety {variety!r} and stock {stock!r}; a "
                    "label carries both names: write 'unknown' for one not known",
                    code=self.code,
                    variety=self.variety,
                    stock=self.stock,
                )
            )

    @property
    def small_words(self) -> str:
        """The small print in one line: the free line and the day."""
        parts = (self.line, day_words(self.day) if self.day else "")
        return ", ".join(part for part in parts if part)

    @property
    def words(self) -> LabelWords:
        """Both names, the code, the small print, and how sure the name is."""
        return LabelWords(
            code=self.code,
            head=self.variety,
            second=told("on {stock}", stock=self.stock),
            small=(self.certainty, self.small_words),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleTag:
    """What the tag of a bundle of wood says; the top is cut slanting, the tag hangs at the base.

    Raises UnknownCode if the code does not check, OutOfRange if the variety is missing.
    """

    code: str
    variety: str
    origin: str = ""
    certainty: str = ""
    cut_on: date | None = None
    stick_count: int = 0

    def __post_init__(self) -> None:
        read_code(self.code)
        if not self.variety.strip():
            raise OutOfRange(
                told(
                    "the tag of bundle {code} has no variety; write 'unknown' where it is",
                    code=self.code,
                )
            )

    @property
    def words(self) -> LabelWords:
        """The variety, where the wood is from, the day of cutting and the number of sticks."""
        counted = (
            count_words(self.stick_count, "stick", "sticks")
            if self.stick_count
            else say("sticks not counted")
        )
        parts = (
            told("cut {day_words}", day_words=day_words(self.cut_on)) if self.cut_on else "",
            counted,
        )
        return LabelWords(
            code=self.code,
            head=self.variety,
            second=told("wood from {origin}", origin=self.origin)
            if self.origin
            else say("scion wood"),
            small=(self.certainty, ", ".join(part for part in parts if part)),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SpareTag:
    """A tag with a code of its own and lines for a pencil, for the pocket on a collecting round.

    Raises UnknownCode if the code does not check.
    """

    code: str

    def __post_init__(self) -> None:
        read_code(self.code)

    @property
    def words(self) -> LabelWords:
        """The code alone, and what to write beside it."""
        return LabelWords(code=self.code, head="", second="", small=("day, who", say("where from")))


AnyLabel = Label | BundleTag | SpareTag


def labels_of(
    plan: Plan, *, codes: Sequence[str], certainty_of: Callable[[str], str]
) -> tuple[Label, ...]:
    """Return one label per planned graft, in working order.

    `codes` are taken in order; `certainty_of` says for a bundle's code how sure its name is, in
    words. Raises OutOfRange if there are fewer codes than grafts.
    """
    joins = sorted(plan.joins, key=lambda join: join.number)
    if len(codes) < len(joins):
        raise OutOfRange(
            told(
                "{count} codes for {count_2} grafts; ask for as many as the plan has",
                count=len(codes),
                count_2=len(joins),
            )
        )
    day_of = {number: run.bench_on for run in plan.runs for number in run.join_numbers}
    return tuple(
        Label(
            code=code,
            variety=join.variety,
            stock=join.stock,
            line=told(
                "graft {number}, bundle {bundle_code}",
                number=join.number,
                bundle_code=join.bundle_code,
            ),
            certainty=certainty_of(join.bundle_code),
            day=day_of.get(join.number),
        )
        for code, join in zip(codes, joins, strict=False)
    )


def tree_labels(notebook: Notebook, *, place_code: str = "") -> tuple[Label, ...]:
    """Return labels for the trees that stand here, to replace faded ones, in walking order.

    With `place_code` only those of one place. A name that is not known is written 'unknown'.
    """
    trees = [
        tree
        for tree in notebook.trees.values()
        if tree.is_here and place_code in ("", tree.place_code)
    ]
    return tuple(_tree_label(notebook, tree) for tree in in_walking_order(notebook, trees))


def in_walking_order(notebook: Notebook, trees: Iterable[Tree]) -> list[Tree]:
    """Return trees as they are met on the round: by place, then by position, then by code."""

    def met(tree: Tree) -> tuple[int, str, tuple[tuple[str, int], ...], str]:
        place = notebook.places.get(tree.place_code)
        order = place.walking_order if place else 10_000
        return order, tree.place_code, position_order(tree.position), tree.code

    return sorted(trees, key=met)


def position_order(position: str) -> tuple[tuple[str, int], ...]:
    """Return what positions sort by: A before B, B2 before B10, none at the end."""
    found = _WORDS_AND_NUMBERS.findall(position.casefold())
    parts = tuple((word.strip(), int(number or 0)) for word, number in found if word or number)
    return parts or (("\uffff", 0),)


def bundle_tags(notebook: Notebook) -> tuple[BundleTag, ...]:
    """Return a tag for every bundle in store, by variety."""
    tags = [_bundle_tag(notebook, one) for one in notebook.bundles.values() if one.is_in_store]
    return tuple(sorted(tags, key=lambda tag: (tag.variety.casefold(), tag.code)))


def _tree_label(notebook: Notebook, tree: Tree) -> Label:
    stock = notebook.stock_of(tree) or "unknown"
    between = notebook.variety_of_bundle(tree.interstem_bundle_code)
    return Label(
        code=tree.code,
        variety=notebook.variety_of(tree) or "unknown",
        stock=told("{between} on {stock}", between=between, stock=stock) if between else stock,
        line=told("bundle {bundle_code}", bundle_code=tree.bundle_code),
        certainty=notebook.certainty_words(tree.bundle_code),
        day=tree.grafted_on,
    )


def _bundle_tag(notebook: Notebook, bundle: Bundle) -> BundleTag:
    mother = notebook.mother_trees.get(bundle.mother_tree_code)
    site = f"{bundle.mother_tree_code}, {mother.site}".rstrip(", ") if mother else ""
    return BundleTag(
        code=bundle.code,
        variety=notebook.variety_of_bundle(bundle.code) or "unknown",
        origin=site or bundle.from_whom,
        certainty=notebook.certainty_words(bundle.code),
        cut_on=bundle.cut_on,
        stick_count=len(bundle.sticks),
    )
