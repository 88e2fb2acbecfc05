"""Mother trees: order of cutting, the way there, shoots too short, and who follows a name."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from graftwright.notebook.entries import (
    Certainty,
    Health,
    HealthNoted,
    MotherTreeEntered,
    NurseryDescribed,
    PermissionRecorded,
    RunGrafted,
    ShootsMeasured,
    StockGrade,
    StocksArrived,
    TreeHandedOver,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.season.mother_trees import (
    descendants,
    holders,
    mother_standing,
    mother_trees_standing,
    way_between,
)
from graftwright.tagcode import code_from_number

DAY = date(2009, 2, 17)
ONE, TWO, THREE, BUNDLE, LOT, TREE, OTHER = (code_from_number(n) for n in range(1, 8))


def notebook_of(*entries: Entry) -> Notebook:
    start = datetime(2009, 2, 17, tzinfo=UTC)
    return replay(
        Written(entry_id=UUID(int=n), written_at=start + timedelta(minutes=n), entry=entry)
        for n, entry in enumerate(entries, start=1)
    )


def mother(code: str, **more: object) -> MotherTreeEntered:
    facts: dict[str, object] = {"variety": "Discovery", "certainty": Certainty.FRUITED, **more}
    return MotherTreeEntered(happened_on=DAY, code=code, **facts)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("to_deg", "direction"),
    [
        ((55.2, -2.3), "north"),
        ((53.2, -2.3), "south"),
        ((54.2, -2.2), "east"),
        ((54.2, -2.4), "west"),
        ((54.3, -2.13), "north-east"),
    ],
)
def test_the_direction_is_told_in_words(to_deg: tuple[float, float], direction: str) -> None:
    assert way_between((54.2, -2.3), to_deg).direction == direction


@pytest.mark.source("WGS84", "a degree of longitude at 48 N: 74.63 km, of latitude 111.2 km")
def test_the_distance_is_that_of_the_published_degrees_within_a_third_of_a_per_cent() -> None:
    east = way_between((48.0, 37.0), (48.0, 38.0))
    north = way_between((47.5, 37.0), (48.5, 37.0))
    assert east.distance_m == pytest.approx(74_630.0, rel=0.0033)
    assert north.distance_m == pytest.approx(111_200.0, rel=0.0033)


def test_without_both_coordinates_no_distance_is_told() -> None:
    placed = mother(ONE, latitude_deg=54.21, longitude_deg=-2.31)
    here = NurseryDescribed(happened_on=DAY, latitude_deg=54.2)
    assert mother_trees_standing(notebook_of(placed, here))[0].way is None
    whole = NurseryDescribed(happened_on=DAY, longitude_deg=-2.3)
    way = mother_trees_standing(notebook_of(placed, here, whole))[0].way
    assert way is not None
    assert 500.0 < way.distance_m < 2000.0


def test_allowed_and_clean_trees_stand_before_suspect_and_forbidden_ones() -> None:
    notebook = notebook_of(
        mother(ONE),
        mother(TWO),
        mother(THREE),
        PermissionRecorded(happened_on=DAY, code=ONE, owner="A", granted=False),
        HealthNoted(happened_on=DAY, code=ONE, health=Health.CLEAN),
        PermissionRecorded(happened_on=DAY, code=TWO, owner="B"),
        HealthNoted(happened_on=DAY, code=TWO, health=Health.SUSPECT),
        PermissionRecorded(happened_on=DAY, code=THREE, owner="C"),
        HealthNoted(happened_on=DAY, code=THREE, health=Health.CLEAN),
    )
    order = [one.mother.code for one in mother_trees_standing(notebook)]
    assert order == [THREE, TWO, ONE]
    assert not mother_standing(notebook.mother_trees[ONE], notebook).may_be_cut


def test_a_diseased_tree_is_not_cut_and_the_authority_is_named() -> None:
    notebook = notebook_of(
        mother(ONE), HealthNoted(happened_on=DAY, code=ONE, health=Health.DISEASED)
    )
    (one,) = mother_trees_standing(notebook)
    assert not one.may_be_cut
    assert "plant health authority" in " ".join(one.bars)


@pytest.mark.parametrize(("length_mm", "renews"), [(40.0, True), (150.0, True), (160.0, False)])
def test_shoots_shorter_than_six_inches_ask_for_a_renewal_a_year_ahead(
    length_mm: float, *, renews: bool
) -> None:
    measured = ShootsMeasured(
        happened_on=DAY, code=ONE, shoot_length_mm=length_mm, shoot_thickness_mm=5.0
    )
    (one,) = mother_trees_standing(notebook_of(mother(ONE), measured))
    assert ("Renew this winter, cut next" in one.renewal) is renews
    assert ("a year later" in one.renewal) is renews


def test_every_tree_raised_from_it_is_listed_with_its_holder() -> None:
    notebook = notebook_of(
        mother(ONE),
        WoodCut(happened_on=DAY, code=BUNDLE, variety="Discovery", mother_tree_code=ONE),
        StocksArrived(
            happened_on=DAY,
            code=LOT,
            arrived_count=3,
            grade=StockGrade(stock="M26", low_mm=8, high_mm=10),
        ),
        RunGrafted(happened_on=DAY, bundle_code=BUNDLE, lot_code=LOT, tree_codes=(TREE, OTHER)),
        TreeHandedOver(happened_on=DAY, tree_codes=(OTHER,), to_whom="the school"),
    )
    raised = descendants(ONE, notebook)
    assert {one.code for one in raised} == {TREE, OTHER}
    assert holders(raised) == ("here", "the school")
    assert descendants(TWO, notebook) == ()
