"""Bundles, stock lots, places and mother trees: their facts, and what came of them."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, MotherTree, Place, StockLot, Tree
from graftwright.tongue import counted, say, told
from graftwright.web.standing_on import LengthUnit
from graftwright.web.templatetags.trade import day as day_words
from graftwright.web.templatetags.trade import length_words
from graftwright.web.trees.naming import place_name


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A line of facts; `code` is what it leads to, if anything."""

    head: str
    words: str
    code: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    """What a code names, with its facts and the trees that came of it or stand in it."""

    kind: str
    code: str
    name: str
    lead: str
    facts: tuple[Fact, ...]
    trees_heading: str
    trees: tuple[Tree, ...]
    doubts: tuple[str, ...] = ()


def thing_of(code: str, notebook: Notebook, unit: LengthUnit) -> Thing | None:
    """Return the bundle, lot, place or mother tree behind a code; None if it is none of these."""
    if code in notebook.bundles:
        return _bundle(notebook.bundles[code], notebook)
    if code in notebook.lots:
        return _lot(notebook.lots[code], notebook, unit)
    if code in notebook.mother_trees:
        return _mother(notebook.mother_trees[code], notebook, unit)
    if code in notebook.places:
        return _place(notebook.places[code], notebook)
    return None


def _bundle(bundle: Bundle, notebook: Notebook) -> Thing:
    trees = _trees(notebook, lambda tree: tree.bundle_code == bundle.code)
    mother = bundle.mother_tree_code
    source = (
        told("mother tree {mother}", mother=mother)
        if mother
        else bundle.from_whom or say("not written")
    )
    facts = [
        Fact(head=say("Cut"), words=day_words(bundle.cut_on)),
        Fact(head=say("From"), words=source, code=bundle.mother_tree_code),
        Fact(head=say("Name is"), words=str(notebook.certainty_of_bundle(bundle.code))),
        Fact(
            head=say("Kept"), words=place_name(bundle.place_code, notebook), code=bundle.place_code
        ),
        Fact(head=say("Wood"), words=_condition(bundle)),
        Fact(head=say("Sticks"), words=_sticks(bundle)),
        Fact(head=say("Used"), words=_used(bundle)),
    ]
    if bundle.discarded_on:
        facts.append(Fact(head=say("Thrown out"), words=day_words(bundle.discarded_on)))
    return Thing(
        kind="bundle",
        code=bundle.code,
        name=notebook.variety_of_bundle(bundle.code),
        lead=say("A bundle of scion wood."),
        facts=tuple(facts),
        trees_heading=say("Grafts made from it"),
        trees=trees,
        doubts=bundle.doubts,
    )


def _condition(bundle: Bundle) -> str:
    looked = (
        told("looked at on {day_words}", day_words=day_words(bundle.checked_on))
        if bundle.checked_on
        else ""
    )
    return f"{bundle.condition}, {looked or say('not looked at since it was cut')}"


def _sticks(bundle: Bundle) -> str:
    if not bundle.sticks:
        return say("not measured")
    buds = counted(bundle.bud_count, "bud", "buds")
    left = counted(bundle.pieces_left, "usual piece", "usual pieces")
    return told(
        "{counted} with {buds}; {left} left",
        counted=counted(len(bundle.sticks), "stick", "sticks"),
        buds=buds,
        left=left,
    )


def _used(bundle: Bundle) -> str:
    spoilt = (
        told(", {spoilt_count} spoilt", spoilt_count=bundle.spoilt_count)
        if bundle.spoilt_count
        else ""
    )
    return f"{counted(bundle.used_count, 'piece', 'pieces')}{spoilt}"


def _lot(lot: StockLot, notebook: Notebook, unit: LengthUnit) -> Thing:
    facts = [
        Fact(head=say("From"), words=lot.supplier or say("not written")),
        Fact(head=say("Grade"), words=_grade(lot, unit)),
        Fact(head=say("In hand"), words=counted(lot.in_hand_count, "stock", "stocks")),
        Fact(head=say("So far"), words=_lot_story(lot)),
        Fact(head=say("Measured"), words=_measured(lot, unit)),
        Fact(head=say("Buds are"), words=str(lot.waking)),
        Fact(head=say("Kept"), words=place_name(lot.place_code, notebook), code=lot.place_code),
    ]
    return Thing(
        kind="lot",
        code=lot.code,
        name=lot.stock or say("Stocks of an unknown kind"),
        lead=say("An offer of rootstocks.") if lot.is_offer else say("A lot of rootstocks."),
        facts=tuple(facts),
        trees_heading=say("Grafts made on it"),
        trees=_trees(notebook, lambda tree: tree.lot_code == lot.code),
        doubts=lot.doubts,
    )


def _grade(lot: StockLot, unit: LengthUnit) -> str:
    if lot.grade is None:
        return say("not written")
    low, high = (length_words(mm, unit) for mm in (lot.grade.low_mm, lot.grade.high_mm))
    return told("{low} to {high}", low=low, high=high)


def _lot_story(lot: StockLot) -> str:
    confirmed = lot.confirmed_count
    parts = [
        told("{available_count} offered", available_count=lot.available_count)
        if lot.offered_on
        else "",
        told("{asked_count} ordered", asked_count=lot.asked_count) if lot.asked_count else "",
        told("{confirmed} confirmed", confirmed=confirmed) if confirmed is not None else "",
        _arrived(lot) if lot.arrived_on else "",
        told("{used_count} worked", used_count=lot.used_count) if lot.used_count else "",
        told("{lost_count} lost unworked", lost_count=lot.lost_count) if lot.lost_count else "",
    ]
    return ", ".join(part for part in parts if part) or say("nothing yet")


