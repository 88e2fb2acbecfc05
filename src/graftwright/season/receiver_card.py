"""The card that goes with exactly one tree: what its receiver needs, in plain words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.errors import GraftwrightError, UnknownCode
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.planting import (
    Catalogue,
    Crop,
    PartnerStrength,
    SelfFertility,
    TreeForm,
    Variety,
    flowering_window,
    partners,
    size_range,
    stake_advice,
    union_height_advice,
    variety_named,
)
from graftwright.season.card_spot import conditions_of, spot_of_tree
from graftwright.season.spot import distances_of
from graftwright.season.standing_names import own_catalogue
from graftwright.tongue import marked, month_name, say, told

_STONE_FRUIT = frozenset({Crop.PLUM, Crop.CHERRY, Crop.APRICOT, Crop.PEACH})
_MOST_PARTNERS = 4
# Months as in the north; common practice, no source. The south does the same half a year later.
_WORK = (
    (
        11,
        3,
        marked("plant bare roots while the tree is bare and the ground neither frozen nor flooded"),
    ),
    (4, 9, marked("water in dry weeks, the first two summers above all")),
    (
        4,
        4,
        marked("clear weeds and grass from a metre about the stem; mulch, not against the stem"),
    ),
    (3, 3, marked("look at tie and stake; loosen what cuts in")),
    (10, 10, marked("after a year, see that the union still stands clear: soil settles")),
)
_PRUNE_POME = (12, 2, marked("prune in frost-free weeks"))
_PRUNE_STONE = (6, 8, marked("prune in dry weather, never in winter"))

_ALONE = {
    SelfFertility.YES: marked("Sets fruit alone."),
    SelfFertility.PARTLY: marked("Sets some fruit alone, more with a partner."),
    SelfFertility.NO: marked("Needs pollen of another variety."),
    SelfFertility.SOURCES_DISAGREE: (
        marked("Sources disagree on whether it sets fruit alone: plan for a partner.")
    ),
    SelfFertility.NOT_KNOWN: marked(
        "Whether it sets fruit alone is not known: plan for a partner."
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthWork:
    """Some months, as named where the tree stands, and what is done in them."""

    months: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiverCard:
    """Everything the card says; whole sentences, each true of this tree alone."""

    code: str
    variety: str
    stock: str
    name_words: str
    nursery: str
    made_on: date
    size: str
    distance: str
    stake: str
    union: tuple[str, ...]
    partners: str
    months: tuple[MonthWork, ...]
    binding: str
    dies_back: str
    cautions: tuple[str, ...]
    ask: str


def receiver_card(
    code: str,
    *,
    notebook: Notebook,
    catalogue: Catalogue,
    today: date,
    form: TreeForm | None = None,
) -> ReceiverCard:
    """Return the card of one tree.

    With no form given it is that of the spot written down for its promise, else a bush.

    Raises
    ------
    UnknownCode
        If no tree bears the code.

    Source
    ------
    ClementsUnion, Crassweller for the union's height; the size names its own sources on the page.
    """
    tree = notebook.trees.get(code)
    if tree is None:
        raise UnknownCode(
            told("no tree bears the code {code}; expected a tree's code; read the tag", code=code)
        )
    own = own_catalogue(notebook, catalogue=catalogue)
    stock = notebook.stock_of(tree)
    name = notebook.variety_of(tree)
    variety = _variety_or_none(name, own)
    crop = variety.crop if variety else Crop.APPLE
    conditions = conditions_of(tree, spot=spot_of_tree(tree, notebook), variety=variety, form=form)
    size = size_range(stock or None, catalogue=own, crop=crop, conditions=conditions)
    return ReceiverCard(
        code=code,
        variety=variety.preferred_name if variety else name,
        stock=stock or say("stock not known"),
        name_words=_name_words(tree, notebook),
        nursery=notebook.nursery.name or say("the nursery"),
        made_on=today,
        size=told("Grows {sentence}.", sentence=size.sentence),
        distance=_sentence(
            told(
                "space: {distances}",
                distances=distances_of(
                    stock, form=conditions.form, size=size, catalogue=own
                ).sentence,
            )
        ),
        stake=stake_advice(stock or None, catalogue=own).sentence,
        union=(
            *_planted_words(tree),
            *union_height_advice(stock or None, catalogue=own).sentences,
        ),
        partners=_partner_words(variety, name, notebook, own),
        months=_months(variety, crop, notebook, own),
        binding=_binding_words(tree),
        dies_back=_dies_back(stock),
        cautions=_CAUTIONS,
        ask=(
            told(
                "Ask {nursery_name} and give the code {code}; it finds this tree, its "
                "sisters and where the wood came from.",
                nursery_name=notebook.nursery.name or say("the nursery"),
                code=code,
            )
        ),
    )


_CAUTIONS = (
    marked(
        "Moving plants may be ruled or banned where you live: ask the plant "
        "health authority before you send this tree across a border."
    ),
    marked("Lift the pot, never the stem, with a straight back; two people for a large one."),
)


def _planted_words(tree: Tree) -> tuple[str, ...]:
    if tree.union_height_mm is None:
        return ()
    if tree.union_height_mm <= 0.0:
        return (
            say("It was planted with its union in the soil: it may root there and grow large."),
        )
    return (
        told(
            "It was planted with its union {union_height_mm:.0f} mm above the soil.",
            union_height_mm=tree.union_height_mm,
        ),
    )


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _variety_or_none(name: str, catalogue: Catalogue) -> Variety | None:
    try:
        return variety_named(name, catalogue=catalogue)
    except GraftwrightError:
        return None


def _name_words(tree: Tree, notebook: Notebook) -> str:
    bundle = notebook.bundles.get(tree.bundle_code)
    mother = notebook.mother_trees.get(bundle.mother_tree_code) if bundle else None
    received = (
        told(" It came to us as {as_received}.", as_received=mother.as_received)
        if mother and mother.as_received
        else ""
    )
    return told(
        "Name of the variety: {certainty_of}.{received}",
        certainty_of=notebook.certainty_of(tree),
        received=received,
    )


def _binding_words(tree: Tree) -> str:
    if not tree.binding_on:
        return say("The binding at the union is off.")
    return told(
        "The {binding} at the union is still on: slit it down the side away "
        "from the cut before it pinches, this summer at the latest.",
        binding=tree.binding,
    )


def _dies_back(stock: str) -> str:
    root = stock or say("the stock")
    return told(
        "Shoots from below the union are {root}, not the variety: rub them "
        "off. If all above the union dies, keep one of them and ask us; it can "
        "be grafted again.",
        root=root,
    )


def _partner_words(
    variety: Variety | None, name: str, notebook: Notebook, catalogue: Catalogue
) -> str:
    if variety is None:
        return told(
            "Nothing is known of flowering partners for {name}: plant near other trees.", name=name
        )
    names = _other_names(variety, notebook, catalogue)
    found = partners(variety.key, others=names, catalogue=catalogue)
    good = [
        catalogue.variety(one.giver_key).preferred_name
        for one in found
        if one.strength in (PartnerStrength.SURE, PartnerStrength.LIKELY)
    ][:_MOST_PARTNERS]
    maybe = [
        catalogue.variety(one.giver_key).preferred_name
        for one in found
        if one.strength is PartnerStrength.POSSIBLE
    ][:_MOST_PARTNERS]
    return " ".join(_partner_sentences(variety, good, maybe))


def _partner_sentences(
    variety: Variety, good: Sequence[str], maybe: Sequence[str]
) -> tuple[str, ...]:
    alone = variety.self_fertility is SelfFertility.YES
    words = [_ALONE[variety.self_fertility]]
    if good:
        words.append(told("Flowers with {listed}.", listed=", ".join(good)))
    elif maybe:
        words.append(told("Perhaps with {listed}; not known for sure.", listed=", ".join(maybe)))
    elif not alone:
        words.append(say("None of ours is known to serve it: ask which trees stand near you."))
    if variety.is_triploid:
        words.append(say("It is triploid: it serves no other tree, so plant two partners."))
    return tuple(words)


def _other_names(variety: Variety, notebook: Notebook, catalogue: Catalogue) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for mother in notebook.mother_trees.values():
        other = _variety_or_none(mother.variety, catalogue)
        if other and other.crop is variety.crop and other.key != variety.key:
            found[other.key] = None
    return tuple(found)


def _months(
    variety: Variety | None, crop: Crop, notebook: Notebook, catalogue: Catalogue
) -> tuple[MonthWork, ...]:
    latitude_deg = notebook.nursery.latitude_deg
    is_south = latitude_deg is not None and latitude_deg < 0.0
    prune = _PRUNE_STONE if crop in _STONE_FRUIT else _PRUNE_POME
    rows = sorted([*_WORK, prune, *_flowering(variety, catalogue)], key=_from_november)
    return tuple(
        MonthWork(months=months_words(first, last, is_south=is_south), words=words)
        for first, last, words in rows
    )


def _from_november(row: tuple[int, int, str]) -> int:
    return (row[0] - 11) % 12


def _flowering(variety: Variety | None, catalogue: Catalogue) -> tuple[tuple[int, int, str], ...]:
    window = flowering_window(variety, catalogue=catalogue) if variety else None
    if window is None:
        return ()
    first, last = window.open_dates(2001)
    return (
        (first.month, last.month, say("in flower, by the lists; cover it when frost is forecast")),
    )


def months_words(first: int, last: int, *, is_south: bool) -> str:
    """Return a span of northern months by name, half a year later south of the equator.

    >>> months_words(11, 3, is_south=True)
    'May to September'
    """
    shift = 6 if is_south else 0
    names = [month_name((month - 1 + shift) % 12 + 1) for month in (first, last)]
    return (
        names[0]
        if first == last
        else told("{names} to {names_2}", names=names[0], names_2=names[1])
    )
