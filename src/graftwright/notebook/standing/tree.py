"""A tree as it stands: its graft, its place, its scion and its stock, each for itself."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from graftwright.notebook.entries import (
    Binding,
    BindingLoosened,
    BindingOff,
    BudsMoved,
    Caned,
    Cause,
    DamageNoted,
    Graded,
    GrowthMeasured,
    HowSure,
    Method,
    Planted,
    PottedOn,
    Scion,
    ScionDied,
    ShootsThinned,
    StockDied,
    StockShootsOff,
    StockState,
    TakeJudged,
    TreeAllocated,
    TreeHandedOver,
    TreeMoved,
    TreeSeen,
    UnionBroke,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.standing.changing import changed
from graftwright.notebook.standing.travelling import travelling
from graftwright.notebook.standing.working import Part, Working
from graftwright.tongue import english, told

TAKEN_FROM_GROWTH_MM = 100.0
"""New growth from which a graft counts as taken (common practice, no source)."""

SECOND_CHECK_AFTER_DAYS = 21
"""Days after a first 'growing' from which a second one counts as taken (no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tree:
    """A grafted tree. Nothing turns a waiting scion dead but a person's word.

    `placed_on` is the day it came to its present place, or was first seen there.
    """

    code: str
    run_id: UUID
    grafted_on: date
    bundle_code: str
    lot_code: str
    promise_code: str = ""
    grafter: str = ""
    method: Method = Method.WHIP_AND_TONGUE
    binding: Binding = Binding.STRETCH_FILM
    binding_on: bool = True
    binding_loosened: bool = False
    loosened_on: date | None = None
    first_place_code: str = ""
    place_code: str = ""
    placed_on: date | None = None
    position: str = ""
    seen_on: date | None = None
    scion: Scion = Scion.WAITING
    stock: StockState = StockState.ALIVE
    taken_on: date | None = None
    moved_on: date | None = None
    growing_since: date | None = None
    scion_died_on: date | None = None
    union_broke_on: date | None = None
    stock_died_on: date | None = None
    loss_cause: str = ""
    growth_mm: float = 0.0
    measured_on: date | None = None
    shoot_count: int = 0
    stock_shoots_off_on: date | None = None
    caned: bool = False
    caned_on: date | None = None
    pot_litres: float = 0.0
    potted_on: date | None = None
    damage: tuple[str, ...] = ()
    ready: bool | None = None
    graded_on: date | None = None
    height_m: float | None = None
    allocated_to: str = ""
    handed_over_on: date | None = None
    handed_over_to: str = ""
    planted_on: date | None = None
    union_height_mm: float | None = None
    doubts: tuple[str, ...] = ()
    interstem_bundle_code: str = ""
    autopsy: str = ""
    fruited_as: str = ""
    fruited_sure: HowSure | None = None
    carried_to: str = ""
    stock_shoot_kept_on: date | None = None
    cut_back_on: date | None = None
    hardening_since: date | None = None
    breaks_in: int | None = None
    earlier: tuple[Working, ...] = ()
    parts: tuple[Part, ...] = ()
    girth_mm: float | None = None
    girth_on: date | None = None

    def __reduce__(self) -> tuple[Callable[..., object], tuple[object, ...]]:
        """Travel to another process as one tuple, for there may be hundreds of thousands."""
        return travelling(self)

    @property
    def season(self) -> int:
        """The year of the spring in which its buds break; for most that of the grafting."""
        return self.breaks_in or self.grafted_on.year

    @property
    def is_budded(self) -> bool:
        """Whether it was worked with a bud that rests until the next spring."""
        return self.breaks_in is not None

    @property
    def is_alive(self) -> bool:
        """Whether it is still a tree: stock alive, scion not dead, union whole."""
        return (
            self.stock is StockState.ALIVE
            and self.scion is not Scion.DEAD
            and self.union_broke_on is None
        )

    @property
    def is_here(self) -> bool:
        """Whether it is alive and still in the nursery."""
        return self.is_alive and self.handed_over_on is None

    @property
    def has_taken(self) -> bool:
        """Whether the union is known to have been made."""
        return self.taken_on is not None

    @property
    def is_free_stock(self) -> bool:
        """Whether the scion is lost and the stock lives: it may be worked again."""
        gone = self.handed_over_on is not None or bool(self.carried_to)
        return self.stock is StockState.ALIVE and not self.is_alive and not gone


def cared_for(tree: Tree, entry: Entry) -> Tree | None:
    """Return the tree after an entry about place, judging, care, loss or promise; else None."""
    step = _STEPS.get(type(entry))
    return None if step is None else step(tree, entry)


def doubted(tree: Tree, words: str) -> Tree:
    """Return the tree with a doubt, each doubt once."""
    return tree if words in tree.doubts else changed(tree, doubts=(*tree.doubts, words))


def _placed(tree: Tree, entry: Entry) -> Tree:
    match entry:
        case TreeMoved():
            if entry.happened_on == tree.seen_on and tree.place_code not in ("", entry.place_code):
                tree = doubted(
                    tree, told("in two places on {happened_on}", happened_on=entry.happened_on)
                )
            return changed(
                tree,
                place_code=entry.place_code,
                placed_on=_placed_on(tree, entry.place_code, entry.happened_on),
                position=entry.position,
                seen_on=entry.happened_on,
            )
        case TreeSeen():
            place = entry.place_code or tree.place_code
            placed_on = _placed_on(tree, place, entry.happened_on)
            return changed(tree, place_code=place, placed_on=placed_on, seen_on=entry.happened_on)
        case _:
            return tree


def _placed_on(tree: Tree, place_code: str, on: date) -> date | None:
    return tree.placed_on if place_code == tree.place_code else on


def _judged(tree: Tree, entry: Entry) -> Tree:
    match entry:
        case BudsMoved():
            scion = Scion.MOVING if tree.scion in (Scion.WAITING, Scion.DOUBTFUL) else tree.scion
            return changed(tree, scion=scion, moved_on=tree.moved_on or entry.happened_on)
        case TakeJudged():
            return _after_judgement(tree, entry)
        case GrowthMeasured():
            tree = changed(
                tree,
                growth_mm=entry.growth_mm,
                measured_on=entry.happened_on,
                scion=Scion.GROWING if entry.growth_mm > 0 else tree.scion,
                growing_since=tree.growing_since or entry.happened_on,
            )
            enough = entry.growth_mm >= TAKEN_FROM_GROWTH_MM
            return changed(tree, taken_on=tree.taken_on or entry.happened_on) if enough else tree
        case Graded():
            return changed(
                tree,
                ready=entry.ready,
                graded_on=entry.happened_on,
                height_m=entry.height_m if entry.height_m is not None else tree.height_m,
            )
        case _:
            return tree


def _after_judgement(tree: Tree, entry: TakeJudged) -> Tree:
    if entry.stock is StockState.DEAD:
        return changed(
            tree,
            stock=StockState.DEAD,
            scion=Scion.DEAD,
            stock_died_on=tree.stock_died_on or entry.happened_on,
        )
    tree = changed(tree, scion=entry.scion, stock=StockState.ALIVE, stock_died_on=None)
    if entry.scion is Scion.DEAD:
        return changed(tree, scion_died_on=entry.happened_on)
    tree = changed(tree, scion_died_on=None, loss_cause="")
    if entry.scion is Scion.MOVING:
        return changed(tree, moved_on=tree.moved_on or entry.happened_on)
    if entry.scion is not Scion.GROWING:
        return tree
    since = tree.growing_since or entry.happened_on
    second = (entry.happened_on - since).days >= SECOND_CHECK_AFTER_DAYS
    taken_on = tree.taken_on or (entry.happened_on if second else None)
    return changed(tree, growing_since=since, taken_on=taken_on)


def _tended(tree: Tree, entry: Entry) -> Tree:
    match entry:
        case BindingLoosened():
            return changed(tree, binding_loosened=True, loosened_on=entry.happened_on)
        case BindingOff():
            return changed(tree, binding_on=False)
        case StockShootsOff():
            return changed(tree, stock_shoots_off_on=entry.happened_on)
        case ShootsThinned():
            return changed(tree, shoot_count=entry.to_count)
        case Caned():
            return changed(tree, caned=True, caned_on=entry.happened_on)
        case PottedOn():
            return changed(tree, pot_litres=entry.pot_litres, potted_on=entry.happened_on)
        case DamageNoted():
            tree = changed(tree, damage=(*tree.damage, english(entry.cause)))
            lost = entry.cause is Cause.LEADER_LOST
            # without its leader a tree needs one chosen and tied anew
            return changed(tree, shoot_count=0, caned=False, caned_on=None) if lost else tree
        case Planted():
            return changed(
                tree, planted_on=entry.happened_on, union_height_mm=entry.union_height_mm
            )
        case _:
            return tree


def _lost(tree: Tree, entry: Entry) -> Tree:
    match entry:
        case ScionDied():
            return changed(
                tree,
                scion=Scion.DEAD,
                scion_died_on=entry.happened_on,
                loss_cause=english(entry.cause),
            )
        case StockDied():
            return changed(
                tree,
                stock=StockState.DEAD,
                scion=Scion.DEAD,
                stock_died_on=entry.happened_on,
                loss_cause=english(entry.cause),
            )
        case UnionBroke():
            return changed(
                tree,
                union_broke_on=entry.happened_on,
                taken_on=tree.taken_on or entry.happened_on,
                loss_cause=english(entry.cause),
            )
        case _:
            return tree


def _promised(tree: Tree, entry: Entry) -> Tree:
    match entry:
        case TreeAllocated():
            taken = tree.allocated_to not in ("", entry.promise_code) and entry.promise_code != ""
            if taken:
                tree = doubted(
                    tree,
                    told(
                        "promised twice: {allocated_to} and {promise_code}",
                        allocated_to=tree.allocated_to,
                        promise_code=entry.promise_code,
                    ),
                )
            return changed(tree, allocated_to=entry.promise_code)
        case TreeHandedOver():
            if tree.handed_over_on is not None:
                tree = doubted(
                    tree,
                    told(
                        "handed over twice: {handed_over_on} and {happened_on}",
                        handed_over_on=tree.handed_over_on,
                        happened_on=entry.happened_on,
                    ),
                )
            return changed(
                tree,
                handed_over_on=tree.handed_over_on or entry.happened_on,
                handed_over_to=entry.to_whom or entry.promise_code,
                allocated_to=entry.promise_code or tree.allocated_to,
            )
        case _:
            return tree


_STEPS: dict[type[Entry], Callable[[Tree, Entry], Tree]] = {
    **dict.fromkeys((TreeMoved, TreeSeen), _placed),
    **dict.fromkeys((BudsMoved, TakeJudged, GrowthMeasured, Graded), _judged),
    **dict.fromkeys((BindingLoosened, BindingOff, StockShootsOff, ShootsThinned), _tended),
    **dict.fromkeys((Caned, PottedOn, DamageNoted, Planted), _tended),
    **dict.fromkeys((ScionDied, StockDied, UnionBroke), _lost),
    **dict.fromkeys((TreeAllocated, TreeHandedOver), _promised),
}
