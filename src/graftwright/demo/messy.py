"""A workbook kept in a hurry: good rows beside bad ones, to try how bad rows are reported."""

from typing import Final

from graftwright.demo.world import ASHMEAD, CODLIN, DISCOVERY, GRIEVE
from graftwright.intake.template import FilledSheet, workbook_bytes

_PROMISES: Final = FilledSheet(
    sheet="promises",
    fields=("who", "variety", "stock", "wanted_count", "sureness_fraction", "due_on", "made_on"),
    rows=(
        ("Skelbeck School", DISCOVERY, "M26", 4, "95 %", "2009-11-21", "03/11/2008"),
        ("Parish of Skelbeck", CODLIN, "M25", "a few", "90 %", "2009-11-14", "05/11/2008"),
        ("Ferrow family, cider", ASHMEAD, "M116", 8, "150 %", "2009-11-28", "06/12/2008"),
        ("", GRIEVE, "M26", 12, "80 %", "2009-11-28", "07/12/2008"),
        ("Workshop of twelve", GRIEVE, "", 12, "80 %", "when ready", "08/12/2008"),
        ("Imrie Vann, second floor", DISCOVERY, "M27", 0, "0.9", "2009-11-31", "02/12/2008"),
    ),
)
_BUNDLES: Final = FilledSheet(
    sheet="bundles",
    fields=("code", "mark", "variety", "cut_on", "place", "length_mm", "base_mm", "tip_mm",
            "bud_count", "condition"),
    rows=(
        ("", "B1", DISCOVERY, "2009-01-10", "Fridge", "33 cm", "9 mm", "6 mm", 10, "firm"),
        ("", "B1", DISCOVERY, "2009-01-10", "Fridge", "33 cm", "5 mm", "9 mm", 10, "firm"),
        ("", "B2", GRIEVE, "mid January", "Fridge", "36 cm", "9.5 mm", "6 mm", 11, "firm"),
        ("", "B3", ASHMEAD, "2009-01-24", "Fridge", '10"', '3/8"', '1/4"', "lots", "firm"),
        ("K4T77", "B4", CODLIN, "2008-12-20", "Fridge", "34 cm", "9 mm", "6 mm", 10, "a bit off"),
        ("", "B5", CODLIN, "2008-12-20", "Old dairy", "34 m", "9 mm", "6 mm", 10, "firm"),
    ),
)  # fmt: skip
_LOTS: Final = FilledSheet(
    sheet="stock lots",
    fields=("mark", "stock", "state", "stock_count", "grade_mm", "supplier", "lot_size_count",
            "price_per_lot", "on"),
    rows=(
        ("L1", "M26", "in hand", 25, "8-10", "Ellerbeck Stocks", 25, "44.00", "2009-02-07"),
        ("L2", "M9", "on its way, I think", 10, "6-8", "Rook Hill Liners", 10, "18", "2009-01-12"),
        ("L3", "M116", "in hand", -5, "8-10", "Ellerbeck Stocks", 10, "19.50", "2009-02-07"),
        ("L4", "M25", "in hand", 10, "10 to 8", "Ellerbeck Stocks", 10, "ask Tam", "2009-02-07"),
        ("L5", "Quince C", "offered", 10, "thick ones", "", 10, "", "2009-02-07"),
    ),
)  # fmt: skip
_BENCH_DAYS: Final = FilledSheet(
    sheet="bench days",
    fields=("bench_on", "free_h", "grafts_per_h", "who"),
    rows=(
        ("2009-03-07", 5, 10, "HQ"),
        ("2009-02-30", 5, 10, "HQ"),
        ("2009-03-21", 40, 10, "TO"),
        ("2009-03-28", 4, "quick", ""),
    ),
)
_FACTS: Final = FilledSheet(
    sheet="nursery",
    fields=("fact", "value"),
    rows=(
        ("name", "Lantern Bank Growers"),
        ("latitude", "542 N"),
        ("favourite colour", "russet"),
    ),
)


def messy_workbook() -> bytes:
    """Return an XLSX workbook with good rows, bad rows and dates that can be read in two ways."""
    return workbook_bytes((_FACTS, _PROMISES, _BUNDLES, _LOTS, _BENCH_DAYS))
