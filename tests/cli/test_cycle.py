"""One winter from a spreadsheet to labels, and back to next year's numbers, by the command."""

import re
from datetime import date

import pytest
import vobject

from graftwright.demo import DEFAULT_DAY, demo_workbook
from graftwright.intake.template import FilledSheet, workbook_bytes

DAY = ("--day", DEFAULT_DAY.isoformat())
PAPERS = {
    "cut-sheet.pdf", "run-sheets.pdf", "labels.pdf", "calendar.ics", "order-list.pdf",
    "order-list.csv", "plan.pdf", "plan.txt", "bundle-tags.pdf", "position-register.pdf",
    "watering.pdf",
}  # fmt: skip


@pytest.fixture(scope="module")
def entered(terminal):
    (terminal.home / "winter.xlsx").write_bytes(demo_workbook())
    assert "Nothing is entered yet" in terminal("read", "winter.xlsx", *DAY)
    assert "entries written" in terminal("enter", *DAY, "--by", "HQ")
    return terminal


@pytest.mark.slow
def test_a_workbook_becomes_a_plan_with_every_shortage_explained(entered):
    printed = entered("plan", *DAY)
    assert "Bramley's Seedling" in printed
    assert "What is short, and the way out" in printed
    assert "Williams on Quince C" in printed


@pytest.mark.slow
def test_more_sureness_asks_for_more_grafts(entered):
    def grafts(sureness):
        printed = entered("plan", *DAY, "--sureness", sureness)
        line = next(line for line in printed.splitlines() if "Egremont Russet" in line)
        return [int(n) for n in re.findall(r"\d+", line.split("M9")[1])]

    assert grafts("99%")[1] > grafts("0.5")[1]


@pytest.mark.slow
def test_the_plan_is_printed_under_every_weather_year_by_two_workers(entered):
    lines = entered("years", *DAY, "--workers", 2).splitlines()
    assert "under each of 29 weather years, 1980 to 2008" in lines[0]
    years = [line.split()[0] for line in lines if line[:4].isdigit()]
    assert years == [str(year) for year in range(1980, 2009)]


@pytest.mark.slow
def test_a_scheme_is_planned_from_the_copies_of_its_nurseries(entered):
    entered("copy-out", "one.jsonl")
    head, row = entered("years", "one.jsonl", *DAY).splitlines()
    assert head.split()[:3] == ["Nursery", "wanted", "grafts"]
    assert "no plan" not in row
    missing = entered("years", "nowhere.jsonl", *DAY, code=2)
    assert "nowhere.jsonl could not be read" in missing


@pytest.mark.slow
def test_the_papers_are_written_and_a_second_library_reads_the_calendar(entered):
    entered("papers", "papers", *DAY)
    papers = entered.home / "papers"
    assert {path.name for path in papers.iterdir()} == PAPERS
    assert (papers / "labels.pdf").read_bytes().startswith(b"%PDF")
    calendar = vobject.readOne((papers / "calendar.ics").read_text(encoding="utf-8"))
    days = {event.dtstart.value for event in calendar.vevent_list}
    assert date(2009, 3, 7) in days  # the first bench day of the workbook


@pytest.mark.slow
def test_results_by_sheet_take_the_printed_labels_and_change_the_lessons(entered):
    if not (entered.home / "papers").exists():
        entered("papers", "papers", *DAY)
    before = entered("lessons", *DAY)
    labels = _labels_in_working_order(entered)
    bundle, lot = labels[0]["bundle"], labels[0]["lot"]
    mine = [label["code"] for label in labels if (label["bundle"], label["lot"]) == (bundle, lot)]
    runs = FilledSheet(
        sheet="runs",
        fields=("grafted_on", "bundle", "lot", "graft_count", "grafter"),
        rows=((date(2009, 3, 7), bundle, lot, len(mine) - 1, "HQ"),),
    )
    checks = FilledSheet(
        sheet="tree checks",
        fields=("seen_on", "tree_codes", "scion", "growth_mm"),
        rows=tuple((date(2009, 6, 20), code, "growing", 180) for code in mine[:-1]),
    )
    (entered.home / "results.xlsx").write_bytes(workbook_bytes([runs, checks]))
    later = ("--day", "2009-07-01")
    entered("read", "results.xlsx", *later, code=1)  # the trees are only known once the runs are in
    assert "entries written" in entered("enter", *later)
    after = entered("lessons", *later)
    take = re.compile(r"all grafts\s+take\s+(\d+) of (\d+)")
    passed_before, tried_before = map(int, take.search(before).groups())
    passed, tried = map(int, take.search(after).groups())
    assert (passed - passed_before, tried - tried_before) == (len(mine) - 1, len(mine) - 1)
    assert "Grafts needed, before this season's counts and with them" in after
    assert "All that stands follows from" in entered("check")


def _labels_in_working_order(terminal):
    """Return code, bundle and lot of each planned graft, from the kept printing."""
    query = (
        "from graftwright.cli.folder import open_notebook; open_notebook();"
        "from graftwright.store.labels import printed_labels;"
        "[print(l.code, l.bundle_code, l.lot_code) for l in printed_labels(2009)]"
    )
    lines = terminal.python(query).splitlines()
    return [dict(zip(("code", "bundle", "lot"), line.split(), strict=True)) for line in lines]


@pytest.mark.slow
def test_the_whole_notebook_goes_out_and_into_an_empty_one(entered):
    assert "entries written to" in entered("copy-out", "whole.jsonl")
    assert "of them new" in entered("bring-in", "whole.jsonl", "--notebook", "second")
    assert entered("plan", *DAY) == entered("plan", *DAY, "--notebook", "second")


@pytest.mark.slow
def test_a_damaged_copy_is_refused_with_the_line(entered):
    entered("copy-out", "whole.jsonl")
    lines = (entered.home / "whole.jsonl").read_text(encoding="utf-8").splitlines(keepends=True)
    (entered.home / "cut.jsonl").write_text("".join(lines[:20]), encoding="utf-8")
    assert "line 21" in entered("bring-in", "cut.jsonl", "--notebook", "third", code=2)
