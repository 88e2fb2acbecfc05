"""Whatever people write, everything prints, stays on its page and can be read back."""

from dataclasses import replace
from xml.etree import ElementTree

import icalendar
import pytest
import vobject

from graftwright.paper import Label, papers, plan_tables, stick_svg
from graftwright.season.planned import Plan
from tests.paper import reading
from tests.paper.winter import winter, winter_labels

ODD = {
    "empty": "",
    "control signs": "a\x00b\x0bc\x1fd\x85e\u2028f\tg\nh",
    "half a letter": "a\ud800b",
    "marks of other formats": '<b>&";:,\\\r\nBEGIN:VEVENT %PDF ) Tj',
    "one long word": "Apfel" * 40,
    "many words": "old red cider apple from the hedge " * 15,
    "other scripts": "漢字 Антоновка 😀 ثمرة",
}
EACH = pytest.mark.parametrize("odd", ODD.values(), ids=ODD)


def winter_of(odd: str) -> Plan:
    plan = winter()
    return replace(
        plan,
        nursery_name=odd,
        lines=tuple(replace(line, who=odd, variety=odd, stock=odd) for line in plan.lines),
        sticks=tuple(
            replace(
                stick,
                variety=odd,
                pieces=tuple(replace(piece, goes_to=odd) for piece in stick.pieces),
            )
            for stick in plan.sticks[:6]
        ),
        runs=tuple(replace(run, variety=odd, method=odd, stock=odd) for run in plan.runs),
        batches=tuple(replace(batch, place_name=odd, words=odd) for batch in plan.batches),
        orders=tuple(replace(order, supplier=odd, words=odd) for order in plan.orders),
        remarks=(odd, odd * 20),
    )


@EACH
def test_no_letter_leaves_its_page(odd: str) -> None:
    label = (
        Label(code="K4T76", variety=odd or "x", stock=odd or "x", line=odd, certainty=odd)
        if odd.strip()
        else winter_labels()[0]
    )
    for paper in papers(winter_of(odd), [label]):
        if paper.media_type != "application/pdf":
            continue
        wide_mm = 297.0 if paper.file_name in ("cut-sheet.pdf", "run-sheets.pdf") else 210.0
        for page_index in range(len(reading.page_texts(paper.content))):
            for _, box in reading.letters(paper.content, page_index=page_index):
                assert box.left_mm >= 0.0
                assert box.right_mm <= wide_mm
                assert box.foot_mm <= 507.0 - wide_mm


@EACH
def test_two_calendar_readers_still_agree(odd: str) -> None:
    content = {paper.file_name: paper for paper in papers(winter_of(odd), ())}[
        "calendar.ics"
    ].content
    assert max(map(len, content.split(b"\r\n"))) <= 75
    one = icalendar.Calendar.from_ical(content).walk("VEVENT")
    other = vobject.readOne(content.decode()).vevent_list
    assert len(one) == len(other) == 10
    assert sorted((str(e["uid"]), str(e["summary"]), str(e["description"])) for e in one) == sorted(
        (e.uid.value, e.summary.value, e.description.value) for e in other
    )


@EACH
def test_the_drawing_and_the_tables_are_well_formed(odd: str) -> None:
    plan = winter_of(odd)
    for stick in plan.sticks:
        assert ElementTree.fromstring(stick_svg(stick)).tag.endswith("svg")
    for paper in plan_tables(plan):
        assert paper.content.decode("utf-8-sig")
