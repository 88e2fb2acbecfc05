"""The winter's spreadsheet as the growers kept it: what `demo.winter_2009` tells, in rows.

Each bundle keeps the units its grower wrote in; what the notebook knew before carries its code.
"""

from collections.abc import Iterator
from typing import Final

from graftwright.demo.codebook import CodeBook
from graftwright.demo.lines import BundleLine, LotLine, MotherLine, PromiseLine
from graftwright.demo.mothers import MOTHERS, NEW_MOTHERS
from graftwright.demo.sentences import grade_of
from graftwright.demo.story import SCRIPT_2009, demo_story
from graftwright.demo.world import (
    ALTITUDE_M,
    CURRENCY,
    HOUR_PRICE,
    LATITUDE_DEG,
    MATERIALS,
    NURSERY_NAME,
    PLACES,
    RESULTS,
)
from graftwright.intake.template import FilledSheet, Value, workbook_bytes
from graftwright.notebook.entries import Entry, StockGrade, StocksArrived, StocksMeasured

Row = tuple[Value, ...]

_IN_FRIDGE: Final = "Fridge in the shed"
_IN_SHED: Final = "Brick shed"
_LOT_FIELDS: Final = ("code", "mark", "stock", "state", "stock_count", "grade_mm", "supplier",
                      "lot_size_count", "price_per_lot", "asked_count", "on", "place",
                      "diameters_mm", "waking")  # fmt: skip
_MOTHER_FIELDS: Final = ("code", "variety", "as_received", "certainty", "evidence", "site", "owner",
                         "may_cut", "permission_words", "promised_back_count", "health",
                         "health_words", "shoot_length_mm", "shoot_thickness_mm", "shoot_count",
                         "visit_on_pruning", "latitude_deg", "longitude_deg",
                         "entered_on")  # fmt: skip


def demo_workbook() -> bytes:
    """Return the winter of 2008/09 as an XLSX workbook, ready to be read in on 17 February 2009."""
    return workbook_bytes(demo_sheets())


def demo_sheets() -> tuple[FilledSheet, ...]:
    """Return the workbook's sheets."""
    story = demo_story()
    return (
        _facts(),
        _places(story.book),
        _promises(SCRIPT_2009.promises),
        _mothers(story.book),
        _bundles(SCRIPT_2009.bundles),
        _lots(SCRIPT_2009.lots, story.lived),
        _bench_days(),
        _materials(),
        _results(),
    )


def _facts() -> FilledSheet:
    rows: tuple[Row, ...] = (
        ("name", NURSERY_NAME),
        ("latitude", f"{LATITUDE_DEG} N"),
        ("altitude", f"{ALTITUDE_M:g} m"),
        ("currency", CURRENCY),
        ("price of an hour", f"{HOUR_PRICE:.2f}"),
    )
    return FilledSheet(sheet="nursery", fields=("fact", "value"), rows=rows)


def _places(book: CodeBook) -> FilledSheet:
    return FilledSheet(
        sheet="places",
        fields=("code", "name", "place_kind", "capacity_count", "walking_order"),
        rows=tuple(
            (
                book.code(line.key),
                line.name,
                line.place_kind.value,
                line.capacity_count,
                line.walking_order,
            )
            for line in PLACES
        ),
    )


def _promises(lines: tuple[PromiseLine, ...]) -> FilledSheet:
    return FilledSheet(
        sheet="promises",
        fields=("mark", "who", "variety", "stock", "wanted_count", "sureness_fraction", "priority",
                "due_on", "second_choice", "spot", "made_on"),
        rows=tuple(
            (f"P{number}", line.who, line.variety, line.stock, line.wanted_count,
             f"{100 * line.sureness_fraction:.0f} %", line.priority, line.due_on,
             line.second_choice, line.spot, line.made_on)
            for number, line in enumerate(lines, 1)
        ),
    )  # fmt: skip


def _mothers(book: CodeBook) -> FilledSheet:
    known = (_mother(line, code=book.code(line.key)) for line in MOTHERS)
    new = (_mother(line, code="") for line in NEW_MOTHERS)
    return FilledSheet(sheet="mother trees", fields=_MOTHER_FIELDS, rows=(*known, *new))


def _mother(line: MotherLine, *, code: str) -> Row:
    may_cut = None if line.may_cut is None else ("yes" if line.may_cut else "no")
    return (
        code,
        line.variety,
        line.as_received,
        line.certainty.value,
        line.evidence,
        line.site,
        line.owner,
        may_cut,
        line.permission_words,
        line.promised_back_count,
        line.health.value,
        line.health_words,
        f"{line.shoot_length_mm / 10:g} cm",
        f"{line.shoot_thickness_mm:g} mm",
        line.shoot_count,
        "yes" if line.visit_on_pruning else "no",
        line.latitude_deg,
        line.longitude_deg,
        line.entered_on,
    )


