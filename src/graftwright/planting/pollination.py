"""Whether a whole planting sets fruit, and the fewest varieties that would make it do so."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from graftwright.errors import NoPlan
from graftwright.planting.bloom import FloweringPosition, flowering_positions
from graftwright.planting.catalogue import Catalogue, variety_named
from graftwright.planting.cover import fewest_that_serve
from graftwright.planting.pollen import (
    STRENGTHS_RISING,
    PartnerStrength,
    PartnerVerdict,
    partner_verdict,
)
from graftwright.planting.reports import SelfFertility
from graftwright.planting.springs import FloweringSprings
from graftwright.planting.variety import Variety
from graftwright.tongue import Choice, marked, say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantedTree:
    """A tree on the spot, or a neighbour's whose pollen reaches it."""

    variety: str
    is_neighbours: bool = False


class FruitSetting(Choice):
    """What a tree may be expected to do."""

    SETS_ALONE = "sets fruit alone"
    HAS_PARTNER = "has a partner"
    DOUBTFUL = "doubtful"
    NO_PARTNER = "has no partner"


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeOutlook:
    """Whether one tree sets fruit where it stands, and on whose pollen."""

    variety_key: str
    variety: str
    setting: FruitSetting
    partners: tuple[PartnerVerdict, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantingReport:
    """The whole planting, tree by tree; the neighbours' trees give pollen and are not judged."""

    trees: tuple[TreeOutlook, ...]
    sentences: tuple[str, ...]

    @property
    def sets_fruit(self) -> bool:
        """Whether every tree sets alone or has a partner that can be counted on."""
        settled = {FruitSetting.SETS_ALONE, FruitSetting.HAS_PARTNER}
        return all(tree.setting in settled for tree in self.trees)


@dataclass(frozen=True, slots=True, kw_only=True)
class Additions:
    """The fewest varieties to add so that every tree, and every addition, has its partner."""

    variety_keys: tuple[str, ...]
    varieties: tuple[str, ...]
    sentence: str


def planting_report(
    trees: Sequence[PlantedTree],
    *,
    catalogue: Catalogue,
    has_many_trees_near: bool = False,
    springs: FloweringSprings | None = None,
) -> PlantingReport:
    """Judge a whole planting, not pairs: every tree needs pollen from another that gives it.

    Parameters
    ----------
    trees
        The trees to plant or standing there, and the neighbours' trees that bees reach.
    has_many_trees_near
        Whether many gardens with trees of the crop lie about; said aloud, never counted on.
    springs
        The flowering of the place, spring by spring, where it was worked out; else the lists' days.

    Raises
    ------
    NotUnderstood, Ambiguous
        If a name is not in the catalogue, or there more than once.
    """
    known = [variety_named(tree.variety, catalogue=catalogue) for tree in trees]
    positions = flowering_positions(known, catalogue=catalogue)
    own = [v for v, tree in zip(known, trees, strict=True) if not tree.is_neighbours]
    outlooks = tuple(_outlook(variety, _distinct(known), positions, springs) for variety in own)
    near = (say("Many trees stand about: the worry is small."),) if has_many_trees_near else ()
    return PlantingReport(
        trees=outlooks, sentences=(*(outlook.sentence for outlook in outlooks), *near)
    )


def fewest_additions(
    trees: Sequence[PlantedTree],
    *,
    candidates: Sequence[str],
    catalogue: Catalogue,
    at_least: PartnerStrength = PartnerStrength.LIKELY,
    springs: FloweringSprings | None = None,
) -> Additions:
    """Find the fewest candidates after whose planting every own tree has a partner.

    An added tree needs a partner too; so a triploid's partner brings a second one if nothing
    else serves it. Among equally few, those that serve the most trees most surely are taken.
    Solved exactly as an integer programme.

    Raises
    ------
    NoPlan
        If no choice of the candidates is enough; the message names the trees left without.
    """
    known = [variety_named(tree.variety, catalogue=catalogue) for tree in trees]
    own = _distinct([v for v, t in zip(known, trees, strict=True) if not t.is_neighbours])
    choices = _choices(candidates, own=own, catalogue=catalogue)
    givers = _distinct(known)
    positions = flowering_positions([*givers, *choices], catalogue=catalogue)
    cover = _Cover(own, givers, choices, positions, at_least, springs)
    chosen = cover.solved()
    names = tuple(variety.preferred_name for variety in chosen)
    sentence = (
        told("Add {listed}.", listed=", ".join(names)) if names else say("Nothing needs adding.")
    )
    return Additions(variety_keys=tuple(v.key for v in chosen), varieties=names, sentence=sentence)


def _distinct(varieties: Sequence[Variety]) -> tuple[Variety, ...]:
    return tuple({variety.key: variety for variety in varieties}.values())


def _choices(
    candidates: Sequence[str], *, own: Sequence[Variety], catalogue: Catalogue
) -> tuple[Variety, ...]:
    """The candidates that are not on the spot yet; a neighbour's variety may be planted too."""
    standing = {variety.key for variety in own}
    named = [variety_named(name, catalogue=catalogue) for name in candidates]
    return tuple(variety for variety in _distinct(named) if variety.key not in standing)


def _outlook(
    receiver: Variety,
    givers: Sequence[Variety],
    positions: Mapping[str, FloweringPosition],
    springs: FloweringSprings | None,
) -> TreeOutlook:
    verdicts = [
        partner_verdict(receiver, giver, positions=positions, springs=springs)
        for giver in givers
        if giver.key != receiver.key and giver.crop is receiver.crop
    ]
    ranked = tuple(sorted(verdicts, key=lambda found: -STRENGTHS_RISING.index(found.strength)))
    setting = _setting(receiver, ranked)
    names = {giver.key: giver.preferred_name for giver in givers}
    return TreeOutlook(
        variety_key=receiver.key,
        variety=receiver.preferred_name,
        setting=setting,
        partners=ranked,
        sentence=_sentence(receiver, setting, ranked, names),
    )


def _setting(receiver: Variety, ranked: Sequence[PartnerVerdict]) -> FruitSetting:
    best = ranked[0].strength if ranked else PartnerStrength.NONE
    if best in {PartnerStrength.SURE, PartnerStrength.LIKELY}:
        return FruitSetting.HAS_PARTNER
    if receiver.self_fertility is SelfFertility.YES:
        return FruitSetting.SETS_ALONE
    if best is PartnerStrength.POSSIBLE:
        return FruitSetting.DOUBTFUL
    return FruitSetting.NO_PARTNER


_ALONE = {
    SelfFertility.PARTLY: marked(" It may set some fruit alone."),
    SelfFertility.SOURCES_DISAGREE: marked(" Sources disagree on whether it sets fruit alone."),
}


def _sentence(
    receiver: Variety,
    setting: FruitSetting,
    ranked: Sequence[PartnerVerdict],
    names: Mapping[str, str],
) -> str:
    serving = [found for found in ranked if found.strength is not PartnerStrength.NONE]
    listed = "; ".join(f"{names[found.giver_key]}, {found.strength}" for found in serving)
    words = f"{receiver.preferred_name}: {setting}{f' ({listed})' if listed else ''}."
    if setting is FruitSetting.NO_PARTNER:
        nobody = told("No other variety of {crop} stands here.", crop=receiver.crop)
        words = f"{words} {ranked[0].reasons[0] if ranked else nobody}"
        words += _ALONE.get(receiver.self_fertility, "")
    triploid = say(" It is triploid and serves no other tree.") if receiver.is_triploid else ""
    return f"{words}{triploid}"


class _Cover:
    """The integer programme: which candidates to plant so that nobody is left without."""

    def __init__(
        self,
        own: Sequence[Variety],
        givers: Sequence[Variety],
        choices: Sequence[Variety],
        positions: Mapping[str, FloweringPosition],
        at_least: PartnerStrength,
        springs: FloweringSprings | None,
    ) -> None:
        self.choices = tuple(choices)
        self.positions = positions
        self.springs = springs
        self.least = STRENGTHS_RISING.index(at_least)
        self.grades: dict[tuple[str, str], int] = {}
        self.needy = tuple(v for v in own if v.self_fertility is not SelfFertility.YES)
        self.unserved = tuple(v for v in self.needy if not self._any_serves(givers, v))
        self.givers = givers

    def solved(self) -> tuple[Variety, ...]:
        """Give the best choice; raises NoPlan if there is none."""
        if not self.unserved:
            return ()
        places = fewest_that_serve(
            merits=self._merits(),
            servers=[self._servers_of(receiver) for receiver in self.unserved],
            dependants=[self._servers_needed_by(choice) for choice in self.choices],
        )
        if places is None:
            raise self._no_plan()
        return tuple(self.choices[place] for place in places)

    def _any_serves(self, givers: Sequence[Variety], receiver: Variety) -> bool:
        return any(self._grade(receiver, giver) >= self.least for giver in givers)

    def _grade(self, receiver: Variety, giver: Variety) -> int:
        pair = (receiver.key, giver.key)
        if pair not in self.grades:
            found = partner_verdict(receiver, giver, positions=self.positions, springs=self.springs)
            self.grades[pair] = STRENGTHS_RISING.index(found.strength)
        return self.grades[pair]

    def _merits(self) -> list[float]:
        """How surely each candidate serves the own trees; earlier candidates win ties."""
        count = len(self.choices)
        return [
            sum(self._grade(receiver, choice) for receiver in self.needy)
            + (count - place) / (count + 1) ** 2
            for place, choice in enumerate(self.choices)
        ]

    def _servers_of(self, receiver: Variety) -> list[bool]:
        return [self._grade(receiver, choice) >= self.least for choice in self.choices]

    def _servers_needed_by(self, choice: Variety) -> list[bool] | None:
        """Which other candidates would serve an added tree; None if it needs none of them."""
        sets_alone = choice.self_fertility is SelfFertility.YES
        if sets_alone or self._any_serves(self.givers, choice):
            return None
        return self._servers_of(choice)

    def _no_plan(self) -> NoPlan:
        names = ", ".join(variety.preferred_name for variety in self.unserved)
        return NoPlan(
            told(
                "no choice of the {count} candidates gives {names} a partner; expected "
                "one that flowers with them and gives good pollen; name more "
                "candidates or accept weaker partners",
                count=len(self.choices),
                names=names,
            )
        )
