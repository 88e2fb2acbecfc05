"""A small winter at Lantern Bank, written as a person would write it, for the tests of intake."""

from collections.abc import Collection, Sequence
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from graftwright.intake.entering import Entered, enter
from graftwright.intake.reading import Reading
from graftwright.intake.template import FilledSheet, Value
from graftwright.notebook.entries import Entry, Written
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.tagcode import codes_in_block

TODAY = date(2027, 6, 20)
TREES = tuple(codes_in_block(900, 6))


def sheet(name: str, fields: str, *rows: tuple[Value, ...]) -> FilledSheet:
    return FilledSheet(sheet=name, fields=tuple(fields.split()), rows=rows)


def winter() -> tuple[FilledSheet, ...]:
    """Sheets in an order the rules would not accept, so that the order has to be made."""
    return (
        sheet(
            "tree checks",
            "seen_on tree_codes scion growth_mm cause stock place note",
            (date(2027, 5, 2), f"{TREES[0]}, {TREES[1]}", "moving", None, None, None, None, None),
            (date(2027, 6, 12), TREES[0], "growing", 180, None, None, None, "leader tied in"),
            (date(2027, 6, 12), TREES[1], "dead", None, "scion dried", "alive", None, None),
            (date(2027, 6, 12), TREES[2], None, None, "frost", None, "Cold greenhouse", None),
        ),
        sheet(
            "runs",
            "grafted_on bundle lot graft_count tree_codes promise place grafter run_number",
            (date(2027, 3, 6), "B1", "M26", 3, f"{TREES[0]} to {TREES[2]}", "Skelbeck School",
             "Cold greenhouse", "Ann", 1),
            (date(2027, 3, 6), "Keswick Codlin", "M26", 2, None, None, "Cold greenhouse", "Ann", 2),
        ),
        sheet(
            "promises",
            "who variety stock wanted_count sureness_fraction due_on",
            ("Skelbeck School", "Discovery", "M26", 2, 0.9, date(2027, 11, 30)),
            ("The churchyard", "Keswick Codlin", "M26", 1, "95 %", None),
        ),
        sheet(
            "bundles",
            "mark variety cut_on mother_tree from_whom place length_mm base_mm tip_mm bud_count",
            ("B1", "Discovery", date(2027, 1, 16), "Goods yard", None, "Fridge", 320, 9, 5.5, 11),
            ("B1", "Discovery", date(2027, 1, 16), "Goods yard", None, "Fridge", 300, 8.5, 5, 10),
            (None, "Keswick Codlin", date(2027, 1, 20), None, "Anna, by post", None, 250, 7, 5, 8),
        ),
        sheet(
            "stock lots",
            "mark stock state stock_count grade_mm supplier lot_size_count price_per_lot on place",
            (None, "M26", "carried over", 12, "6-9", "", None, None, date(2027, 1, 2),
             "Brick shed"),
            ("F1", "M25", "offered", 200, "6-8", "Fell Foot Stocks", 25, 42.5, None, None),
            ("F1", "M25", "asked", 50, "6-8", "Fell Foot Stocks", 25, 42.5, None, None),
        ),
        sheet(
            "mother trees",
            "variety site owner certainty evidence may_cut health shoot_length_mm "
            "shoot_thickness_mm",
            ("Discovery", "Goods yard", "ours", "fruited and checked", "seen 2025", True, "clean",
             350, 7),
        ),
        sheet(
            "places",
            "name place_kind walking_order",
            ("Fridge", "fridge", 1), ("Brick shed", "unheated room", 2),
            ("Cold greenhouse", "cold greenhouse", 3),
        ),
        sheet("bench days", "bench_on free_h grafts_per_h who", (date(2027, 3, 6), 5.5, 12, "Ann")),
        sheet("materials", "material unit in_hand price_per_unit", ("stretch film", "m", 60, 0.2)),
        sheet("nursery", "fact value", ("name", "Lantern Bank Growers"), ("latitude", "54.2 N"),
              ("altitude", "460 ft")),
        sheet("own practice", "practice value reason", ("pot size", "5 litres", "heavy soil")),
        sheet("results", "season variety stock grafted_count taken_count ready_count",
              (2026, "Discovery", "M26", 12, 10, 8)),
        sheet("temperatures", "place on low_c high_c", ("Brick shed", date(2027, 3, 1), -1.5, 6.0),
              ("Brick shed", date(2027, 3, 3), 0.0, 7.0)),
    )  # fmt: skip


def notebook_of(entries: Sequence[Entry]) -> Notebook:
    start = datetime(2027, 1, 1, tzinfo=UTC)
    return replay(
        Written(entry_id=UUID(int=n + 1), written_at=start + timedelta(microseconds=n), entry=entry)
        for n, entry in enumerate(entries)
    )


def entered(
    reading: Reading,
    notebook: Notebook | None = None,
    *,
    already: Collection[Entry] = (),
    first_code: int = 5000,
) -> Entered:
    codes = codes_in_block(first_code, 500)
    return enter(reading, notebook or Notebook(), codes, today=TODAY, already=already)
