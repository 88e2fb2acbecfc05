"""The columns about promises, mother trees, wood, stocks and places, and where they come from."""

from collections.abc import Mapping

from graftwright.exchange.column import THE_DOUBTS, THE_KEY, Column, derived, stated
from graftwright.tongue import marked

_SET_ASIDE = derived(
    marked("trees set aside and handed over"), marked("set trees aside on the promise’s page")
)
_FROM_RUNS = derived(
    marked("the runs at the bench and later workings"),
    marked("change the run in the table runs, or correct the entry on the thing’s page"),
)
_KNOWN_BY = ("who", "variety", "stock", "wanted_count", "sureness_fraction", "priority")
_STICK = ("length_mm", "base_mm", "tip_mm", "bud_count", "buds_mm")

PROMISES: Mapping[str, Column] = {
    "code": THE_KEY,
    **{
        name: stated(f"PromiseChanged.{name}", f"PromiseMade.{name}")
        for name in (*_KNOWN_BY, "due_on", "second_choice", "spot")
    },
    "made_on": stated("PromiseMade.happened_on"),
    "allocated_codes": _SET_ASIDE,
    "handed_over_codes": _SET_ASIDE,
    "withdrawn_on": stated("PromiseWithdrawn.happened_on"),
    "doubts": THE_DOUBTS,
}

MOTHER_TREES: Mapping[str, Column] = {
    "code": THE_KEY,
    "names": stated("MotherTreeEntered.variety", "NameDecided.variety", in_turn=True),
    "as_received": stated("MotherTreeEntered.as_received"),
    "certainty": stated("CertaintyJudged.certainty", "MotherTreeEntered.certainty"),
    "evidence": stated("CertaintyJudged.evidence", "NameDecided.evidence"),
    "site": stated("MotherTreeEntered.site"),
    "owner": stated("PermissionRecorded.owner", "MotherTreeEntered.owner"),
    "latitude_deg": stated("MotherTreeEntered.latitude_deg"),
    "longitude_deg": stated("MotherTreeEntered.longitude_deg"),
    "pruning_booked": stated("MotherTreeEntered.visit_on_pruning"),
    "permission": stated("PermissionRecorded.granted"),
    "permission_words": stated("PermissionRecorded.words"),
    "promised_back_count": stated("PermissionRecorded.promised_back_count"),
    "health": stated("HealthNoted.health"),
    "health_words": stated("HealthNoted.words"),
    **{
        name: stated(f"ShootsMeasured.{name}")
        for name in ("shoot_length_mm", "shoot_thickness_mm", "shoot_count")
    },
    "evidence_found": stated("EvidenceNoted.", in_turn=True),
    "rescue": stated("RescuePlanned."),
    "doubts": THE_DOUBTS,
}

BUNDLES: Mapping[str, Column] = {
    "code": THE_KEY,
    "variety": stated("WoodCut.variety"),
    "cut_on": stated("WoodCut.happened_on"),
    "mother_tree_code": stated("WoodCut.mother_tree_code"),
    "from_whom": stated("WoodCut.from_whom"),
    "place_code": stated("BundleMoved.place_code", "WoodCut.place_code"),
    "packing": stated("WoodCut.packing"),
    "condition": stated("BundleChecked.condition"),
    "checked_on": stated("BundleChecked.happened_on"),
    "used_count": _FROM_RUNS,
    "spoilt_count": _FROM_RUNS,
    "single_bud_count": _FROM_RUNS,
    "discarded_on": stated("BundleDiscarded.happened_on"),
    "doubts": THE_DOUBTS,
}

STICKS: Mapping[str, Column] = {
    "bundle_code": THE_KEY,
    "number": THE_KEY,
    **{name: stated("SticksMeasured.sticks", "WoodCut.sticks") for name in _STICK},
}

LOTS: Mapping[str, Column] = {
    "code": THE_KEY,
    "grade": stated("StocksArrived.grade", "StocksOffered.grade"),
    "supplier": stated("StocksArrived.supplier", "StocksOffered.supplier"),
    "lot_size_count": stated("StocksOffered.lot_size_count"),
    "price_per_lot": stated("StocksOffered.price_per_lot"),
    "available_count": stated("StocksOffered.available_count"),
    "offered_on": stated("StocksOffered.happened_on"),
    "asked_count": stated("StocksAsked.asked_count"),
    "confirmed_count": stated("StocksConfirmed.confirmed_count"),
    "arrived_count": stated("StocksArrived.arrived_count"),
    "arrived_on": stated("StocksArrived.happened_on"),
    "carried_over": stated("StocksArrived.carried_over"),
    "price_each": stated("StocksArrived.price_each"),
    "place_code": stated("StocksArrived.place_code"),
    "diameters_mm": stated("StocksMeasured.diameters_mm"),
    "waking": stated("StocksChecked.waking"),
    "checked_on": stated("StocksChecked.happened_on"),
    "lost_count": stated("StocksLost.lost_count"),
    "used_count": _FROM_RUNS,
    "doubts": THE_DOUBTS,
}

PLACES: Mapping[str, Column] = {
    "code": THE_KEY,
    **{
        name: stated(f"PlaceEntered.{name}")
        for name in ("name", "place_kind", "capacity_count", "walking_order")
    },
    "low_c": stated("PlaceLimitsSet.low_c"),
    "high_c": stated("PlaceLimitsSet.high_c"),
    "watered_on": stated("PlaceWatered.happened_on"),
}
