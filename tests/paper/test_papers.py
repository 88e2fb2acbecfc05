"""Every paper of a winter is there, says what the plan says, and carries its own faces."""

import pytest

from graftwright.paper import Paper, papers, plan_text
from graftwright.paper.words import band_sentence, count_words, money, percent, size_mm_words
from graftwright.season.planned import DateBand
from graftwright.tongue import speaking
from tests.paper import reading
from tests.paper.winter import empty_winter, winter, winter_labels

PLAN = winter()
ALL = {paper.file_name: paper for paper in papers(PLAN, winter_labels())}
PDFS = [paper for paper in ALL.values() if paper.media_type == "application/pdf"]
EACH_PDF = pytest.mark.parametrize("paper", PDFS, ids=lambda paper: paper.file_name)


def test_all_papers_are_there() -> None:
    assert list(ALL) == [
        "cut-sheet.pdf",
        "run-sheets.pdf",
        "labels.pdf",
        "calendar.ics",
        "order-list.pdf",
        "order-list.csv",
        "plan.pdf",
        "plan.txt",
    ]


@EACH_PDF
def test_faces_travel_with_every_file(paper: Paper) -> None:
    assert reading.are_faces_embedded(paper.content)
    assert all("+Graftwright" in name for name in reading.font_names(paper.content))


@EACH_PDF
def test_every_file_says_its_language_and_its_title(paper: Paper) -> None:
    said = reading.described(paper.content)
    assert said.language == "en-GB"
    assert said.title


def test_a_paper_in_german_says_so() -> None:
    with speaking(None, language="de"):
        (plan,) = [one for one in papers(PLAN, winter_labels()) if one.file_name == "plan.pdf"]
    assert reading.described(plan.content).language == "de-DE"


@EACH_PDF
def test_parts_are_listed_with_the_page_on_which_their_heading_stands(paper: Paper) -> None:
    parts = reading.described(paper.content).parts
    if paper.file_name == "labels.pdf":
        assert parts == ()
        return
    pages = reading.page_texts(paper.content)
    assert len(parts) > 1
    assert [page for _, page in parts] == sorted(page for _, page in parts)
    for title, page in parts:
        assert all(word in pages[page] for word in title.split())


@EACH_PDF
def test_every_letter_and_line_stays_within_the_printable_page(paper: Paper) -> None:
    is_lying = paper.file_name in ("cut-sheet.pdf", "run-sheets.pdf")
    wide_mm, high_mm = (297.0, 210.0) if is_lying else (210.0, 297.0)
    for page_index in range(len(reading.page_texts(paper.content))):
        boxes = [box for _, box in reading.letters(paper.content, page_index=page_index)]
        for box in (*boxes, *reading.shapes(paper.content, page_index=page_index)):
            assert box.left_mm >= 5.0
            assert box.top_mm >= 5.0
            assert box.right_mm <= wide_mm - 5.0
            assert box.foot_mm <= high_mm - 5.0


@EACH_PDF
def test_the_same_plan_prints_the_same_file(paper: Paper) -> None:
    again = {other.file_name: other for other in papers(winter(), winter_labels())}
    assert again[paper.file_name].content == paper.content


def test_accents_can_be_copied_from_every_sheet_that_names_the_variety() -> None:
    for name in ("cut-sheet.pdf", "run-sheets.pdf", "labels.pdf", "plan.pdf"):
        assert "Gellygen Ŵy" in reading.words_of(ALL[name].content)


def test_run_sheets_name_every_run_and_warn_of_knives() -> None:
    said = reading.words_of(ALL["run-sheets.pdf"].content)
    for run in PLAN.runs:
        assert run.bundle_code in said
        assert run.lot_code in said
    assert said.count("cut hands") == 2
    assert len(reading.page_texts(ALL["run-sheets.pdf"].content)) == 2


def test_order_list_names_every_supplier_and_the_whole_cost() -> None:
    said = reading.words_of(ALL["order-list.pdf"].content)
    assert "Harrow Lane Stocks" in said
    assert "£88.75" in said
    assert "7–9 mm" in said


def test_the_plan_fits_two_pages_and_names_its_shortage() -> None:
    content = ALL["plan.pdf"].content
    assert len(reading.page_texts(content)) <= 2
    assert "cut two more sticks" in reading.words_of(content)
    assert "2 of 4" in reading.words_of(content)


def test_plan_text_is_narrow_and_names_every_promise() -> None:
    text = plan_text(PLAN)
    assert max(map(len, text.splitlines())) <= 100
    assert text.endswith("\n")
    for line in PLAN.lines:
        assert line.promise_code in text


def test_an_empty_winter_prints_without_fault_and_says_what_to_do_first() -> None:
    printed = {paper.file_name: paper for paper in papers(empty_winter(), ())}
    assert len(printed) == 8
    assert "write down a promise" in printed["plan.txt"].content.decode()
    assert "Nothing is to be ordered" in reading.words_of(printed["order-list.pdf"].content)
    assert "No run is planned" in reading.words_of(printed["run-sheets.pdf"].content)


@pytest.mark.parametrize(
    ("fraction", "words"),
    [(0.0, "0 %"), (0.001, "<1 %"), (0.92, "92 %"), (0.997, ">99 %"), (1.0, "100 %")],
)
def test_a_chance_is_never_rounded_to_certainty(fraction: float, words: str) -> None:
    assert percent(fraction) == words


def test_words_for_counts_money_and_sizes() -> None:
    assert count_words(1, "graft", "grafts") == "1 graft"
    assert count_words(1_200, "variety", "varieties") == "1,200 varieties"
    assert money(31.25, currency="GBP") == "£31.25"
    assert money(31.25, currency="SEK") == "31.25 SEK"
    assert size_mm_words(7.0, 8.5) == "7–8.5 mm"


def test_a_day_that_is_not_reached_is_said_to_be_so() -> None:
    nowhere = DateBand(early_on=None, middle_on=None, late_on=None)
    assert band_sentence(nowhere).count("not reached") == 3


def test_stocks_carried_over_are_counted_once_among_those_in_hand() -> None:
    # M27: 3 grafts, 1 spare, 2 in hand, both carried over, none coming
    assert "M27 3 1 2 10" in reading.words_of(ALL["plan.pdf"].content)
