"""Register, watering sheet, movement book, workshop pack and season report say what stands."""

import csv
import io
import random
import re
from dataclasses import replace
from datetime import date

import pytest
from scipy.stats import beta

from graftwright.errors import OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import PlaceKind, StockGrade
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, Place, StockLot, Tree
from graftwright.paper import (
    WorkshopDay,
    label_sheets,
    movement_book,
    movement_book_csv,
    position_register,
    season_report,
    tree_labels,
    watering_sheet,
    workshop_pack,
)
from graftwright.season.movements import Way, movements
from graftwright.season.naming import Names
from graftwright.season.season_counts import season_counts, seasons_counted
from graftwright.season.workshop_plan import WorkshopWish, workshop_plan
from graftwright.tagcode import code_from_number
from tests.exchange.record import demo_notebook, demo_written
from tests.paper import reading

TODAY = date(2009, 2, 17)
VARIETIES = ("Discovery", "Ashmead’s Kernel", "Gellyg Ŵy", "Łódź Kőszegi", "Keswick Codlin")


def standing(count: int, *, place_count: int = 1) -> Notebook:
    """So many trees in rows, each with a position, their varieties mixed by seed."""
    chance = random.Random(7)
    bundles = {
        code_from_number(9_000 + n): Bundle(
            code=code_from_number(9_000 + n), variety=name, cut_on=date(2009, 1, 5)
        )
        for n, name in enumerate(VARIETIES)
    }
    lot = StockLot(
        code=code_from_number(8_000), grade=StockGrade(stock="M26", low_mm=7.0, high_mm=9.0)
    )
    places = {
        code_from_number(7_000 + n): Place(
            code=code_from_number(7_000 + n),
            name=f"Bed {n + 1}",
            place_kind=PlaceKind.OUTDOORS,
            walking_order=n,
        )
        for n in range(place_count)
    }
    sample = next(iter(demo_notebook().trees.values()))
    trees: dict[str, Tree] = {}
    for number in range(count):
        code = code_from_number(number)
        trees[code] = Tree(
            code=code,
            run_id=sample.run_id,
            grafted_on=date(2008, 3, 1),
            bundle_code=chance.choice(list(bundles)),
            lot_code=lot.code,
            place_code=list(places)[number % place_count],
            position=f"{'ABC'[number % 3]}{number // 3 + 1}",
        )
    return Notebook(bundles=bundles, lots={lot.code: lot}, places=places, trees=trees)


def test_ten_trees_that_lost_their_labels_are_named_from_the_register_alone() -> None:
    notebook = standing(100)
    words = reading.words_of(position_register(notebook, today=TODAY))
    row = re.compile(r"\b([ABC]\d+) ([2-9CEFHJ-NPRTWXY]{5}) (.+?), (M26)\b")
    named = {found[0]: (found[1], found[2]) for found in row.findall(words)}
    lost = random.Random(3).sample(list(notebook.trees.values()), 10)
    for tree in lost:
        assert named[tree.position] == (tree.code, notebook.variety_of(tree))


@pytest.mark.parametrize("count", [1, 45, 100, 260, 400])
def test_every_place_stands_on_one_page_with_all_its_trees(count: int) -> None:
    notebook = standing(count)
    pages = reading.page_texts(position_register(notebook, today=TODAY))
    assert len(pages) == 1
    assert all(code in pages[0] for code in notebook.trees)


def test_each_place_begins_a_page_and_trees_stand_in_the_order_of_their_positions() -> None:
    notebook = standing(60, place_count=3)
    pages = reading.page_texts(position_register(notebook, today=TODAY))
    assert [re.search(r"Bed \d", page)[0] for page in pages] == ["Bed 1", "Bed 2", "Bed 3"]
    (whole,) = reading.page_texts(position_register(standing(60), today=TODAY))
    positions = re.findall(r"\b([ABC]\d+) [2-9CEFHJ-NPRTWXY]{5}", whole)
    assert len(positions) == 60
    assert positions == sorted(positions, key=lambda p: (p[0], int(p[1:])))


def test_labels_for_standing_trees_follow_the_round_and_keep_to_a_place() -> None:
    notebook = standing(30, place_count=2)
    made = tree_labels(notebook)
    orders = [notebook.places[notebook.trees[one.code].place_code].walking_order for one in made]
    assert orders == sorted(orders)
    place = next(iter(notebook.places))
    assert len(tree_labels(notebook, place_code=place)) == 15


def test_the_label_of_a_tree_with_an_interstem_names_all_three_parts() -> None:
    # need N44
    notebook = standing(1)
    (tree,) = notebook.trees.values()
    between = next(code for code in notebook.bundles if code != tree.bundle_code)
    trees = {tree.code: replace(tree, interstem_bundle_code=between)}
    (label,) = tree_labels(replace(notebook, trees=trees))
    names = (notebook.variety_of(tree), notebook.bundles[between].variety, "M26")
    assert (label.variety, label.stock) == (names[0], f"{names[1]} on {names[2]}")
    words = reading.words_of(label_sheets([label]))
    assert all(name.replace("’", "") in words.replace("’", "") for name in names)


def test_the_watering_sheet_has_every_place_and_fourteen_days() -> None:
    content = watering_sheet(standing(30, place_count=3), first_on=TODAY)
    words = reading.words_of(content)
    assert [f"Bed {n}" in words for n in (1, 2, 3)] == [True] * 3
    assert "Tu 17" in words
    assert "Mo 2" in words
    boxes = [b for b in reading.shapes(content) if 8.0 < b.foot_mm - b.top_mm < 14.0]
    assert len(boxes) == 3 * 14


