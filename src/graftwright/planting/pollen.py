"""Whether one variety's pollen can set fruit on another: alleles, ploidy and days together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from graftwright.planting.bloom import FLOWERING_DAYS, FloweringPosition, flowering_positions
from graftwright.planting.catalogue import Catalogue, variety_named
from graftwright.planting.reports import Crop
from graftwright.planting.springs import FloweringSprings, TogetherSprings
from graftwright.planting.variety import Variety
from graftwright.tongue import Choice, capital, say, told

# Two lists that put varieties in neighbouring groups count them as partners, two groups apart not:
# with seven groups the former share eight days on average and the latter four.
_ENOUGH_OVERLAP_DAYS = 2.0
_LIKELY_OVERLAP_DAYS = 5.0


class PollenMatch(Choice):
    """How much of a giver's pollen grows down the receiver's styles."""

    FULL = "full"
    HALF = "half"
    NONE = "none"
    UNKNOWN = "unknown"


class PartnerStrength(Choice):
    """How far a partner can be counted on."""

    SURE = "sure"
    LIKELY = "likely"
    POSSIBLE = "possible"
    NONE = "none"


# From worst to best, so that a place in the row can be compared.
STRENGTHS_RISING = (
    PartnerStrength.NONE,
    PartnerStrength.POSSIBLE,
    PartnerStrength.LIKELY,
    PartnerStrength.SURE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartnerVerdict:
    """What one variety's pollen does for another, in this direction only.

    The days of flowering in common are a range; both ends are None where either's days are not
    known. `springs` says how they met in the springs of the place, where those were worked out.
    """

    receiver_key: str
    giver_key: str
    strength: PartnerStrength
    match: PollenMatch
    overlap_low_days: float | None
    overlap_high_days: float | None
    reasons: tuple[str, ...]
    springs: TogetherSprings | None = None


def pollen_match(*, pollen: frozenset[str] | None, style: frozenset[str] | None) -> PollenMatch:
    """Compare the alleles of a pollen giver with those of the receiver's style.

    A pollen grain carries one of the giver's alleles and is refused where the style has the
    same one. All grains pass: full; some: half; no grain: none. An unknown genotype stays unknown.
    A primed allele marks a self-fertile form and is never refused (from memory, not checked).

    Source
    ------
    Matsumoto2014, gametophytic self-incompatibility.
    """
    if not pollen or not style:
        return PollenMatch.UNKNOWN
    passing = {allele for allele in pollen if is_primed(allele) or allele not in style}
    if passing == pollen:
        return PollenMatch.FULL
    return PollenMatch.HALF if passing else PollenMatch.NONE


def is_primed(allele: str) -> bool:
    """Whether an allele is written as that of a self-fertile form (from memory, not checked)."""
    return allele.endswith(("'", "’", "′"))


def partners(
    variety: str,
    *,
    others: Sequence[str],
    catalogue: Catalogue,
    springs: FloweringSprings | None = None,
) -> tuple[PartnerVerdict, ...]:
    """Judge each other variety as a giver of pollen to this one, the surest first.

    With the springs of a place, days in common are those of its springs, not of the lists. Raises
    NotUnderstood or Ambiguous if a name is not in the catalogue, or there more than once.
    """
    receiver = variety_named(variety, catalogue=catalogue)
    givers = [variety_named(name, catalogue=catalogue, crop=None) for name in others]
    positions = flowering_positions([receiver, *givers], catalogue=catalogue)
    found = [
        partner_verdict(receiver, giver, positions=positions, springs=springs) for giver in givers
    ]
    return tuple(sorted(found, key=_surest_first))


def _surest_first(found: PartnerVerdict) -> tuple[int, float, str]:
    overlap_days = found.overlap_low_days if found.overlap_low_days is not None else -99.0
    return -STRENGTHS_RISING.index(found.strength), -overlap_days, found.giver_key


def partner_verdict(
    receiver: Variety,
    giver: Variety,
    *,
    positions: Mapping[str, FloweringPosition],
    springs: FloweringSprings | None = None,
) -> PartnerVerdict:
    """Judge one variety as a giver of pollen to another, with the reasons."""
    match = pollen_match(pollen=giver.s_alleles, style=receiver.s_alleles)
    together = springs.together(receiver.key, giver.key) if springs else None
    overlap = (
        (together.low_days, together.high_days)
        if together
        else _overlap_days(positions.get(receiver.key), positions.get(giver.key))
    )
    refusal = _refusal(receiver, giver, match, overlap)
    strength, reasons = _strength(giver, match, overlap, together)
    if refusal:
        strength, reasons = PartnerStrength.NONE, (refusal,)
    return PartnerVerdict(
        receiver_key=receiver.key,
        giver_key=giver.key,
        strength=strength,
        match=match,
        overlap_low_days=overlap[0] if overlap else None,
        overlap_high_days=overlap[1] if overlap else None,
        reasons=reasons,
        springs=together,
    )


def _overlap_days(
    one: FloweringPosition | None, other: FloweringPosition | None
) -> tuple[float, float] | None:
    """The fewest and most days in flower together, from the nearest and farthest full flowers."""
    if one is None or other is None:
        return None
    a, b = one.span, other.span
    farthest = max(b.high_days - a.low_days, a.high_days - b.low_days)
    nearest = max(0.0, b.low_days - a.high_days, a.low_days - b.high_days)
    return max(0.0, FLOWERING_DAYS - farthest), max(0.0, FLOWERING_DAYS - nearest)


def _refusal(
    receiver: Variety, giver: Variety, match: PollenMatch, overlap: tuple[float, float] | None
) -> str:
    if receiver.key == giver.key:
        return say("A variety is no partner to itself.")
    if receiver.crop is not giver.crop:
        return told(
            "{crop} pollen sets no fruit on {crop_2}.",
            crop=capital(giver.crop),
            crop_2=receiver.crop,
        )
    if giver.is_triploid:
        return told(
            "{preferred_name} is triploid: its pollen is poor.", preferred_name=giver.preferred_name
        )
    if giver.key in receiver.refuses_pollen_of:
        return say("The two are listed as not setting fruit on one another.")
    if match is PollenMatch.NONE:
        return say("Both bear the same S-alleles: the pollen is refused.")
    if overlap is not None and overlap[1] < _ENOUGH_OVERLAP_DAYS:
        return say("They do not flower together.")
    return ""


def _strength(
    giver: Variety,
    match: PollenMatch,
    overlap: tuple[float, float] | None,
    together: TogetherSprings | None,
) -> tuple[PartnerStrength, tuple[str, ...]]:
    caps: list[tuple[PartnerStrength, str]] = []
    if overlap is None:
        caps.append((PartnerStrength.POSSIBLE, say("Flowering days are not known for both.")))
    elif overlap[0] < _ENOUGH_OVERLAP_DAYS:
        is_likely = (overlap[0] + overlap[1]) / 2.0 >= _LIKELY_OVERLAP_DAYS
        strength = PartnerStrength.LIKELY if is_likely else PartnerStrength.POSSIBLE
        words = (
            told(": they met {together_words}.", together_words=together.words) if together else "."
        )
        caps.append((strength, told("They may miss one another in some years{words}", words=words)))
    if giver.ploidy_count is None:
        strength = PartnerStrength.POSSIBLE if giver.crop is Crop.APPLE else PartnerStrength.LIKELY
        caps.append(
            (
                strength,
                told(
                    "The ploidy of {preferred_name} is not known for sure.",
                    preferred_name=giver.preferred_name,
                ),
            )
        )
    if match is PollenMatch.UNKNOWN:
        caps.append((PartnerStrength.LIKELY, say("The S-alleles are not known for both.")))
    if match is PollenMatch.HALF:
        caps.append(
            (PartnerStrength.LIKELY, say("Half of the pollen is refused: one allele shared."))
        )
    strength = min(
        (strength for strength, _ in caps),
        key=STRENGTHS_RISING.index,
        default=PartnerStrength.SURE,
    )
    return strength, tuple(reason for _, reason in caps)
