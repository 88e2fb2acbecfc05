"""Every table's columns and where they come from; what is stated twice is stated in one table."""

from collections.abc import Mapping

from graftwright.exchange.column import (
    THE_CODES,
    THE_DOUBTS,
    THE_KEY,
    Column,
    derived,
    of_entry,
    stated,
)
from graftwright.exchange.columns_of_material import (
    BUNDLES,
    LOTS,
    MOTHER_TREES,
    PLACES,
    PROMISES,
    STICKS,
)
from graftwright.tongue import marked

_RUN = derived(
    marked("the run or the later working that the tree comes from"),
    marked("change the run in the table runs, or correct the entry on the tree’s page"),
)
_NAMES = derived(
    marked("the mother tree, the bundle and the lot"),
    marked("change it in the tables mother_trees, bundles or lots"),
)
_STORY = derived(
    marked("the tree’s whole story"),
    marked("write down what happened, or correct the entry, on the tree’s page"),
)
_SET_ASIDE = derived(
    marked("trees set aside and handed over"), marked("set trees aside on the promise’s page")
)
_FROM_RUN = ("run_id", "grafted_on", "bundle_code", "lot_code", "promise_code", "grafter", "method")
_FOLLOWS = ("binding_on", "binding_loosened", "placed_on", "stock", "taken_on", "moved_on")
_ON_FROM_STORY = ("growing_since", "caned", "damage", "autopsy", "carried_to", "earlier", "parts")
_GIRTHS = ("girth_mm", "girth_on")

TREES: Mapping[str, Column] = {
    "code": THE_KEY,
    **dict.fromkeys(("variety", "stock_name", "certainty"), _NAMES),
    **dict.fromkeys((*_FROM_RUN, "binding", "first_place_code", "interstem_bundle_code"), _RUN),
    **dict.fromkeys((*_FOLLOWS, *_ON_FROM_STORY, *_GIRTHS), _STORY),
    "loosened_on": stated("BindingLoosened.happened_on"),
    "place_code": stated("TreeMoved.place_code", "TreeSeen.place_code"),
    "position": stated("TreeMoved.position"),
    "seen_on": stated("TreeSeen.happened_on", "TreeMoved.happened_on"),
    "scion": stated("TakeJudged.scion"),
    "scion_died_on": stated("ScionDied.happened_on", "TakeJudged.happened_on"),
    "union_broke_on": stated("UnionBroke.happened_on"),
    "stock_died_on": stated("StockDied.happened_on"),
    "loss_cause": stated("ScionDied.cause", "StockDied.cause", "UnionBroke.cause"),
    "growth_mm": stated("GrowthMeasured.growth_mm"),
    "measured_on": stated("GrowthMeasured.happened_on"),
    "shoot_count": stated("ShootsThinned.to_count"),
    "stock_shoots_off_on": stated("StockShootsOff.happened_on"),
    "caned_on": stated("Caned.happened_on"),
    "pot_litres": stated("PottedOn.pot_litres"),
    "potted_on": stated("PottedOn.happened_on"),
    "ready": stated("Graded.ready"),
    "graded_on": stated("Graded.happened_on"),
    "height_m": stated("Graded.height_m"),
    "allocated_to": _SET_ASIDE,
    "handed_over_on": stated("TreeHandedOver.happened_on"),
    "handed_over_to": stated("TreeHandedOver.to_whom"),
    "planted_on": stated("Planted.happened_on"),
    "union_height_mm": stated("Planted.union_height_mm"),
    "doubts": THE_DOUBTS,
    "fruited_as": stated("FruitedAs.variety"),
    "fruited_sure": stated("FruitedAs.how_sure"),
    "stock_shoot_kept_on": stated("StockShootKept.happened_on"),
    "cut_back_on": stated("StockCutBack.happened_on"),
    "hardening_since": stated("HardeningBegun.happened_on"),
    "breaks_in": stated("Reworked.breaks_in"),
}

_MOVED = derived(
    marked("the entries about wood, stocks and trees that came, went or were moved"),
    marked("change it in the table of the thing, or correct the entry on its page"),
)
_IN_THE_LINE = derived(
    marked("the entry’s own line"),
    marked("change it in the table of the thing, or correct the entry on its page"),
)

COLUMNS: Mapping[str, Mapping[str, Column]] = {
    "promises": PROMISES,
    "mother_trees": MOTHER_TREES,
    "bundles": BUNDLES,
    "sticks": STICKS,
    "lots": LOTS,
    "places": PLACES,
    "trees": TREES,
    "results": of_entry("EarlierResultsCounted", ("happened_at",)) | {"entry_id": THE_KEY},
    "materials": of_entry("MaterialCounted", ("happened_at",)) | {"entry_id": THE_KEY},
    "runs": of_entry("RunGrafted") | {"entry_id": THE_KEY, "tree_codes": THE_CODES},
    "movements": dict.fromkeys(
        ("day", "way", "what", "how_many", "from_or_to", "codes", "written_by"), _MOVED
    ),
    "entries": dict.fromkeys(
        ("entry_id", "kind", "happened_on", "written_at", "written_by", "device", "nursery"),
        _IN_THE_LINE,
    ),
}

KEYS: Mapping[str, tuple[str, ...]] = {
    "sticks": ("bundle_code", "number"),
    "movements": (),
    **dict.fromkeys(("results", "materials", "runs", "entries"), ("entry_id",)),
}
"""The columns by which a row is known again, where it is not its code."""