def test_the_movement_book_balances_with_the_notebook() -> None:
    notebook, written = demo_notebook(), demo_written()
    found = movements(written, notebook)
    out = sum(m.count for m in found if m.way is Way.OUT and m.what.startswith("trees"))
    assert out == sum(tree.handed_over_on is not None for tree in notebook.trees.values())
    arrived = sum(m.count for m in found if m.way is Way.IN and m.what.startswith("stocks"))
    carried = sum(lot.arrived_count for lot in notebook.lots.values() if lot.carried_over)
    assert arrived + carried == sum(lot.arrived_count for lot in notebook.lots.values())
    cut = {code for m in found if m.way is Way.IN and "wood" in m.what for code in m.codes}
    assert cut == set(notebook.bundles)


def test_a_year_s_book_holds_that_year_alone_and_all_years_make_the_whole() -> None:
    notebook, written = demo_notebook(), demo_written()
    whole = movements(written, notebook)
    years = sorted({one.day.year for one in whole})
    assert tuple(m for y in years for m in movements(written, notebook, year=y)) == whole
    book = movements(written, notebook, year=2008)
    rows = list(csv.DictReader(io.StringIO(movement_book_csv(book))))
    assert len(rows) == len(book)
    words = reading.words_of(movement_book(book, year=2008))
    assert all(code in words for one in book for code in one.codes)


def test_an_empty_year_says_so() -> None:
    assert "Nothing that came" in reading.words_of(movement_book((), year=1999))


def workshop_day(people: int, each: int = 1, **laid_out: int) -> WorkshopDay:
    wish = WorkshopWish(people_count=people, trees_each_count=each, **laid_out)
    plan = workshop_plan(wish, notebook=Notebook(), names=Names(shipped_catalogue()))
    return WorkshopDay(on=TODAY, plan=plan, varieties=("Gellyg Ŵy",))


def test_fifteen_people_with_two_trees_each_get_a_stated_chance() -> None:
    day = workshop_day(15, 2)
    words = reading.words_of(workshop_pack(day))
    for one in day.plan.laid_out:
        assert one.laid_out_count > 30
        assert f"{one.laid_out_count} 30 to take home and {one.laid_out_count - 30} for" in words
    for line in day.plan.pack:
        assert line.what.lower() in words.lower()
        assert line.words in words
    assert day.plan.chance_fraction >= 0.95
    assert "The chance that nobody goes without is" in words
    assert len(re.findall(r"\bTree \d+\b", words)) == 30


def test_late_comers_show_what_runs_out_first() -> None:
    wood, stocks = (one.laid_out_count for one in workshop_day(15, 2).plan.laid_out)
    late = workshop_day(19, 2, wood_laid_out_count=wood + 40, stocks_laid_out_count=min(stocks, 38))
    assert late.plan.chance_fraction < 0.9
    assert "what runs out first is stocks" in reading.words_of(workshop_pack(late))


@pytest.mark.parametrize(("people", "each"), [(0, 1), (501, 1), (10, 0), (100, 6)])
def test_a_workshop_for_nobody_or_for_too_many_is_refused(people: int, each: int) -> None:
    with pytest.raises(OutOfRange, match="expected 1 to"):
        workshop_day(people, each)


def test_the_season_s_counts_are_those_of_its_trees() -> None:
    notebook = demo_notebook()
    counts = season_counts(notebook, season=2008)
    mine = [tree for tree in notebook.workings() if tree.season == 2008]
    chain = {one.name: one.count for one in counts.chain}
    assert chain["grafted"] == len(mine)
    assert chain["handed over"] == sum(tree.handed_over_on is not None for tree in mine)
    assert sum(count for _, count in counts.by_day) == len(mine)
    assert sum(one.count for one in counts.by_variety) == chain["taken"]
    assert sum(one.count for one in counts.losses) == sum(not tree.is_alive for tree in mine)
    assert 2008 in seasons_counted(notebook)


@pytest.mark.source(
    "BrownCaiDasGupta2001", "the equal-tailed interval of Beta(x + 1/2, n - x + 1/2)"
)
def test_each_rate_of_the_report_stands_in_its_table_with_its_range() -> None:
    counts = season_counts(demo_notebook(), season=2008)
    words = reading.words_of(season_report(counts))
    for one in counts.by_variety:
        low = beta.ppf(0.05, one.count + 0.5, one.of_count - one.count + 0.5)
        assert f"{one.name} {one.of_count} {one.count} " in words
        assert f"{round(100 * low)} % to" in words


def test_a_season_without_grafts_says_so() -> None:
    counts = season_counts(Notebook(), season=2030)
    assert "No graft of the season 2030" in reading.words_of(season_report(counts))


def test_all_sheets_carry_their_faces_and_their_accents() -> None:
    notebook = standing(20)
    for content in (
        position_register(notebook, today=TODAY),
        watering_sheet(notebook, first_on=TODAY),
        workshop_pack(workshop_day(2)),
        season_report(season_counts(demo_notebook(), season=2008)),
    ):
        assert reading.are_faces_embedded(content)
    assert "Łódź Kőszegi" in reading.words_of(position_register(notebook, today=TODAY))
