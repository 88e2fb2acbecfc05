"""A mother tree and a bundle of wood as they stand."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from graftwright.notebook.entries import (
    BundleChecked,
    BundleDiscarded,
    BundleMoved,
    Certainty,
    CertaintyJudged,
    Condition,
    EvidenceNoted,
    Health,
    HealthNoted,
    Method,
    MotherTreeEntered,
    NameDecided,
    PermissionRecorded,
    RescuePlanned,
    Reworked,
    RunGrafted,
    ShootsMeasured,
    StickMeasured,
    SticksMeasured,
    VarietyAdded,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import told

USUAL_BUDS_A_PIECE = 3
"""Buds on a usual piece (facts SW-003: at least three buds a stick)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MotherTree:
    """A tree that wood comes from; `names` are all it has borne, the last one counts."""

    code: str
    names: tuple[str, ...]
    as_received: str = ""
    certainty: Certainty = Certainty.UNKNOWN
    evidence: str = ""
    site: str = ""
    owner: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    pruning_booked: bool = False
    permission: bool | None = None
    permission_words: str = ""
    promised_back_count: int = 0
    health: Health | None = None
    health_words: str = ""
    shoot_length_mm: float | None = None
    shoot_thickness_mm: float | None = None
    shoot_count: int = 0
    evidence_found: tuple[EvidenceNoted, ...] = ()
    rescue: RescuePlanned | None = None
    doubts: tuple[str, ...] = ()

    @property
    def variety(self) -> str:
        """The name that counts today."""
        return self.names[-1]


def fold_mother_tree(code: str, written: Iterable[Written]) -> MotherTree | None:
    """Return the mother tree as its entries leave it; None if it was never entered."""
    tree: MotherTree | None = None
    for one in sorted(written, key=_entered_first):
        if isinstance(one.entry, MotherTreeEntered):
            tree = _entered(code, one.entry)
        elif tree is not None:
            tree = _known_better(tree, one.entry)
    return tree


def _entered_first(one: Written) -> bool:
    return not isinstance(one.entry, MotherTreeEntered)


def _entered(code: str, entry: MotherTreeEntered) -> MotherTree:
    return MotherTree(
        code=code,
        names=(entry.variety,),
        as_received=entry.as_received,
        certainty=entry.certainty,
        site=entry.site,
        owner=entry.owner,
        latitude_deg=entry.latitude_deg,
        longitude_deg=entry.longitude_deg,
        pruning_booked=entry.visit_on_pruning,
    )


def _known_better(tree: MotherTree, entry: Entry) -> MotherTree:
    match entry:
        case CertaintyJudged():
            return replace(tree, certainty=entry.certainty, evidence=entry.evidence)
        case NameDecided():
            return replace(tree, names=(*tree.names, entry.variety), evidence=entry.evidence)
        case PermissionRecorded():
            return replace(
                tree,
                owner=entry.owner,
                permission=entry.granted,
                permission_words=entry.words,
                promised_back_count=entry.promised_back_count,
            )
        case HealthNoted():
            return replace(tree, health=entry.health, health_words=entry.words)
        case ShootsMeasured():
            return replace(
                tree,
                shoot_length_mm=entry.shoot_length_mm,
                shoot_thickness_mm=entry.shoot_thickness_mm,
                shoot_count=entry.shoot_count,
            )
        case EvidenceNoted():
            return replace(tree, evidence_found=(*tree.evidence_found, entry))
        case RescuePlanned():
            return replace(tree, rescue=entry)
        case _:
            return tree


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """Sticks of one variety from one tree, and what became of them."""

    code: str
    variety: str
    cut_on: date
    mother_tree_code: str = ""
    from_whom: str = ""
    sticks: tuple[StickMeasured, ...] = ()
    place_code: str = ""
    packing: str = ""
    condition: Condition = Condition.FIRM
    checked_on: date | None = None
    used_count: int = 0
    spoilt_count: int = 0
    single_bud_count: int = 0
    discarded_on: date | None = None
    doubts: tuple[str, ...] = ()

    @property
    def bud_count(self) -> int:
        """All buds on the sticks as they were measured."""
        return sum(stick.bud_count for stick in self.sticks)

    @property
    def pieces_at_most(self) -> int:
        """Grafts it could still give if every piece had a single bud."""
        return max(0, self._whole_bud_count - self.used_count - self.spoilt_count)

    @property
    def pieces_left(self) -> int:
        """Usual pieces it still gives, by its count of buds."""
        usual = self._whole_bud_count // USUAL_BUDS_A_PIECE
        return max(0, usual - self.used_count - self.spoilt_count)

    @property
    def _whole_bud_count(self) -> int:
        """Buds not yet set one by one."""
        return self.bud_count - self.single_bud_count

    @property
    def is_in_store(self) -> bool:
        """Whether there is wood left to use."""
        return self.discarded_on is None and self.pieces_left > 0


