"""A tree as it stands, in words: scion and stock each for itself, never more than is known."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import Scion, StockState
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.notebook.standing.tree import TAKEN_FROM_GROWTH_MM
from graftwright.season.grouped_trees import trees_by_run
from graftwright.tongue import say, told
from graftwright.web.templatetags.trade import day as day_words


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A state in words, and whether it is good news, bad news or neither."""

    head: str
    more: str = ""
    is_alive: bool = False
    needs_care: bool = False


def scion_words(tree: Tree) -> Words:
    """Return how the scion stands."""
    if tree.union_broke_on is not None:
        more = told(
            "it had taken; broken on {day_words}{cause}",
            day_words=day_words(tree.union_broke_on),
            cause=_cause(tree),
        )
        return Words(head=say("broken off"), more=more, needs_care=True)
    if tree.stock is StockState.DEAD:
        return Words(head=say("dead"), more=say("it died with its stock"), needs_care=True)
    match tree.scion:
        case Scion.WAITING:
            return Words(
                head=say("waiting"), more=say("no bud has been seen moving; waiting is not dead")
            )
        case Scion.MOVING:
            since = (
                told("since {day_words}; ", day_words=day_words(tree.moved_on))
                if tree.moved_on
                else ""
            )
            return Words(
                head=say("moving"),
                more=told("{since}leaves alone are no take", since=since),
                is_alive=True,
            )
        case Scion.DOUBTFUL:
            return Words(head=say("doubtful"), more=say("not given up"), needs_care=True)
        case Scion.DEAD:
            on = (
                told("since {day_words}", day_words=day_words(tree.scion_died_on))
                if tree.scion_died_on
                else ""
            )
            return Words(head=say("dead"), more=f"{on}{_cause(tree)}", needs_care=True)
        case _:
            return _growing(tree)


def _growing(tree: Tree) -> Words:
    grown = told("{growth_mm:g} mm of new growth", growth_mm=tree.growth_mm)
    measured = (
        told("{grown} on {day_words}; ", grown=grown, day_words=day_words(tree.measured_on))
        if tree.measured_on
        else ""
    )
    if tree.taken_on is not None:
        return Words(
            head=say("growing, taken"),
            more=told(
                "{measured}the take has counted since {day_words}",
                measured=measured,
                day_words=day_words(tree.taken_on),
            ),
            is_alive=True,
        )
    limit = told(
        "a take counts from {TAKEN_FROM_GROWTH_MM:g} mm or a second look three weeks on",
        TAKEN_FROM_GROWTH_MM=TAKEN_FROM_GROWTH_MM,
    )
    return Words(head=say("growing, not yet a take"), more=f"{measured}{limit}", is_alive=True)


def stock_words(tree: Tree) -> Words:
    """Return how the stock stands."""
    if tree.stock is StockState.ALIVE:
        more = say("free to be worked again") if tree.is_free_stock else ""
        return Words(head=say("alive"), more=more, is_alive=True)
    on = (
        told("since {day_words}", day_words=day_words(tree.stock_died_on))
        if tree.stock_died_on
        else ""
    )
    return Words(
        head=say("dead"),
        more=told("{on}{cause}; no fault of the grafter", on=on, cause=_cause(tree)),
        needs_care=True,
    )


def _cause(tree: Tree) -> str:
    return told(", cause: {cause}", cause=say(tree.loss_cause)) if tree.loss_cause else ""


def binding_words(tree: Tree) -> str:
    """Return how the binding stands."""
    if not tree.binding_on:
        return say("taken off")
    state = say("loosened") if tree.binding_loosened else say("still on")
    return f"{tree.binding}, {state}"


def state_in_short(tree: Tree) -> Words:
    """Return the state as a list shows it."""
    if tree.handed_over_on is not None:
        return Words(
            head=told(
                "handed over to {handed_over_to}",
                handed_over_to=tree.handed_over_to or say("somebody"),
            )
        )
    if tree.stock is StockState.DEAD:
        return Words(head=say("stock dead"), needs_care=True)
    if tree.ready and tree.is_alive:
        return Words(head=say("fit to hand over"), is_alive=True)
    return scion_words(tree)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """How the grafts of the same run have come on, this one among them."""

    whole_count: int
    moved_count: int
    dead_count: int

    @property
    def words(self) -> str:
        """The batch in one sentence."""
        lost = (
            told(", {dead_count} are lost", dead_count=self.dead_count) if self.dead_count else ""
        )
        return told(
            "Of {whole_count} grafts of its run {moved_count} have moved{lost}.",
            whole_count=self.whole_count,
            moved_count=self.moved_count,
            lost=lost,
        )


def batch_of(tree: Tree, notebook: Notebook) -> Batch:
    """Return the grafts made in the same run."""
    mates = trees_by_run(notebook.trees)[str(tree.run_id)]
    return Batch(
        whole_count=len(mates),
        moved_count=sum(_has_moved(mate) for mate in mates),
        dead_count=sum(not mate.is_alive for mate in mates),
    )


def _has_moved(tree: Tree) -> bool:
    return tree.moved_on is not None or tree.growing_since is not None or tree.has_taken


def living(trees: Iterable[Tree]) -> tuple[Tree, ...]:
    """Return the trees that are alive and still here."""
    return tuple(tree for tree in trees if tree.is_here)


def age_words(tree: Tree, *, today: date) -> str:
    """Return how long ago it was grafted."""
    days = (today - tree.grafted_on).days
    if days < 120:
        return (
            say("today")
            if days == 0
            else told("{days} days ago", days=days)
            if days != 1
            else say("yesterday")
        )
    return told("{days} months ago", days=round(days / 30.44))