def _measured(lot: StockLot, unit: LengthUnit) -> str:
    if not lot.diameters_mm:
        return say("not measured")
    low, high = (length_words(mm, unit) for mm in (min(lot.diameters_mm), max(lot.diameters_mm)))
    return told(
        "{counted}, {low} to {high}",
        counted=counted(len(lot.diameters_mm), "stock", "stocks"),
        low=low,
        high=high,
    )


def _mother(mother: MotherTree, notebook: Notebook, unit: LengthUnit) -> Thing:
    bundles = {
        code for code, bundle in notebook.bundles.items() if bundle.mother_tree_code == mother.code
    }
    evidence = f": {mother.evidence}" if mother.evidence else ""
    former = ", ".join(dict.fromkeys(mother.names[:-1]))
    facts = [
        Fact(head=say("Name is"), words=f"{mother.certainty}{evidence}"),
        Fact(head=say("Came as"), words=mother.as_received or mother.names[0]),
        Fact(head=say("Stands at"), words=mother.site or say("not written")),
        Fact(head=say("Owner"), words=mother.owner or say("not written")),
        Fact(head=say("Cutting"), words=_permission(mother)),
        Fact(head=say("Health"), words=_health(mother)),
        Fact(head=say("Shoots"), words=_shoots(mother, unit)),
    ]
    if former:
        facts.insert(2, Fact(head=say("Formerly"), words=former))
    facts += [Fact(head=say("Bundle"), words=code, code=code) for code in sorted(bundles)]
    return Thing(
        kind="mother tree",
        code=mother.code,
        name=mother.variety,
        lead=say(
            "A tree that wood is cut from. Ask the owner before cutting, and "
            "whoever watches over plant health where you live before wood travels."
        ),
        facts=tuple(facts),
        trees_heading=say("Trees raised from it"),
        trees=_trees(notebook, lambda tree: tree.bundle_code in bundles),
        doubts=mother.doubts,
    )


def _permission(mother: MotherTree) -> str:
    if mother.permission is None:
        return say("not asked yet")
    words = f": {mother.permission_words}" if mother.permission_words else ""
    return f"{say('allowed') if mother.permission else say('not allowed')}{words}"


def _health(mother: MotherTree) -> str:
    words = f": {mother.health_words}" if mother.health_words else ""
    return f"{mother.health}{words}" if mother.health else say("not looked at")


def _shoots(mother: MotherTree, unit: LengthUnit) -> str:
    if mother.shoot_length_mm is None:
        return say("not measured")
    count = told("{shoot_count} of ", shoot_count=mother.shoot_count) if mother.shoot_count else ""
    return f"{count}{length_words(mother.shoot_length_mm, unit)}"


def _place(place: Place, notebook: Notebook) -> Thing:
    here = _trees(notebook, lambda tree: tree.is_here and tree.place_code == place.code)
    others = [
        *(told("bundle {c}", c=c) for c, b in notebook.bundles.items() if _kept_here(b, place)),
        *(told("lot {c}", c=c) for c, lot in notebook.lots.items() if _stands_here(lot, place)),
    ]
    room = (
        told("room for {capacity_count}", capacity_count=place.capacity_count)
        if place.capacity_count
        else say("room not written")
    )
    facts = (
        Fact(head=say("Kind"), words=str(place.place_kind)),
        Fact(
            head=say("On the walk"),
            words=told("stop {walking_order}", walking_order=place.walking_order),
        ),
        Fact(head=say("Holds"), words=f"{counted(len(here), 'tree', 'trees')}, {room}"),
        Fact(head=say("Varieties"), words=_varieties(here, notebook) or say("none")),
        Fact(head=say("Also here"), words=", ".join(others) or say("nothing else")),
    )
    return Thing(
        kind="place",
        code=place.code,
        name=place.name,
        lead=say("A stop on the walk."),
        facts=facts,
        trees_heading=say("Standing here"),
        trees=here,
    )


def _kept_here(bundle: Bundle, place: Place) -> bool:
    return bundle.place_code == place.code and bundle.is_in_store


def _stands_here(lot: StockLot, place: Place) -> bool:
    return lot.place_code == place.code and lot.in_hand_count > 0


def _varieties(trees: Iterable[Tree], notebook: Notebook) -> str:
    found = Counter(notebook.variety_of(tree) for tree in trees)
    return ", ".join(f"{count} {name}" for name, count in found.most_common())


def _trees(notebook: Notebook, fits: Callable[[Tree], bool]) -> tuple[Tree, ...]:
    mine = [tree for tree in notebook.trees.values() if fits(tree)]
    return tuple(sorted(mine, key=lambda tree: (not tree.is_here, -tree.season, tree.code)))


def outcome_words(trees: Sequence[Tree]) -> str:
    """Return what became of trees, counted."""
    decided = [tree for tree in trees if tree.has_taken or not tree.is_alive]
    taken = sum(tree.has_taken for tree in decided)
    stocks = sum(tree.stock_died_on is not None for tree in decided)
    here = sum(tree.is_here for tree in trees)
    gone = sum(tree.handed_over_on is not None for tree in trees)
    of = (
        told("{taken} of {count} decided took", taken=taken, count=len(decided))
        if decided
        else say("none decided yet")
    )
    dead = told(", {stocks} of them lost with the stock", stocks=stocks) if stocks else ""
    return told(
        "{counted}: {of}{dead}; {here} here, {gone} handed over.",
        counted=counted(len(trees), "graft", "grafts"),
        of=of,
        dead=dead,
        here=here,
        gone=gone,
    )


def _arrived(lot: StockLot) -> str:
    if lot.carried_over:
        return told("{arrived_count} carried over", arrived_count=lot.arrived_count)
    return told("{arrived_count} arrived", arrived_count=lot.arrived_count)
