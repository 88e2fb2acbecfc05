"""The receiver's card fits one A5 side, whatever it must say."""

from dataclasses import replace
from datetime import date

import pypdfium2
import pytest

from graftwright.paper.card import card_text, receiver_card_pdf
from graftwright.season.receiver_card import MonthWork, ReceiverCard
from graftwright.tagcode import code_from_number
from tests.paper.reading import images, symbols

CODE = code_from_number(77)
CARD = ReceiverCard(
    code=CODE,
    variety="Ashmead’s Kernel",
    stock="M26",
    name_words="Name of the variety: label only.",
    nursery="Lantern Bank Growers",
    made_on=date(2009, 11, 25),
    size="Grows 1.7 to 4.6 m high.",
    distance="Space: 2.4 to 3.6 m.",
    stake="Stake for life.",
    union=("Union 51 to 76 mm above the soil.", "Union 76 to 152 mm above the soil."),
    partners="Flowers with Discovery.",
    months=(MonthWork(months="November to March", words="plant bare roots"),),
    binding="The binding is off.",
    dies_back="Shoots from below the union are M26.",
    cautions=("Ask the plant health authority.", "Lift the pot."),
    ask="Ask Lantern Bank Growers.",
)
LONG = "a name that goes on and on over the hills and far away " * 12


def _text(content: bytes) -> str:
    document = pypdfium2.PdfDocument(content)
    text = "".join(page.get_textpage().get_text_range() for page in document)
    return " ".join(text.split())


@pytest.mark.parametrize(
    "card",
    [
        CARD,
        replace(CARD, variety=LONG[:120], stock=LONG[:60], nursery=LONG[:120]),
        replace(CARD, partners=LONG, union=(LONG, LONG, LONG), ask=LONG, cautions=(LONG,) * 4),
        replace(CARD, months=(MonthWork(months="May", words=LONG),) * 12),
        replace(CARD, variety="W" * 120, name_words="x" * 900),
    ],
)
def test_every_card_is_one_a5_side_and_loses_no_word(card: ReceiverCard) -> None:
    content = receiver_card_pdf(card)
    document = pypdfium2.PdfDocument(content)
    assert len(document) == 1
    width_pt, height_pt = document[0].get_size()
    assert (round(width_pt * 25.4 / 72), round(height_pt * 25.4 / 72)) == (148, 210)
    squeezed = _text(content).replace(" ", "")
    for _, words in card_text(card):
        assert words.replace(" ", "").replace("\n", "")[-40:] in squeezed


def test_nothing_is_printed_into_the_margin() -> None:
    (image,) = images(
        receiver_card_pdf(replace(CARD, partners=LONG, union=(LONG,) * 3)), dots_per_inch=100
    )
    width, height = image.size
    margin = round(8.0 / 25.4 * 100)
    for strip in (
        (0, 0, margin, height),
        (width - margin, 0, width, height),
        (0, height - margin, width, height),
    ):
        assert image.crop(strip).getextrema()[0] > 240


def test_the_square_is_read_as_this_tree_s_code() -> None:
    (image,) = images(receiver_card_pdf(CARD), dots_per_inch=300)
    assert [found.text for found in symbols(image, dots_per_inch=300)] == [CODE]
