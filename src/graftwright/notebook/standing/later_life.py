"""How a tree stands after its later life's entries: worked again, opened, more varieties on it."""

from graftwright.notebook.entries import (
    AutopsyMade,
    FruitedAs,
    HardeningBegun,
    LimbGirthMeasured,
    LimbRemoved,
    PartJudged,
    Reworked,
    Scion,
    StockCarriedOver,
    StockCutBack,
    StockShootKept,
    StockState,
    VarietyAdded,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.standing.changing import changed
from graftwright.notebook.standing.tree import Tree
from graftwright.notebook.standing.working import Part, Working
from graftwright.tongue import say


def lived_on(tree: Tree, entry: Entry) -> Tree:
    """Return the tree after an entry about its later life; the same tree after any other."""
    match entry:
        case Reworked():
            return _reworked(tree, entry)
        case VarietyAdded() | PartJudged() | LimbRemoved():
            return _parts_changed(tree, entry)
        case LimbGirthMeasured():
            return _girth_measured(tree, entry)
        case AutopsyMade():
            signs = "; ".join((*entry.signs, *([entry.words] if entry.words else [])))
            return changed(tree, autopsy=signs or say("opened, nothing noted"))
        case FruitedAs():
            named = entry.variety or "unknown"
            return changed(tree, fruited_as=named, fruited_sure=entry.how_sure)
        case StockCarriedOver():
            return changed(tree, carried_to=entry.lot_code)
        case StockShootKept():
            return changed(tree, stock_shoot_kept_on=entry.happened_on)
        case StockCutBack():
            return changed(tree, cut_back_on=entry.happened_on)
        case HardeningBegun():
            return changed(tree, hardening_since=tree.hardening_since or entry.happened_on)
        case _:
            return tree


def _reworked(tree: Tree, entry: Reworked) -> Tree:
    return Tree(
        code=tree.code,
        run_id=tree.run_id,
        grafted_on=entry.happened_on,
        bundle_code=entry.bundle_code,
        lot_code=tree.lot_code,
        promise_code=entry.promise_code,
        grafter=entry.grafter,
        method=entry.method,
        binding=entry.binding,
        first_place_code=tree.place_code,
        place_code=tree.place_code,
        placed_on=tree.placed_on,
        position=tree.position,
        seen_on=entry.happened_on,
        pot_litres=tree.pot_litres,
        potted_on=tree.potted_on,
        interstem_bundle_code=tree.interstem_bundle_code,
        stock_shoot_kept_on=tree.stock_shoot_kept_on,
        breaks_in=entry.breaks_in,
        earlier=(*tree.earlier, _ended(tree, entry)),
        parts=tree.parts,
        doubts=tree.doubts,
    )


def _ended(tree: Tree, entry: Reworked) -> Working:
    return Working(
        grafted_on=tree.grafted_on,
        bundle_code=tree.bundle_code,
        promise_code=tree.promise_code,
        grafter=tree.grafter,
        method=tree.method,
        binding=tree.binding,
        taken_on=tree.taken_on,
        moved_on=tree.moved_on,
        scion_died_on=tree.scion_died_on,
        union_broke_on=tree.union_broke_on,
        loss_cause=tree.loss_cause,
        ended_on=entry.happened_on,
        breaks_in=tree.breaks_in,
    )


def as_worked_before(tree: Tree, working: Working) -> Tree:
    """Return the tree as one of its earlier workings left it, for counting what took."""
    return changed(
        tree,
        grafted_on=working.grafted_on,
        bundle_code=working.bundle_code,
        promise_code=working.promise_code,
        grafter=working.grafter,
        method=working.method,
        binding=working.binding,
        scion=Scion.DEAD if working.scion_died_on else Scion.GROWING,
        stock=StockState.ALIVE,
        taken_on=working.taken_on,
        moved_on=working.moved_on,
        growing_since=None,
        scion_died_on=working.scion_died_on,
        union_broke_on=working.union_broke_on,
        stock_died_on=None,
        loss_cause=working.loss_cause,
        ready=None,
        graded_on=None,
        handed_over_on=None,
        breaks_in=working.breaks_in,
        earlier=(),
    )


def _parts_changed(tree: Tree, entry: VarietyAdded | PartJudged | LimbRemoved) -> Tree:
    match entry:
        case VarietyAdded():
            part = Part(
                number=len(tree.parts) + 1,
                bundle_code=entry.bundle_code,
                worked_on=entry.happened_on,
                height_mm=entry.height_mm,
                bearing_deg=entry.bearing_deg,
                limb=entry.limb,
                method=entry.method,
                grafter=entry.grafter,
            )
            return changed(tree, parts=(*tree.parts, part))
        case PartJudged():
            parts = tuple(
                changed(part, scion=entry.scion, judged_on=entry.happened_on)
                if part.number == entry.part_number
                else part
                for part in tree.parts
            )
        case LimbRemoved():
            parts = tuple(
                changed(part, removed_on=part.removed_on or entry.happened_on)
                if part.limb.casefold() == entry.limb.casefold()
                else part
                for part in tree.parts
            )
    return changed(tree, parts=parts)


def _girth_measured(tree: Tree, entry: LimbGirthMeasured) -> Tree:
    if entry.part_number == 0:
        return changed(tree, girth_mm=entry.girth_mm, girth_on=entry.happened_on)
    parts = tuple(
        changed(part, girth_mm=entry.girth_mm, girth_on=entry.happened_on)
        if part.number == entry.part_number
        else part
        for part in tree.parts
    )
    return changed(tree, parts=parts)
