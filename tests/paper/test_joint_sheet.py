"""The joint plan on paper, read back by another program: words on sheets, millimetres on slips."""

from datetime import date

import pypdfium2
import pytest

from graftwright.demo import demo_neighbours
from graftwright.paper import joint_papers, joint_text
from graftwright.season.scheme import SchemeWishes, joint_plan

MM = 72.0 / 25.4


@pytest.fixture(scope="module")
def plan():
    return joint_plan(demo_neighbours(), wishes=SchemeWishes(), today=date(2009, 2, 17))


@pytest.fixture(scope="module")
def papers(plan):
    return {one.file_name: one.content for one in joint_papers(plan)}


def _text(content: bytes) -> str:
    document = pypdfium2.PdfDocument(content)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def test_each_nursery_has_its_sheet_and_each_parcel_its_slip(plan, papers):
    assert sorted(papers) == [
        "1-low-garth-nursery.pdf",
        "2-tarnfoot-fruit-group.pdf",
        "parcel-slips.pdf",
    ]
    for number, nursery in enumerate(plan.nurseries, 1):
        (name,) = [one for one in papers if one.startswith(str(number))]
        words = _text(papers[name])
        assert nursery in words
        for one in plan.outcomes:
            if one.nursery == nursery:
                assert one.want.variety in words
        assert "plant health authority" in " ".join(words.split())


def test_a_slip_names_what_lies_in_its_parcel_on_a_quarter_of_the_sheet(plan, papers):
    document = pypdfium2.PdfDocument(papers["parcel-slips.pdf"])
    assert document[0].get_size() == pytest.approx((210 * MM, 297 * MM), abs=0.1)
    page = document[0].get_textpage()
    first = plan.parcels[0]
    # the first slip is the upper left quarter, from 148.5 mm to the top, with its blank margin
    words = page.get_text_bounded(10 * MM, 158.5 * MM, 95 * MM, 287.5 * MM)
    whole = " ".join(words.split())
    assert first.receiver in whole
    assert first.sender in whole
    for lot in first.lots:
        assert lot.name in whole
        assert str(lot.count) in whole


def test_the_terminal_says_what_is_posted_and_what_is_short(plan):
    words = joint_text(plan)
    for parcel in plan.parcels:
        assert parcel.sender in words
    for one in plan.short:
        assert one.why_short in words
    assert "plant health authority" in " ".join(words.split())
