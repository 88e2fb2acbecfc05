"""Every shortage explained: what is missing, why, and what would mend it."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from graftwright.errors import Ambiguous, NotUnderstood
from graftwright.notebook.entries import Health
from graftwright.notebook.notebook import Notebook
from graftwright.planting import Catalogue, Compatibility, CompatibilityVerdict, verdict
from graftwright.season.dividing import Divided
from graftwright.season.material import StickInStore
from graftwright.season.naming import Names
from graftwright.season.planned import CuttingClose, LinePlan, Shortage, ShortOf
from graftwright.season.sharing import asked_count
from graftwright.tongue import say, told
from graftwright.wood import ShortReason

_CANNOT = (Compatibility.NEEDS_INTERSTEM, Compatibility.INCOMPATIBLE)


def known_verdict(variety: str, stock: str, *, catalogue: Catalogue) -> CompatibilityVerdict | None:
    """Return what is recorded of a variety on a stock; None if either is not in the catalogue."""
    try:
        return verdict(variety, stock, catalogue)
    except (NotUnderstood, Ambiguous):
        return None


def may_stand_on(recorded: CompatibilityVerdict | None) -> bool:
    """Say whether the pair is recorded as good."""
    return recorded is not None and recorded.compatibility is Compatibility.GOOD


def in_short(recorded: CompatibilityVerdict) -> str:
    """Return a verdict with its counts of sources, without their addresses."""
    counts = Counter(str(note.verdict) for note in recorded.notes)
    said = ", ".join(
        told("{count} say {word}", count=count, word=word) for word, count in counts.most_common()
    )
    return told(
        "{scion} on {rootstock}: {compatibility} ({said})",
        scion=recorded.scion,
        rootstock=recorded.rootstock,
        compatibility=recorded.compatibility,
        said=said,
    )


def unfit(line: LinePlan, *, catalogue: Catalogue) -> Shortage | None:
    """Return why this variety should not stand directly on this stock, or None."""
    found = known_verdict(line.variety, line.stock, catalogue=catalogue)
    if found is None or found.compatibility not in _CANNOT:
        return None
    between = ", ".join(one.variety for one in found.interstems[:3])
    way_out = (
        told("put a piece of {between} between the two, or choose another stock", between=between)
        if between
        else say("choose another stock; no piece to put between is on record")
    )
    return Shortage(
        short_of=ShortOf.COMPATIBILITY,
        promise_code=line.promise_code,
        missing_count=line.graft_count - line.made_count,
        words=found.sentence,
        way_out=way_out,
    )


def without_wood(
    line: LinePlan, *, sticks: Sequence[StickInStore], notebook: Notebook, names: Names
) -> Shortage | None:
    """Return the shortage of a line whose variety has no stick in store, or None."""
    if any(found.stick.variety == line.variety for found in sticks):
        return None
    missing = line.graft_count - line.made_count
    held = _held_back(line.variety, notebook, names)
    mothers = [
        m for m in notebook.mother_trees.values() if names.variety(m.variety) == line.variety
    ]
    if held:
        return Shortage(
            short_of=ShortOf.PERMISSION,
            promise_code=line.promise_code,
            missing_count=missing,
            words=held,
            way_out=say("ask the owner again, or find another mother tree"),
        )
    places = ", ".join(
        told("{m_code} at {site}", m_code=m.code, site=m.site or say("a place not named"))
        for m in mothers[:3]
    )
    return Shortage(
        short_of=ShortOf.BUNDLE,
        promise_code=line.promise_code,
        missing_count=missing,
        words=told("no wood of {variety} is in store", variety=line.variety),
        way_out=(
            told("cut from mother tree {places} before the wood wakes", places=places)
            if places
            else say("find a mother tree and write it down, or ask for the second choice")
        ),
    )


def _held_back(variety: str, notebook: Notebook, names: Names) -> str:
    for bundle in notebook.bundles.values():
        mother = notebook.mother_trees.get(bundle.mother_tree_code)
        if mother is None or names.variety(mother.variety) != variety:
            continue
        if mother.permission is False:
            return told(
                "wood of {variety} came from {mother_code}, whose owner has not agreed",
                variety=variety,
                mother_code=mother.code,
            )
        if mother.health == Health.DISEASED:
            return told(
                "wood of {variety} came from {mother_code}, which is noted as diseased",
                variety=variety,
                mother_code=mother.code,
            )
    return ""


def from_division(
    divided: Divided, *, lines: Sequence[LinePlan], notebook: Notebook, names: Names
) -> Iterable[Shortage]:
    """Yield what the division of the sticks and the pairing left unserved."""
    short_by_code = {short.order_name: short for short in divided.first_short}
    short_by_code |= {short.order_name: short for short in divided.paired.cut_plan.orders_short}
    planned = Counter(join.promise_code for join in divided.paired.joins)
    for line in lines:
        missing = asked_count(line) - planned[line.promise_code]
        if missing > 0:
            short = short_by_code.get(line.promise_code)
            reason = short.reason if short else ShortReason.NO_WOOD
            short_of, words, way_out = _reason(reason, line, planned[line.promise_code])
            yield Shortage(
                short_of=short_of,
                promise_code=line.promise_code,
                missing_count=missing,
                words=words,
                way_out=_way_out(short_of, way_out, line, divided, notebook, names),
            )


def _way_out(
    short_of: ShortOf,
    usual: str,
    line: LinePlan,
    divided: Divided,
    notebook: Notebook,
    names: Names,
) -> str:
    more = divided.stocks_if_wood.get(line.stock, 0)
    if short_of is ShortOf.STOCKS and not _is_offered(line.stock, notebook, names):
        return told(
            "no offer of {stock} is written down: ask a supplier, or choose another stock",
            stock=line.stock,
        )
    if short_of is ShortOf.WOOD and more:
        return told(
            "{usual}; with the wood, order {more} more {stock}",
            usual=usual,
            more=more,
            stock=line.stock,
        )
    return usual


def in_season(short: Shortage, *, close: CuttingClose, today: date) -> Shortage:
    """Return the shortage with the way out that is left once the buds have moved outdoors."""
    late = close.closes.late_on
    if short.short_of not in (ShortOf.WOOD, ShortOf.BUNDLE) or late is None or today <= late:
        return short
    return replace(
        short,
        way_out=say("the buds have moved outdoors: bud the rest in summer, or cut next winter"),
    )


def _is_offered(stock: str, notebook: Notebook, names: Names) -> bool:
    return any(lot.is_offer and names.stock(lot.stock) == stock for lot in notebook.lots.values())


def _reason(reason: ShortReason, line: LinePlan, got: int) -> tuple[ShortOf, str, str]:
    served = told("{got} of {asked_count} grafts", got=got, asked_count=asked_count(line))
    if reason in (ShortReason.NO_WOOD, ShortReason.HELD_IN_RESERVE):
        return (
            ShortOf.WOOD,
            told(
                "the sticks of {variety} in store give {served}",
                variety=line.variety,
                served=served,
            ),
            say("cut more wood, allow two-bud pieces, or bud the rest in summer"),
        )
    if reason is ShortReason.NO_STOCK:
        return (
            ShortOf.STOCKS,
            told("stocks of {stock} suffice for {served}", stock=line.stock, served=served),
            say(
                "order another bundle, or lower the sureness of a promise that comes after this one"
            ),
        )
    return (
        ShortOf.THICKNESS,
        told(
            "pieces of {variety} fit the stocks of {stock} for {served}; the rest "
            "of the wood is thicker or far thinner than the stocks",
            variety=line.variety,
            stock=line.stock,
            served=served,
        ),
        say("order another grade, or use a cleft or side graft where the scion is much thinner"),
    )
