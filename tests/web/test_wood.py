"""The wood page: what is in store, what may be cut, which grades fit, and one join drawn."""

import re
from datetime import date

import pytest
from django.test import Client

from graftwright.notebook.entries import (
    BundleChecked,
    Condition,
    Health,
    HealthNoted,
    PermissionRecorded,
    StockGrade,
    StocksOffered,
)
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write
from graftwright.store.codes import next_codes
from graftwright.store.read import all_written
from graftwright.web.wood import views
from graftwright.web.wood.grades import GradeAnswer, GradeRow

pytestmark = pytest.mark.django_db

DAY = date(2009, 2, 17)


def _text(client: Client, address: str = "/wood/", *, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status
    return answer.content.decode()


def _part(page: str, name: str) -> str:
    return page.split(f'aria-labelledby="{name}"', 1)[1].split("</section>", 1)[0]


def _bundle_codes(page: str) -> list[str]:
    in_use = _part(page, "bundles").split("<details", 1)[0]
    return re.findall(r'class="code" href="/trees/(\w{5})/"', in_use)


def test_every_usable_bundle_stands_with_what_it_still_gives(
    client_here: Client, winter: Notebook
) -> None:
    part = _part(_text(client_here), "bundles")
    in_store = [one for one in winter.bundles.values() if one.is_in_store]
    assert in_store
    for bundle in in_store:
        assert bundle.code in part
        assert re.search(rf"\b{bundle.pieces_left} pieces?\b", part)


def test_a_bundle_that_will_not_keep_goes_to_the_top_and_says_why(
    client_here: Client, winter: Notebook
) -> None:
    last = _bundle_codes(_text(client_here))[-1]
    write(BundleChecked(happened_on=DAY, code=last, condition=Condition.SWOLLEN))
    page = _text(client_here)
    ranks = _bundle_codes(page)
    firm = [one for one in winter.bundles.values() if one.condition is Condition.FIRM]
    others = [ranks.index(one.code) for one in firm if one.code in ranks and one.code != last]
    assert others
    assert ranks.index(last) < min(others)
    assert "Use first: swollen, seen 17 February" in _part(page, "bundles")


def test_a_tree_whose_owner_said_no_or_that_is_diseased_may_not_be_cut(
    client_here: Client, winter: Notebook
) -> None:
    first, second = sorted(winter.mother_trees)[:2]
    write(PermissionRecorded(happened_on=DAY, code=first, owner="M. Lea", granted=False))
    write(HealthNoted(happened_on=DAY, code=second, health=Health.DISEASED))
    part = _part(_text(client_here), "mothers")
    assert "The owner said no" in part
    assert "Diseased: take no wood" in part
    rows = re.findall(r"<tr><th.*?</tr>", part)
    barred = [one for one in rows if first in one or second in one]
    assert len(barred) == 2
    assert all(">–</td>" in one for one in barred)
    assert set(rows[-2:]) >= {one for one in barred if first in one or second in one}


def test_wood_of_a_tree_that_may_not_be_cut_is_left_alone(
    client_here: Client, winter: Notebook
) -> None:
    bundle = next(one for one in winter.bundles.values() if one.mother_tree_code)
    write(
        HealthNoted(happened_on=DAY, code=bundle.mother_tree_code, health=Health.DISEASED),
    )
    part = _part(_text(client_here), "bundles")
    assert "left alone" in part
    assert "its tree is diseased" in part.split("left alone", 1)[1]


def test_a_grade_no_wood_fits_is_warned_of_before_the_order(
    client_here: Client, winter: Notebook
) -> None:
    stock = next(one.stock for one in winter.promises.values())
    (code,) = next_codes(1, today=DAY)
    write(
        StocksOffered(
            happened_on=DAY,
            code=code,
            grade=StockGrade(stock=stock, low_mm=30.0, high_mm=34.0),
            supplier="Alder Yard",
            lot_size_count=25,
            price_per_lot=20.0,
            available_count=500,
        )
    )
    part = _part(_text(client_here), "grades")
    row = next(one for one in re.findall(r"<tr><th.*?</tr>", part) if "30" in one and "34" in one)
    assert "No piece fits grade" in row
    assert 'data-head="Best mix">0<' in row
    assert 'data-head="Wood that fits">0%<' in row


def test_an_order_of_a_grade_outside_the_best_mix_is_warned_of(
    client_here: Client, winter: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = tuple(
        GradeRow(
            stock="M26",
            low_mm=low_mm,
            high_mm=low_mm + 2.0,
            advised_count=advised_count,
            ordered_count=ordered_count,
            suiting_fraction=0.5,
            warning="",
        )
        for low_mm, advised_count, ordered_count in ((8.0, 40, 0), (10.0, 0, 25))
    )
    answer = GradeAnswer(rows=rows, wanted_count=40, served_count=40)
    monkeypatch.setattr(views, "grade_answer", lambda *_, **__: answer)
    part = _part(_text(client_here), "grades")
    assert "order holds a grade of which the best mix takes none" in part
    assert part.count("Ordered, but not in the best mix") == 1
    assert "All 40 grafts find a grade on offer" in part


def test_the_best_mix_serves_no_more_than_is_wanted(client_here: Client, winter: Notebook) -> None:
    part = _part(_text(client_here), "grades")
    mix = [int(one) for one in re.findall(r'data-head="Best mix">(\d+)<', part)]
    assert sum(mix) > 0
    wanted = re.search(r"of (\d+) grafts? find|All (\d+) grafts? find", part)
    assert wanted is not None
    assert sum(mix) <= int(wanted[1] or wanted[2])


def test_two_thicknesses_give_joins_with_reasons_and_a_drawing(client_here: Client) -> None:
    part = _part(_text(client_here, "/wood/?scion=7&stock=8&when=DORMANT"), "join")
    assert part.count('data-head="Why"') == 6
    assert "Whip-and-tongue of a 7.0 mm scion and a 8.0 mm stock" in part
    assert "Line up the cambium, not the bark." in part
    assert "join-meets" in part


def test_a_pair_that_no_join_suits_says_so_instead_of_drawing(client_here: Client) -> None:
    part = _part(_text(client_here, "/wood/?scion=9&stock=6&when=DORMANT"), "join")
    assert "thicker than the stock" in part
    assert "<svg" not in part
    assert "None of the joins suits this pair" in part


def test_every_join_that_suits_is_drawn_and_stands_in_the_table(client_here: Client) -> None:
    part = _part(_text(client_here, "/wood/?scion=7&stock=12&when=DORMANT"), "join")
    assert part.count("<svg") == part.count('data-head="Cambium that meets"') >= 3
    assert "Cleft of a 7.0 mm scion" in part


def test_the_joins_of_a_pair_come_on_paper_too(client_here: Client) -> None:
    answer = client_here.get("/wood/joins.pdf?scion=7&stock=12&when=DORMANT")
    assert answer.status_code == 200
    assert answer.content.startswith(b"%PDF")
    assert client_here.get("/wood/joins.pdf?scion=9&stock=6&when=DORMANT").status_code == 422


def test_the_take_curve_is_named_with_what_others_would_change(
    client_here: Client, winter: Notebook
) -> None:
    part = _part(_text(client_here), "curve")
    assert "judged graft" in part
    assert "assum" in part
    assert part.count('data-head="Other pairs"') == 2


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("scion=&stock=8&when=DORMANT", "Measure it and write it down."),
        ("scion=7&stock=800&when=DORMANT", "Between 2 and 60 mm is expected."),
        ("scion=x&stock=8&when=DORMANT", "Write a number in mm, such as 7.5."),
        ("scion=nan&stock=8&when=DORMANT", "Write a number in mm, such as 7.5."),
        ("scion=7&stock=8&when=SPRING", "Choose one."),
    ],
)
def test_a_wrong_measure_is_said_beside_its_field(
    client_here: Client, asked: str, words: str
) -> None:
    page = _text(client_here, f"/wood/?{asked}", status=422)
    assert words in page
    assert "join-answer" not in page


def test_looking_at_wood_writes_nothing(client_here: Client, winter: Notebook) -> None:
    before = len(all_written())
    _text(client_here, "/wood/?scion=7&stock=8&when=DORMANT")
    assert len(all_written()) == before


def test_an_empty_notebook_says_what_to_do_first(client_here: Client) -> None:
    page = _text(client_here)
    assert "No wood of this winter is in store" in page
    assert "Before you order stocks" not in page
    assert "Trees to cut from" not in page


def test_the_gauge_card_is_handed_out_as_a_file(client_here: Client) -> None:
    answer = client_here.get("/wood/gauge-card.pdf")
    assert answer.content.startswith(b"%PDF-")
    assert "gauge-card.pdf" in answer.headers["Content-Disposition"]


def test_the_page_stands_in_the_contents_and_holds_no_style_of_its_own(
    client_here: Client, winter: Notebook
) -> None:
    page = _text(client_here, "/wood/?scion=7&stock=8&when=DORMANT")
    assert page.count('aria-current="page"') == 1
    assert page.count("<h1") == 1
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style", page)
