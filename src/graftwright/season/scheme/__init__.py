"""Several nurseries planned as one: what each offers, who cuts wood for whom, and what is sent."""

from graftwright.season.scheme.joint_plan import (
    JointPlan,
    LineOutcome,
    LotSent,
    Parcel,
    PooledRate,
    WorkForOther,
    joint_plan,
)
from graftwright.season.scheme.offered import (
    Hands,
    Offer,
    PooledCount,
    Stocks,
    Want,
    Wood,
    WoodHealth,
)
from graftwright.season.scheme.offering import OfferWishes, offer_of
from graftwright.season.scheme.pooled_cells import LEAST_GRAFTS_COUNT, LEAST_PEOPLE_COUNT
from graftwright.season.scheme.wishes import SchemeWishes

__all__ = [
    "LEAST_GRAFTS_COUNT",
    "LEAST_PEOPLE_COUNT",
    "Hands",
    "JointPlan",
    "LineOutcome",
    "LotSent",
    "Offer",
    "OfferWishes",
    "Parcel",
    "PooledCount",
    "PooledRate",
    "SchemeWishes",
    "Stocks",
    "Want",
    "Wood",
    "WoodHealth",
    "WorkForOther",
    "joint_plan",
    "offer_of",
]
