"""The plan as CSV tables, one for each kind of row."""

from datetime import date

from graftwright.paper.csv_table import csv_bytes, csv_text
from graftwright.paper.paper_file import Paper
from graftwright.season.planned import DateBand, Plan


def plan_tables(plan: Plan) -> tuple[Paper, ...]:
    """Return the plan as CSV files, one for each kind of row."""
    tables = (
        ("promises.csv", _promise_table(plan)),
        ("stocks.csv", _stock_table(plan)),
        ("pieces.csv", _piece_table(plan)),
        ("grafts.csv", _graft_table(plan)),
        ("runs.csv", _run_table(plan)),
        ("bench-days.csv", _bench_day_table(plan)),
        ("batches.csv", _batch_table(plan)),
        ("materials.csv", _material_table(plan)),
        ("costs.csv", _cost_table(plan)),
        ("shortages.csv", _shortage_table(plan)),
    )
    return tuple(
        Paper(file_name=name, media_type="text/csv", content=csv_bytes(text))
        for name, text in tables
    )


def _promise_table(plan: Plan) -> str:
    header = (
        "promise",
        "who",
        "variety",
        "stock",
        "trees_wanted",
        "trees_living",
        "trees_to_raise",
        "sureness",
        "grafts_needed",
        "chance_if_all_made",
        "grafts_planned",
        "chance_as_planned",
        "grafts_by_simple_rule",
        "chance_by_simple_rule",
        "due_on",
    )
    return csv_text(
        header,
        (
            (
                line.promise_code,
                line.who,
                line.variety,
                line.stock,
                line.wanted_count,
                line.living_count,
                line.to_raise_count,
                line.sureness_fraction,
                line.graft_count,
                line.chance_fraction,
                line.planned_count,
                line.planned_chance_fraction,
                line.simple_rule_count,
                line.simple_rule_chance_fraction,
                line.due_on,
            )
            for line in plan.lines
        ),
    )


def _stock_table(plan: Plan) -> str:
    header = ("stock", "needed", "spare", "in_hand", "carried_over", "coming", "to_order", "why")
    return csv_text(
        header,
        (
            (
                need.stock,
                need.needed_count,
                need.spare_count,
                need.in_hand_count,
                need.carried_over_count,
                need.coming_count,
                need.to_order_count,
                need.words,
            )
            for need in plan.stock_needs
        ),
    )


def _piece_table(plan: Plan) -> str:
    header = (
        "bundle",
        "variety",
        "stick",
        "piece",
        "graft",
        "base_cut_mm",
        "top_cut_mm",
        "buds",
        "scion_mm",
        "goes_to",
    )
    return csv_text(
        header,
        (
            (
                stick.bundle_code,
                stick.variety,
                stick.stick_number,
                piece.piece_number,
                piece.join_number,
                piece.base_cut_mm,
                piece.top_cut_mm,
                piece.bud_count,
                piece.scion_mm,
                piece.goes_to,
            )
            for stick in plan.sticks
            for piece in stick.pieces
        ),
    )


def _graft_table(plan: Plan) -> str:
    header = (
        "graft",
        "run",
        "promise",
        "who",
        "variety",
        "stock",
        "bundle",
        "stick",
        "piece",
        "lot",
        "stock_number",
        "scion_mm",
        "stock_mm",
        "method",
        "contact_share",
        "words",
    )
    return csv_text(
        header,
        (
            (
                join.number,
                join.run_number,
                join.promise_code,
                join.who,
                join.variety,
                join.stock,
                join.bundle_code,
                join.stick_number,
                join.piece_number,
                join.lot_code,
                join.stock_number,
                join.scion_mm,
                join.stock_mm,
                join.method,
                join.contact_share_fraction,
                join.words,
            )
            for join in plan.joins
        ),
    )


def _run_table(plan: Plan) -> str:
    header = (
        "run",
        "bench_on",
        "promise",
        "who",
        "variety",
        "stock",
        "bundle",
        "lot",
        "grafts",
        "method",
        "minutes",
        "place",
    )
    return csv_text(
        header,
        (
            (
                run.number,
                run.bench_on,
                run.promise_code,
                run.who,
                run.variety,
                run.stock,
                run.bundle_code,
                run.lot_code,
                run.graft_count,
                run.method,
                run.minutes,
                run.place_code,
            )
            for run in plan.runs
        ),
    )


def _bench_day_table(plan: Plan) -> str:
    header = ("bench_on", "grafts", "runs", "free_h", "used_h", "breaks", "words")
    return csv_text(
        header,
        (
            (
                day.bench_on,
                day.graft_count,
                len(day.run_numbers),
                day.free_h,
                day.used_h,
                day.break_count,
                day.words,
            )
            for day in plan.bench_days
        ),
    )


def _batch_table(plan: Plan) -> str:
    bands = ("joined", "buds_move", "tie_off")
    days = tuple(f"{band}_{when}_on" for band in bands for when in ("early", "middle", "late"))
    header = ("bench_on", "place", "place_name", "grafts", *days, "words")
    return csv_text(
        header,
        (
            (
                batch.bench_on,
                batch.place_code,
                batch.place_name,
                batch.graft_count,
                *_days(batch.joined),
                *_days(batch.buds_move),
                *_days(batch.tie_off),
                batch.words,
            )
            for batch in plan.batches
        ),
    )


def _days(band: DateBand) -> tuple[date | None, date | None, date | None]:
    return band.early_on, band.middle_on, band.late_on


def _material_table(plan: Plan) -> str:
    header = ("material", "unit", "needed", "in_hand", "to_buy", "cost")
    return csv_text(
        header,
        ((m.material, m.unit, m.needed, m.in_hand, m.to_buy, m.cost) for m in plan.materials),
    )


def _cost_table(plan: Plan) -> str:
    header = ("what", "amount", "currency", "words")
    currency = plan.costs.currency
    return csv_text(
        header, ((line.what, line.amount, currency, line.words) for line in plan.costs.lines)
    )


def _shortage_table(plan: Plan) -> str:
    header = ("promise", "short_of", "missing", "why", "way_out")
    return csv_text(
        header,
        (
            (s.promise_code, s.short_of.value, s.missing_count, s.words, s.way_out)
            for s in plan.shortages
        ),
    )