def _bundles(lines: tuple[BundleLine, ...]) -> FilledSheet:
    sites = {line.key: line.site for line in (*MOTHERS, *NEW_MOTHERS)}
    return FilledSheet(
        sheet="bundles",
        fields=("mark", "variety", "cut_on", "mother_tree", "from_whom", "place", "packing",
                "stick_number", "length_mm", "base_mm", "tip_mm", "bud_count", "condition",
                "checked_on"),
        rows=tuple(
            (f"B{mark}", line.variety, line.cut_on, sites.get(line.mother_key, ""), line.from_whom,
             _IN_FRIDGE, line.packing, number, stick.length, stick.base, stick.tip,
             stick.bud_count, line.condition.value, line.checked_on)
            for mark, line in enumerate(lines, 1)
            for number, stick in enumerate(line.sticks, 1)
        ),
    )  # fmt: skip


def _lots(lines: tuple[LotLine, ...], lived: tuple[Entry, ...]) -> FilledSheet:
    rows = list(_carried_over(lived))
    for number, line in enumerate(lines, 1):
        rows += list(_lot(line, mark=f"L{number}"))
    return FilledSheet(sheet="stock lots", fields=_LOT_FIELDS, rows=tuple(rows))


def _carried_over(lived: tuple[Entry, ...]) -> Iterator[Row]:
    measured = {one.code: one.diameters_mm for one in lived if isinstance(one, StocksMeasured)}
    for one in lived:
        if isinstance(one, StocksArrived) and one.carried_over and one.grade is not None:
            yield (one.code, "", one.grade.stock, "carried over", one.arrived_count,
                   _grade(one.grade), one.supplier, None, None, None, one.happened_on,
                   "Pot standing, sheltered", _several_mm(measured.get(one.code, ())),
                   "dormant")  # fmt: skip


def _lot(line: LotLine, *, mark: str) -> Iterator[Row]:
    """Yield a row for each step the lot has come: offered, asked, confirmed, in hand."""
    grade = _grade(grade_of(line))
    steps = (
        ("offered", line.available_count, line.offered_on),
        ("asked", line.asked_count, line.asked_on),
        ("confirmed", line.confirmed_count, line.confirmed_on),
        ("in hand", line.arrived_count, line.arrived_on),
    )
    reached = [step for step in steps if step[2] is not None]
    for state, count, on in reached:
        is_last = state == reached[-1][0]
        is_here = state == "in hand"
        yield ("", mark, line.stock, state, count, grade, line.supplier, line.lot_size_count,
               line.price_per_lot, line.asked_count if state == "confirmed" else None, on,
               _IN_SHED if is_here else "",
               _several_mm(line.diameters_mm) if is_here else "",
               line.waking.value if is_last else "")  # fmt: skip


def _grade(grade: StockGrade) -> str:
    return f"{grade.low_mm:g}-{grade.high_mm:g} mm"


def _several_mm(diameters_mm: tuple[float, ...]) -> str:
    return "; ".join(f"{diameter_mm:g}" for diameter_mm in diameters_mm)


def _bench_days() -> FilledSheet:
    return FilledSheet(
        sheet="bench days",
        fields=("bench_on", "free_h", "grafts_per_h", "who"),
        rows=tuple(
            (line.bench_on, line.free_h, line.grafts_per_h, line.who) for line in SCRIPT_2009.bench
        ),
    )


def _materials() -> FilledSheet:
    return FilledSheet(
        sheet="materials",
        fields=("material", "unit", "in_hand", "need_per_graft", "need_per_tree", "price_per_unit"),
        rows=tuple(
            (
                line.material,
                line.unit,
                line.in_hand,
                line.need_per_graft,
                line.need_per_tree,
                line.price_per_unit,
            )
            for line in MATERIALS
        ),
    )


def _results() -> FilledSheet:
    return FilledSheet(
        sheet="results",
        fields=("season", "variety", "stock", "grafted_count", "taken_count", "grown_count",
                "wintered_count", "ready_count", "stocks_died_count", "grafter"),
        rows=tuple(
            (line.season, line.variety, line.stock, line.grafted_count, line.taken_count,
             line.grown_count, line.wintered_count, line.ready_count, line.stocks_died_count,
             line.grafter)
            for line in RESULTS
        ),
    )  # fmt: skip
