"""Which tree for which spot: names, size, compatibility, flowering partners and rights."""

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
    with_variety,
)
from graftwright.planting.compatibility import (
    CompatibilityVerdict,
    Interstem,
    chain_verdicts,
    verdict,
)
from graftwright.planting.notes import Compatibility, CompatibilityNote
from graftwright.planting.reports import (
    Crop,
    GivenName,
    NameKind,
    RightsRecord,
    RightsStatus,
    SelfFertility,
    SourceKind,
)
from graftwright.planting.rootstock import Rootstock, RootstockReport, Span
from graftwright.planting.rows import CatalogueTables, catalogue_from_rows, trial_rows
from graftwright.planting.variety import Variety, provisional_variety, variety_key
from graftwright.planting.variety_rows import VarietyTables

__all__ = [
    "Catalogue",
    "CatalogueTables",
    "Compatibility",
    "CompatibilityNote",
    "CompatibilityVerdict",
    "Crop",
    "GivenName",
    "Interstem",
    "NameJoin",
    "NameKind",
    "RightsRecord",
    "RightsStatus",
    "Rootstock",
    "RootstockReport",
    "SelfFertility",
    "SourceKind",
    "Span",
    "Variety",
    "VarietyTables",
    "catalogue_from_rows",
    "chain_verdicts",
    "find_varieties",
    "join_varieties",
    "provisional_variety",
    "rootstock_named",
    "trial_rows",
    "unjoin_varieties",
    "variety_key",
    "variety_named",
    "verdict",
    "with_name",
    "with_rights",
    "with_variety",
]