def fold_bundle(code: str, written: Iterable[Written]) -> Bundle | None:
    """Return the bundle as its entries leave it; None if it was never cut or received."""
    story = list(written)
    cuts = [one for one in story if isinstance(one.entry, WoodCut) and one.entry.code == code]
    if not cuts:
        return None
    first = cuts[0].entry
    assert isinstance(first, WoodCut)
    bundle = Bundle(
        code=code,
        variety=first.variety,
        cut_on=first.happened_on,
        mother_tree_code=first.mother_tree_code,
        from_whom=first.from_whom,
        sticks=first.sticks,
        place_code=first.place_code,
        packing=first.packing,
    )
    if len(cuts) > 1:
        bundle = replace(bundle, doubts=(told("code {code} was given to two bundles", code=code),))
    for one in story:
        bundle = _kept(bundle, one.entry)
    if bundle.sticks and _used_in_all(bundle) > bundle.bud_count:
        used = bundle.used_count + bundle.single_bud_count
        words = told(
            "{used} pieces used from {bud_count} buds", used=used, bud_count=bundle.bud_count
        )
        bundle = replace(bundle, doubts=(*bundle.doubts, words))
    return bundle


def _used_in_all(bundle: Bundle) -> int:
    return bundle.used_count + bundle.spoilt_count + bundle.single_bud_count


def _kept(bundle: Bundle, entry: Entry) -> Bundle:
    match entry:
        case SticksMeasured():
            return replace(bundle, sticks=entry.sticks)
        case BundleChecked():
            return replace(bundle, condition=entry.condition, checked_on=entry.happened_on)
        case BundleMoved():
            return replace(bundle, place_code=entry.place_code)
        case BundleDiscarded():
            return replace(bundle, discarded_on=entry.happened_on)
        case RunGrafted() if entry.interstem_bundle_code == bundle.code != entry.bundle_code:
            return replace(bundle, used_count=bundle.used_count + len(entry.tree_codes))
        case Reworked() if entry.bundle_code == bundle.code:
            return _worked_again(bundle, entry)
        case VarietyAdded() if entry.bundle_code == bundle.code:
            return replace(bundle, used_count=bundle.used_count + len(entry.tree_codes))
        case RunGrafted() if entry.bundle_code == bundle.code:
            return replace(
                bundle,
                used_count=bundle.used_count + len(entry.tree_codes),
                spoilt_count=bundle.spoilt_count + entry.spoilt_count,
            )
        case _:
            return bundle


def _worked_again(bundle: Bundle, entry: Reworked) -> Bundle:
    count = len(entry.tree_codes)
    if entry.method in (Method.CHIP_BUD, Method.T_BUD):
        spent = count + entry.spoilt_count
        return replace(bundle, single_bud_count=bundle.single_bud_count + spent)
    return replace(
        bundle,
        used_count=bundle.used_count + count,
        spoilt_count=bundle.spoilt_count + entry.spoilt_count,
    )
