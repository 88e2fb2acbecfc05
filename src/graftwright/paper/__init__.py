"""Everything that prints: plans and labels in, the bytes of a file out."""

from typing import TYPE_CHECKING

from graftwright.faces import load_when_asked

if TYPE_CHECKING:
    from graftwright.paper.almanac import almanac, empty_almanac
    from graftwright.paper.code_square import code_svg
    from graftwright.paper.csv_table import Cell, csv_text
    from graftwright.paper.cut_sheet import cut_sheet
    from graftwright.paper.every_paper import papers
    from graftwright.paper.gauge_card import gauge_card
    from graftwright.paper.join_drawing import join_svg
    from graftwright.paper.join_lines import JoinFigure
    from graftwright.paper.join_shape import DRAWN_METHODS, join_figure
    from graftwright.paper.join_sheet import join_sheet
    from graftwright.paper.joint_sheet import joint_paper, joint_papers, paper_names
    from graftwright.paper.joint_text import joint_text
    from graftwright.paper.joint_words import (
        CAUTION,
        best_words,
        cost_words,
        gain_words,
        lot_words,
    )
    from graftwright.paper.label_grid import (
        OFFICE_GRID,
        ROLL_GRID,
        SMALL_GRID,
        STRIP_GRID,
        LabelGrid,
        print_scale_words,
        roll_grid,
    )
    from graftwright.paper.label_words import (
        AnyLabel,
        BundleTag,
        Label,
        SpareTag,
        bundle_tags,
        labels_of,
        tree_labels,
    )
    from graftwright.paper.labels import label_sheets, label_test_page
    from graftwright.paper.marker_sheet import marker_sheet
    from graftwright.paper.movement_book import movement_book, movement_book_csv
    from graftwright.paper.order_list import order_list, order_list_csv
    from graftwright.paper.paper_file import Paper
    from graftwright.paper.plan_page import plan_page
    from graftwright.paper.plan_text import plan_text
    from graftwright.paper.register import position_register
    from graftwright.paper.run_sheet import run_sheets
    from graftwright.paper.season_report import season_report
    from graftwright.paper.stick_drawing import svg as stick_svg
    from graftwright.paper.tables import plan_tables
    from graftwright.paper.watering_sheet import watering_sheet
    from graftwright.paper.workshop_pack import WorkshopDay, workshop_pack

__all__ = [
    "CAUTION",
    "DRAWN_METHODS",
    "OFFICE_GRID",
    "ROLL_GRID",
    "SMALL_GRID",
    "STRIP_GRID",
    "AnyLabel",
    "BundleTag",
    "Cell",
    "JoinFigure",
    "Label",
    "LabelGrid",
    "Paper",
    "SpareTag",
    "WorkshopDay",
    "almanac",
    "best_words",
    "bundle_tags",
    "code_svg",
    "cost_words",
    "csv_text",
    "cut_sheet",
    "empty_almanac",
    "gain_words",
    "gauge_card",
    "join_figure",
    "join_sheet",
    "join_svg",
    "joint_paper",
    "joint_papers",
    "joint_text",
    "label_sheets",
    "label_test_page",
    "labels_of",
    "lot_words",
    "marker_sheet",
    "movement_book",
    "movement_book_csv",
    "order_list",
    "order_list_csv",
    "paper_names",
    "papers",
    "plan_page",
    "plan_tables",
    "plan_text",
    "position_register",
    "print_scale_words",
    "roll_grid",
    "run_sheets",
    "season_report",
    "stick_svg",
    "tree_labels",
    "watering_sheet",
    "workshop_pack",
]

load_when_asked(
    __name__,
    {
        "almanac": ("almanac", "empty_almanac"),
        "code_square": ("code_svg",),
        "csv_table": ("Cell", "csv_text"),
        "cut_sheet": ("cut_sheet",),
        "every_paper": ("papers",),
        "gauge_card": ("gauge_card",),
        "join_drawing": ("join_svg",),
        "join_lines": ("JoinFigure",),
        "join_shape": ("DRAWN_METHODS", "join_figure"),
        "join_sheet": ("join_sheet",),
        "joint_sheet": ("joint_paper", "joint_papers", "paper_names"),
        "joint_text": ("joint_text",),
        "joint_words": ("CAUTION", "best_words", "cost_words", "gain_words", "lot_words"),
        "label_grid": (
            "OFFICE_GRID",
            "ROLL_GRID",
            "SMALL_GRID",
            "STRIP_GRID",
            "LabelGrid",
            "print_scale_words",
            "roll_grid",
        ),
        "label_words": (
            "AnyLabel",
            "BundleTag",
            "Label",
            "SpareTag",
            "bundle_tags",
            "labels_of",
            "tree_labels",
        ),
        "labels": ("label_sheets", "label_test_page"),
        "marker_sheet": ("marker_sheet",),
        "movement_book": ("movement_book", "movement_book_csv"),
        "order_list": ("order_list", "order_list_csv"),
        "paper_file": ("Paper",),
        "plan_page": ("plan_page",),
        "plan_text": ("plan_text",),
        "register": ("position_register",),
        "run_sheet": ("run_sheets",),
        "season_report": ("season_report",),
        "stick_drawing": ("svg as stick_svg",),  # not said
        "tables": ("plan_tables",),
        "watering_sheet": ("watering_sheet",),
        "workshop_pack": ("WorkshopDay", "workshop_pack"),
    },
)
