"""How many grafts of each way next winter, to see a difference if there is one.

The usual reckoning for two shares, with room for what beyond chance makes one bundle's grafts
differ from another's.
"""

from math import sqrt
from typing import Final

from scipy.special import ndtr, ndtri

from graftwright.errors import OutOfRange
from graftwright.losses.stages import checked_level
from graftwright.tongue import told

MOST_EACH_COUNT: Final = 5_000


def chance_to_see(
    *,
    grafts_each_count: int,
    usual_fraction: float,
    difference_fraction: float,
    level_fraction: float = 0.9,
    variety_count: int = 1,
    cell_sd_logit: float = 0.0,
) -> float:
    """Give the chance that a difference of this size is told apart from none. [fraction]

    Parameters
    ----------
    grafts_each_count
        Grafts of each way, spread evenly over the varieties.
    usual_fraction, difference_fraction
        Rate of the usual way, and how far the other is from it, up or down.
    level_fraction
        The range that must not hold zero.
    variety_count, cell_sd_logit
        Varieties grafted both ways, and how far grafts of one variety made one way differ from
        what variety and way would lead one to expect, on the logit; 0 for chance alone.

    Source
    ------
    RPowerOfTwoShares where cells differ by chance alone; the term for cells is the usual sum of
    variances (common practice, no source).
    """
    other_fraction = usual_fraction + difference_fraction
    _check(grafts_each_count, usual_fraction, other_fraction, variety_count, cell_sd_logit)
    edge = float(ndtri(0.5 + checked_level(level_fraction) / 2.0))
    middle = 0.5 * (usual_fraction + other_fraction)
    between = 2.0 * (cell_sd_logit * middle * (1.0 - middle)) ** 2 / variety_count
    if_none = 2.0 * middle * (1.0 - middle) / grafts_each_count + between
    if_so = (
        usual_fraction * (1.0 - usual_fraction) + other_fraction * (1.0 - other_fraction)
    ) / grafts_each_count + between
    reach = abs(difference_fraction) - edge * sqrt(if_none)
    return float(ndtr(reach / sqrt(if_so)))


def grafts_each_to_see(
    *,
    usual_fraction: float,
    difference_fraction: float,
    chance_fraction: float = 0.8,
    level_fraction: float = 0.9,
    variety_count: int = 1,
    cell_sd_logit: float = 0.0,
) -> int | None:
    """Give the fewest grafts of each way that show a difference with this chance.

    None where not even MOST_EACH_COUNT do: the varieties are too few for it.
    """
    checked_level(chance_fraction)

    def is_enough(grafts_each_count: int) -> bool:
        return chance_fraction <= chance_to_see(
            grafts_each_count=grafts_each_count,
            usual_fraction=usual_fraction,
            difference_fraction=difference_fraction,
            level_fraction=level_fraction,
            variety_count=variety_count,
            cell_sd_logit=cell_sd_logit,
        )

    low, high = 1, MOST_EACH_COUNT
    if not is_enough(high):
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle + 1, high)
    return low


def _check(
    grafts_each_count: int,
    usual_fraction: float,
    other_fraction: float,
    variety_count: int,
    cell_sd_logit: float,
) -> None:
    if grafts_each_count < 1 or variety_count < 1 or cell_sd_logit < 0.0:
        raise OutOfRange(
            told(
                "{grafts_each_count} grafts of each way on {variety_count} varieties "
                "with a spread of {cell_sd_logit}; expected 1 or more of each, and a "
                "spread of 0 or more",
                grafts_each_count=grafts_each_count,
                variety_count=variety_count,
                cell_sd_logit=cell_sd_logit,
            )
        )
    if not (0.0 < usual_fraction < 1.0 and 0.0 < other_fraction < 1.0):
        raise OutOfRange(
            told(
                "rates of {usual_fraction:.2f} and {other_fraction:.2f}; expected both "
                "between 0 and 1; ask for a smaller difference",
                usual_fraction=usual_fraction,
                other_fraction=other_fraction,
            )
        )
