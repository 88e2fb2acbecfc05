"""Which tree for which spot: names, size, compatibility, flowering partners and rights."""

from graftwright.planting.bloom import (
    FloweringBasis,
    FloweringPlace,
    FloweringPosition,
    FloweringWindow,
    flowering_positions,
    flowering_window,
)
from graftwright.planting.catalogue import (
    Catalogue,
    NameJoin,
    find_varieties,
    join_varieties,
    rootstock_named,
    unjoin_varieties,
    variety_named,
    with_name,
    with_rights,
    with_stock_rights,
    with_variety,
)
from graftwright.planting.compatibility import (
    CompatibilityVerdict,
    Interstem,
    chain_verdicts,
    verdict,
)
from graftwright.planting.conditions import GrowingConditions, Soil, TreeForm, VarietyVigour
from graftwright.planting.flowering_groups import SeasonSpan, group_span
from graftwright.planting.notes import Compatibility, CompatibilityNote
from graftwright.planting.objections import Objection, ObjectionKind
from graftwright.planting.pollen import (
    PartnerStrength,
    PartnerVerdict,
    PollenMatch,
    partners,
    pollen_match,
)
from graftwright.planting.pollination import (
    Additions,
    FruitSetting,
    PlantedTree,
    PlantingReport,
    TreeOutlook,
    fewest_additions,
    planting_report,
)
from graftwright.planting.reports import (
    Crop,
    FloweringGroupReport,
    GivenName,
    NameKind,
    PloidyReport,
    RightsRecord,
    RightsStatus,
    SAlleleReport,
    SelfFertility,
    SelfFertilityReport,
    SourceKind,
    VigourReport,
)
from graftwright.planting.rights import Licence, RightsVerdict, rights_verdict
from graftwright.planting.rootstock import FormSpacing, Rootstock, RootstockReport, Span, TrialRow
from graftwright.planting.rows import CatalogueTables, catalogue_from_rows, trial_rows
from graftwright.planting.site import StockAdvice, suitable_stocks
from graftwright.planting.spot import Exposure, Ground, Spot, Wetness
from graftwright.planting.springs import FloweringSprings, SpringFlowering, TogetherSprings
from graftwright.planting.stake import StakeAdvice, stake_advice
from graftwright.planting.union_height import (
    UnionHeightAdvice,
    UnionHeightRange,
    union_height_advice,
)
from graftwright.planting.variety import Variety, provisional_variety, variety_key
from graftwright.planting.variety_rows import VarietyTables
from graftwright.planting.vigour import SizeRange, SourceRange, size_range
from graftwright.planting.vigour_fit import StockVigour, VigourFit, fit_vigour

__all__ = [
    "Additions",
    "Catalogue",
    "CatalogueTables",
    "Compatibility",
    "CompatibilityNote",
    "CompatibilityVerdict",
    "Crop",
    "Exposure",
    "FloweringBasis",
    "FloweringGroupReport",
    "FloweringPlace",
    "FloweringPosition",
    "FloweringSprings",
    "FloweringWindow",
    "FormSpacing",
    "FruitSetting",
    "GivenName",
    "Ground",
    "GrowingConditions",
    "Interstem",
    "Licence",
    "NameJoin",
    "NameKind",
    "Objection",
    "ObjectionKind",
    "PartnerStrength",
    "PartnerVerdict",
    "PlantedTree",
    "PlantingReport",
    "PloidyReport",
    "PollenMatch",
    "RightsRecord",
    "RightsStatus",
    "RightsVerdict",
    "Rootstock",
    "RootstockReport",
    "SAlleleReport",
    "SeasonSpan",
    "SelfFertility",
    "SelfFertilityReport",
    "SizeRange",
    "Soil",
    "SourceKind",
    "SourceRange",
    "Span",
    "Spot",
    "SpringFlowering",
    "StakeAdvice",
    "StockAdvice",
    "StockVigour",
    "TogetherSprings",
    "TreeForm",
    "TreeOutlook",
    "TrialRow",
    "UnionHeightAdvice",
    "UnionHeightRange",
    "Variety",
    "VarietyTables",
    "VarietyVigour",
    "VigourFit",
    "VigourReport",
    "Wetness",
    "catalogue_from_rows",
    "chain_verdicts",
    "fewest_additions",
    "find_varieties",
    "fit_vigour",
    "flowering_positions",
    "flowering_window",
    "group_span",
    "join_varieties",
    "partners",
    "planting_report",
    "pollen_match",
    "provisional_variety",
    "rights_verdict",
    "rootstock_named",
    "size_range",
    "stake_advice",
    "suitable_stocks",
    "trial_rows",
    "union_height_advice",
    "unjoin_varieties",
    "variety_key",
    "variety_named",
    "verdict",
    "with_name",
    "with_rights",
    "with_stock_rights",
    "with_variety",
]
