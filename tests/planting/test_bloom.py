"""Who flowers when: groups of any list, recorded dates and the order in a collection."""

from dataclasses import replace
from datetime import date, timedelta
from statistics import fmean

import pytest

from graftwright.errors import NotUnderstood, OutOfRange
from graftwright.planting import (
    Catalogue,
    Crop,
    FloweringBasis,
    FloweringGroupReport,
    FloweringPlace,
    SourceKind,
    flowering_positions,
    flowering_window,
    group_span,
    partners,
    provisional_variety,
    variety_named,
    with_variety,
)


def _entered(name: str, *, scheme: str, group: str) -> Catalogue:
    variety = provisional_variety(name, crop=Crop.APPLE, source="typed in")
    report = FloweringGroupReport(
        scheme=scheme, group=group, source="a list", source_kind=SourceKind.OWN
    )
    return Catalogue(varieties=(replace(variety, flowering_groups=(report,)),), rootstocks=())


@pytest.mark.parametrize(("letter", "number"), list(zip("ABCDEFH", range(1, 8), strict=True)))
def test_the_same_facts_in_letters_and_in_numbers_give_one_answer(letter: str, number: int) -> None:
    by_letter = _entered("Tree", scheme="letters A to H", group=letter)
    by_number = _entered("Tree", scheme="numbers 1 to 7", group=str(number))
    found = [
        flowering_window(catalogue.varieties[0], catalogue=catalogue)
        for catalogue in (by_letter, by_number)
    ]
    assert found[0] is not None
    assert found[1] is not None
    assert (found[0].full_from_doy, found[0].full_to_doy) == (
        found[1].full_from_doy,
        found[1].full_to_doy,
    )


def test_partners_are_the_same_whichever_list_was_typed_in(catalogue: Catalogue) -> None:
    answers = []
    for scheme, group in (("letters A to H", "B"), ("numbers 1 to 7", "2")):
        variety = _entered("Goods Yard", scheme=scheme, group=group).varieties[0]
        grown = with_variety(catalogue, variety=variety)
        others = ["Discovery", "James Grieve", "Keswick Codlin", "Court Pendu Plat"]
        answers.append(
            [
                (found.giver_key, found.strength, found.overlap_low_days)
                for found in partners("Goods Yard", others=others, catalogue=grown)
            ]
        )
    assert answers[0] == answers[1]


def test_fewer_groups_make_wider_ones() -> None:
    seven = group_span("4", scheme="numbers 1 to 7")
    five = group_span("3", scheme="numbers 1 to 5")
    three = group_span("mid", scheme="early to late")
    widths = [span.high_days - span.low_days for span in (seven, five, three)]
    assert widths == sorted(widths)
    assert all(span.low_days < 13.0 < span.high_days for span in (seven, five, three))


def test_a_group_between_two_is_as_wide_as_both() -> None:
    both = group_span("2/3", scheme="numbers 1 to 7")
    assert both.low_days == group_span("2", scheme="numbers 1 to 7").low_days
    assert both.high_days == group_span("3", scheme="numbers 1 to 7").high_days


@pytest.mark.parametrize(("group", "scheme"), [("9", "numbers 1 to 5"), ("C", "blue to red")])
def test_a_group_nobody_can_place_is_refused(group: str, scheme: str) -> None:
    with pytest.raises(NotUnderstood, match="expected"):
        group_span(group, scheme=scheme)


# The English dates of the seven groups as an encyclopaedia prints them.
@pytest.mark.parametrize(
    ("variety", "first", "last"),
    [
        ("Gravenstein", (5, 1), (5, 3)),
        ("Suntan", (5, 19), (5, 23)),
        ("Court Pendu Plat", (5, 24), (5, 28)),
    ],
)
def test_the_groups_fall_on_their_printed_english_dates(
    variety: str, first: tuple[int, int], last: tuple[int, int], catalogue: Catalogue
) -> None:
    window = flowering_window(variety_named(variety, catalogue=catalogue), catalogue=catalogue)
    assert window is not None
    new_year = date(2025, 1, 1)
    printed = [(date(2025, *day) - new_year).days + 1 for day in (first, last)]
    assert window.full_from_doy == pytest.approx(printed[0] - 0.5, abs=0.5)
    assert window.full_to_doy == pytest.approx(printed[1] + 0.5, abs=0.5)


def test_recorded_dates_put_james_grieve_where_the_records_do(catalogue: Catalogue) -> None:
    grieve = variety_named("James Grieve", catalogue=catalogue)
    golden = variety_named("Golden Delicious", catalogue=catalogue)
    day_of_golden = {(d.place, d.year): d.day_of_year for d in golden.flowering_dates}
    gaps = [
        d.day_of_year - day_of_golden[(d.place, d.year)]
        for d in grieve.flowering_dates
        if (d.place, d.year) in day_of_golden
    ]
    position = flowering_positions([grieve], catalogue=catalogue)[grieve.key]
    assert position.basis is FloweringBasis.DATES
    assert position.span.middle_days - 13.0 == pytest.approx(fmean(gaps))
    assert fmean(gaps) < 0.0


@pytest.mark.source("Watts2023", "flowering days: order, not gaps")
def test_the_order_in_a_collection_is_kept_and_left_wide(catalogue: Catalogue) -> None:
    by_order = [
        v
        for v in catalogue.varieties
        if v.flowering_orders and not v.flowering_groups and not v.flowering_dates
    ]
    positions = flowering_positions(by_order, catalogue=catalogue)
    ranked = sorted(by_order, key=lambda v: v.flowering_orders[0].after_reference_days)
    early, late = positions[ranked[0].key], positions[ranked[-1].key]
    assert early.basis is FloweringBasis.ORDER
    assert early.span.middle_days < late.span.middle_days
    assert early.span.high_days - early.span.low_days >= 10.0


def test_a_later_place_moves_every_window_by_as_much(catalogue: Catalogue) -> None:
    variety = variety_named("Discovery", catalogue=catalogue)
    upland = FloweringPlace(name="Skelbeck", golden_delicious_doy=143.5)
    low = flowering_window(variety, catalogue=catalogue)
    high = flowering_window(variety, catalogue=catalogue, place=upland)
    assert low is not None
    assert high is not None
    assert timedelta(days=high.full_from_doy - low.full_from_doy) == timedelta(days=10)


def test_flowers_are_looked_for_between_two_dates(catalogue: Catalogue) -> None:
    window = flowering_window(variety_named("Discovery", catalogue=catalogue), catalogue=catalogue)
    assert window is not None
    first, last = window.open_dates(2026)
    assert (first.month, last.month) in {(4, 5), (5, 5)}
    assert (last - first).days >= 12


def test_nothing_known_of_flowering_is_no_window(catalogue: Catalogue) -> None:
    farmhouse = provisional_variety("Farmhouse apple", crop=Crop.APPLE, source="the farmer")
    grown = with_variety(catalogue, variety=farmhouse)
    assert flowering_window(farmhouse, catalogue=grown) is None


def test_a_day_outside_the_year_is_refused() -> None:
    with pytest.raises(OutOfRange, match="expected 1 to 366"):
        FloweringPlace(name="Nowhere", golden_delicious_doy=400.0)
