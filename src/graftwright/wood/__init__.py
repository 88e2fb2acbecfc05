"""Wood: sticks and stocks, the cuts that join them, and which piece goes on which stock."""

from graftwright.wood.by_eye import EyePlan, plan_by_eye
from graftwright.wood.checking import check_cut_plan
from graftwright.wood.cutplan import (
    AsidePurpose,
    CutPlan,
    GraftMethod,
    LeftReason,
    Order,
    OrderShort,
    PieceAside,
    PieceLeft,
    PlannedJoin,
    Reserve,
    ShortReason,
    StockLeft,
)
from graftwright.wood.division import CuttingRules, Skill, spoilt_allowance_count
from graftwright.wood.pairing import plan_cuts
from graftwright.wood.problem import PlanWeights
from graftwright.wood.score import PairLimits, PairTable, TakeCurve, assumed_pair_table
from graftwright.wood.stick import (
    DiameterReading,
    Stick,
    Stock,
    are_buds_assumed,
    bud_positions_mm,
    diameter_at_mm,
    typical_bud_count,
    usable_zone_mm,
)

__all__ = [
    "AsidePurpose",
    "CutPlan",
    "CuttingRules",
    "DiameterReading",
    "EyePlan",
    "GraftMethod",
    "LeftReason",
    "Order",
    "OrderShort",
    "PairLimits",
    "PairTable",
    "PieceAside",
    "PieceLeft",
    "PlanWeights",
    "PlannedJoin",
    "Reserve",
    "ShortReason",
    "Skill",
    "Stick",
    "Stock",
    "StockLeft",
    "TakeCurve",
    "are_buds_assumed",
    "assumed_pair_table",
    "bud_positions_mm",
    "check_cut_plan",
    "diameter_at_mm",
    "plan_by_eye",
    "plan_cuts",
    "spoilt_allowance_count",
    "typical_bud_count",
    "usable_zone_mm",
]
