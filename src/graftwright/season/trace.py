"""One up, one down: where a tree, bundle, mother tree or lot came from, and who has what of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import Health
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One step up: what it is, its code if it has one, from whom and when."""

    what: str
    code: str
    from_whom: str
    on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Descended:
    """One tree that holds something of the thing traced, and where it is.

    `holds` says as what: its variety, its stock, a piece between, a further variety, or an earlier
    working that was replaced.
    """

    tree: Tree
    variety: str
    stock: str
    holds: str
    holder: str
    since: date | None
    is_living: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """A thing with its sources and all that came of it."""

    kind: str
    code: str
    name: str
    sources: tuple[Source, ...]
    descended: tuple[Descended, ...]
    wood_in_store: tuple[str, ...]
    is_diseased: bool

    @property
    def living(self) -> tuple[Descended, ...]:
        """The trees that still live, here or with others."""
        return tuple(one for one in self.descended if one.is_living)

    @property
    def holders(self) -> tuple[tuple[str, tuple[Descended, ...]], ...]:
        """Who holds living trees of it, those outside the nursery first."""
        by_holder: dict[str, list[Descended]] = {}
        for one in self.living:
            by_holder.setdefault(one.holder, []).append(one)
        ordered = sorted(
            by_holder.items(), key=lambda pair: (pair[1][0].tree.handed_over_on is None, pair[0])
        )
        return tuple((holder, tuple(found)) for holder, found in ordered)


def trace_of(code: str, notebook: Notebook) -> Trace | None:
    """Return the trace of a tree, bundle, mother tree or stock lot; None if it is none of these."""
    if tree := notebook.trees.get(code):
        name = say(" on ").join(reversed(notebook.chain_of(tree)))
        return _trace(
            "tree",
            code,
            name,
            _tree_sources(tree, notebook),
            [_of(tree, "itself", notebook)],
            notebook,
        )
    if code in notebook.bundles:
        return _wood_trace("bundle", code, {code}, notebook)
    if code in notebook.mother_trees:
        bundles = {b.code for b in notebook.bundles.values() if b.mother_tree_code == code}
        return _wood_trace(say("mother tree"), code, bundles, notebook)
    if code in notebook.lots:
        lot = notebook.lots[code]
        mine = [t for t in notebook.trees.values() if code in (t.lot_code, t.carried_to)]
        found = [_of(tree, "stock", notebook) for tree in mine]
        source = Source(
            what=say("lot of stocks"), code=code, from_whom=lot.supplier, on=lot.arrived_on
        )
        return _trace("lot", code, lot.stock or code, (source,), found, notebook)
    return None


def _wood_trace(kind: str, code: str, bundles: set[str], notebook: Notebook) -> Trace:
    mother = notebook.mother_trees.get(code)
    name = mother.variety if mother else notebook.variety_of_bundle(code)
    found = [
        _of(tree, holds, notebook)
        for tree in notebook.trees.values()
        for holds in _held(tree, bundles)
    ]
    sources: tuple[Source, ...]
    if mother:
        sources = (
            Source(
                what=say("mother tree"), code=code, from_whom=mother.owner or mother.site, on=None
            ),
        )
    else:
        sources = _bundle_sources(code, notebook)
    return _trace(kind, code, name, sources, found, notebook, bundles=bundles)


def _held(tree: Tree, bundles: set[str]) -> Iterable[str]:
    if tree.bundle_code in bundles:
        yield "variety"
    if tree.interstem_bundle_code in bundles:
        yield say("piece between stock and variety")
    if any(part.bundle_code in bundles and part.is_there for part in tree.parts):
        yield say("further variety")
    if tree.bundle_code not in bundles and any(w.bundle_code in bundles for w in tree.earlier):
        yield say("an earlier working, replaced")


def _of(tree: Tree, holds: str, notebook: Notebook) -> Descended:
    return Descended(
        tree=tree,
        variety=notebook.variety_of(tree),
        stock=notebook.stock_of(tree) or say("stock not known"),
        holds=holds,
        holder=holder_of(tree, notebook),
        since=tree.handed_over_on or tree.placed_on,
        is_living=tree.is_alive or tree.is_free_stock,
    )


def holder_of(tree: Tree, notebook: Notebook) -> str:
    """Return who has a tree: somebody, or a place here."""
    if tree.handed_over_on is not None:
        promise = notebook.promises.get(tree.handed_over_to)
        return promise.who if promise else tree.handed_over_to or say("somebody, not written")
    place = notebook.places.get(tree.place_code)
    return told("here: {place}", place=place.name) if place else say("here")


def _tree_sources(tree: Tree, notebook: Notebook) -> tuple[Source, ...]:
    lot = notebook.lots.get(tree.lot_code)
    found = [
        Source(
            what=told("stock, {stock}", stock=lot.stock) if lot else say("stock"),
            code=tree.lot_code,
            from_whom=lot.supplier if lot else "",
            on=lot.arrived_on if lot else None,
        )
    ]
    for code in (
        tree.bundle_code,
        tree.interstem_bundle_code,
        *(p.bundle_code for p in tree.parts),
    ):
        found += _bundle_sources(code, notebook) if code else ()
    return tuple(dict.fromkeys(found))


def _bundle_sources(code: str, notebook: Notebook) -> tuple[Source, ...]:
    bundle = notebook.bundles.get(code)
    if bundle is None:
        return ()
    mother = notebook.mother_trees.get(bundle.mother_tree_code)
    found = [
        Source(
            what=told(
                "wood of {variety_of_bundle}", variety_of_bundle=notebook.variety_of_bundle(code)
            ),
            code=code,
            from_whom=bundle.from_whom,
            on=bundle.cut_on,
        )
    ]
    if mother:
        whose = ", ".join(part for part in (mother.owner, mother.site) if part)
        found.append(Source(what=say("mother tree"), code=mother.code, from_whom=whose, on=None))
    return tuple(found)


def _trace(
    kind: str,
    code: str,
    name: str,
    sources: Sequence[Source],
    found: Sequence[Descended],
    notebook: Notebook,
    *,
    bundles: Iterable[str] = (),
) -> Trace:
    codes = {code, *(source.code for source in sources)}
    ill = any(
        mother.health is Health.DISEASED
        for mother in notebook.mother_trees.values()
        if mother.code in codes
    )
    return Trace(
        kind=kind,
        code=code,
        name=name,
        sources=tuple(sources),
        descended=tuple(
            sorted(found, key=lambda one: (not one.is_living, one.holder, one.tree.code))
        ),
        wood_in_store=tuple(sorted(b for b in bundles if notebook.bundles[b].is_in_store)),
        is_diseased=ill,
    )
