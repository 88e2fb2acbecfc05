"""Which joins suit a pair: by its diameters and the season, with the reason in words."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.tongue import Choice, marked, say, told
from graftwright.wood.cut import BARK_FRACTION, TOLERANCE_MM
from graftwright.wood.cutplan import GraftMethod

ALIGN_CAMBIUM = marked(
    "Line up the cambium, the green line under the bark, not the outside "
    "of the bark; where the scion is thinner, match one side and set it a "
    "hair inside."
)
# NDSUGrafting: the scion is never thicker than the stock; 0.2 mm is what a calliper cannot tell.
_SCION_OVER_STOCK_MM = 0.2
# Common practice, no source: below this a tongue splits the wood.
_TONGUE_FROM_MM = 4.0
# Common practice, no source.
_WHIP_STOCK_TO_SCION = 2.0
_WHIP_STOCK_TO_MM = 25.0
_CLEFT_STOCK_FROM_MM = 10.0
_VENEER_SCION_TO_STOCK = 0.8
_CHIP_STOCK_FROM_MM = 6.0
_RIND_STOCK_FROM_MM = 25.0


class WorkSeason(Choice):
    """When the join is made, as the wood feels it."""

    DORMANT = "both parts dormant"
    BARK_SLIPS = "bark of the stock slips, scion still dormant"
    LATE_SUMMER = "this year's buds ripe"


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodAdvice:
    """One join, whether it suits the pair, and why."""

    method: GraftMethod
    is_fitting: bool
    reason: str


def bench_method(scion_mm: float) -> GraftMethod:
    """Return the whip to plan for a scion that fits its stock at the bench. [mm]"""
    if scion_mm < _TONGUE_FROM_MM:
        return GraftMethod.SIMPLE_WHIP
    return GraftMethod.WHIP_AND_TONGUE


def is_one_side_pair(scion_mm: float, stock_mm: float) -> bool:
    """Say whether a whip of this pair can match on one side only, at usual bark and tolerance."""
    return abs(stock_mm - scion_mm) * (1.0 - 2.0 * BARK_FRACTION) > 2.0 * TOLERANCE_MM


def advise_methods(
    scion_mm: float, stock_mm: float, *, season: WorkSeason = WorkSeason.DORMANT
) -> tuple[MethodAdvice, ...]:
    """Judge every join for a pair of diameters; the fitting ones come first, best first.

    A near-equal pair goes to the whip; a scion much thinner than its stock to joins where two
    sides can be matched. Raises OutOfRange for diameters not above 0. [mm]
    """
    if not (scion_mm > 0 and stock_mm > 0):
        raise OutOfRange(
            told(
                "a scion of {scion_mm} mm on a stock of {stock_mm} mm; expected both "
                "above 0; measure again",
                scion_mm=scion_mm,
                stock_mm=stock_mm,
            )
        )
    if scion_mm > stock_mm + _SCION_OVER_STOCK_MM:
        reason = told(
            "the scion is {scion_mm:.1f} mm thicker than the stock and would "
            "overhang it; cut a piece nearer the tip or take a thicker stock",
            scion_mm=scion_mm - stock_mm,
        )
        return tuple(_no(method, reason) for method in GraftMethod)
    whips = (_whip_and_tongue(scion_mm, stock_mm, season), _simple_whip(scion_mm, stock_mm, season))
    thin = (
        _side_veneer(scion_mm, stock_mm, season),
        _cleft(scion_mm, stock_mm, season),
        _chip_bud(stock_mm, season),
        _rind(stock_mm, season),
    )
    is_thin = scion_mm <= _VENEER_SCION_TO_STOCK * stock_mm
    judged = (*thin, *whips) if is_thin else (*whips, *thin)
    return tuple(sorted(judged, key=lambda advice: not advice.is_fitting))


def _yes(method: GraftMethod, reason: str) -> MethodAdvice:
    return MethodAdvice(method=method, is_fitting=True, reason=reason)


def _no(method: GraftMethod, reason: str) -> MethodAdvice:
    return MethodAdvice(method=method, is_fitting=False, reason=reason)


def _whip_objection(scion_mm: float, stock_mm: float, season: WorkSeason) -> str | None:
    if season is not WorkSeason.DORMANT:
        return say("the whip is winter work, with both parts dormant")
    if stock_mm > _WHIP_STOCK_TO_MM:
        return told(
            "the stock is over {WHIP_STOCK_TO_MM:g} mm, too thick to bend to a whip",
            WHIP_STOCK_TO_MM=_WHIP_STOCK_TO_MM,
        )
    if stock_mm > _WHIP_STOCK_TO_SCION * scion_mm:
        return say("the stock is more than twice as thick as the scion; little cambium would meet")
    return None


def _match_words(scion_mm: float, stock_mm: float) -> str:
    if is_one_side_pair(scion_mm, stock_mm):
        return say("the scion is thinner, so only one side can be matched")
    return say("near enough in thickness to match on both sides")


def _whip_and_tongue(scion_mm: float, stock_mm: float, season: WorkSeason) -> MethodAdvice:
    method = GraftMethod.WHIP_AND_TONGUE
    objection = _whip_objection(scion_mm, stock_mm, season)
    if objection is None and scion_mm < _TONGUE_FROM_MM:
        objection = told(
            "under {TONGUE_FROM_MM:g} mm the wood splits when a tongue is cut",
            TONGUE_FROM_MM=_TONGUE_FROM_MM,
        )
    if objection is not None:
        return _no(method, objection)
    return _yes(
        method,
        told("{match_words}; the tongue holds it", match_words=_match_words(scion_mm, stock_mm)),
    )


def _simple_whip(scion_mm: float, stock_mm: float, season: WorkSeason) -> MethodAdvice:
    method = GraftMethod.SIMPLE_WHIP
    objection = _whip_objection(scion_mm, stock_mm, season)
    if objection is not None:
        return _no(method, objection)
    return _yes(
        method,
        told(
            "{match_words}; without a tongue, bind firmly",
            match_words=_match_words(scion_mm, stock_mm),
        ),
    )


def _cleft(scion_mm: float, stock_mm: float, season: WorkSeason) -> MethodAdvice:
    method = GraftMethod.CLEFT
    if season is not WorkSeason.DORMANT:
        return _no(method, say("the cleft is made before growth, with both parts dormant"))
    if stock_mm < _CLEFT_STOCK_FROM_MM or stock_mm < 1.3 * scion_mm:
        return _no(method, say("the stock is too thin to be split and hold a wedge"))
    return _yes(method, say("a stock thicker than the scion holds a wedge; match its outer edge"))


def _side_veneer(scion_mm: float, stock_mm: float, season: WorkSeason) -> MethodAdvice:
    method = GraftMethod.SIDE_VENEER
    if season is WorkSeason.LATE_SUMMER:
        return _no(method, say("planned here for dormant scions only"))
    if scion_mm > _VENEER_SCION_TO_STOCK * stock_mm:
        return _no(method, say("the stock is not enough thicker to cut a strip on its side"))
    return _yes(method, say("a thin scion matches on both sides of a strip cut to its width"))


def _chip_bud(stock_mm: float, season: WorkSeason) -> MethodAdvice:
    method = GraftMethod.CHIP_BUD
    if stock_mm < _CHIP_STOCK_FROM_MM:
        return _no(
            method,
            told(
                "the stock is under {CHIP_STOCK_FROM_MM:g} mm, too thin to be notched",
                CHIP_STOCK_FROM_MM=_CHIP_STOCK_FROM_MM,
            ),
        )
    if season is WorkSeason.BARK_SLIPS:
        return _no(method, say("a chip is set before growth begins or after it slows"))
    return _yes(
        method, say("one bud is enough; on a thicker stock cut shallower to match both sides")
    )


def _rind(stock_mm: float, season: WorkSeason) -> MethodAdvice:
    method = GraftMethod.RIND
    if season is not WorkSeason.BARK_SLIPS:
        return _no(method, say("the bark must slip, so not in winter"))
    if stock_mm < _RIND_STOCK_FROM_MM:
        return _no(
            method,
            told(
                "the stock is under {RIND_STOCK_FROM_MM:g} mm",
                RIND_STOCK_FROM_MM=_RIND_STOCK_FROM_MM,
            ),
        )
    return _yes(method, say("the scion is slipped under the bark of a thick stock"))
