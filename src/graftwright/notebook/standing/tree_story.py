"""A tree's story folded: from the run that gave it its code to how it stands."""

from collections.abc import Iterable

from graftwright.notebook.entries import RunGrafted, Written
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.standing.changing import in_the_making, made
from graftwright.notebook.standing.later_life import lived_on
from graftwright.notebook.standing.tree import Tree, cared_for, doubted
from graftwright.tongue import told


def fold_tree(code: str, written: Iterable[Written]) -> Tree | None:
    """Return the tree as its entries leave it; None if no run gave it its code.

    The entries are those that count, in replay order. Contradictions become doubts.
    """
    story = list(written)
    runs = [one for one in story if type(one.entry) is RunGrafted and code in one.entry.tree_codes]
    if not runs:
        return None
    tree = in_the_making(_grafted(code, runs[0]))
    for other in runs[1:]:
        tree = doubted(
            tree, told("grafted twice: also on {happened_on}", happened_on=other.entry.happened_on)
        )
    for one in story:
        if type(one.entry) is RunGrafted:
            continue
        if one.entry.happened_on < tree.grafted_on:
            tree = doubted(
                tree,
                told(
                    "{name} on {happened_on}, before it was grafted",
                    name=type(one.entry).__name__,
                    happened_on=one.entry.happened_on,
                ),
            )
        tree = _after(tree, one.entry)
    return made(tree)


def _grafted(code: str, one: Written) -> Tree:
    run = one.entry
    assert isinstance(run, RunGrafted)
    return Tree(
        code=code,
        run_id=one.entry_id,
        grafted_on=run.happened_on,
        bundle_code=run.bundle_code,
        lot_code=run.lot_code,
        promise_code=run.promise_code,
        grafter=run.grafter,
        method=run.method,
        binding=run.binding,
        first_place_code=run.place_code,
        place_code=run.place_code,
        placed_on=run.happened_on,
        interstem_bundle_code=run.interstem_bundle_code,
    )


def _after(tree: Tree, entry: Entry) -> Tree:
    cared = cared_for(tree, entry)
    return lived_on(tree, entry) if cared is None else cared
