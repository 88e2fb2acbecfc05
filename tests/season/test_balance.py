"""Several varieties on one tree: vigour, flower and girth set beside one another. (need N43)

Vigour is what the shipped table says of each variety, with its sources there: Bramley's Seedling
strong, Ashmead's Kernel and Annie Elizabeth middling, Bountiful weak.
"""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from graftwright.errors import CannotFollow, OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    LimbGirthMeasured,
    LimbRemoved,
    RunGrafted,
    StickMeasured,
    StockGrade,
    StocksArrived,
    VarietyAdded,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.notebook.rules import check_may_follow
from graftwright.season.balance import Balance, balance_of
from graftwright.tagcode import code_from_number

TREE, LOT = code_from_number(1), code_from_number(2)
DAY = date(2009, 2, 17)


def bundle_code(place: int) -> str:
    return code_from_number(10 + place)


def family_tree(*varieties: str, later: tuple[Entry, ...] = ()) -> Notebook:
    """A tree of the first variety with the others worked on it, each on a limb of its own."""
    stick = StickMeasured(number=1, length_mm=300.0, base_mm=8.0, tip_mm=6.0, bud_count=12)
    entries: list[Entry] = [
        WoodCut(happened_on=DAY, code=bundle_code(place), variety=name, sticks=(stick,))
        for place, name in enumerate(varieties)
    ]
    grade = StockGrade(stock="M26", low_mm=7.0, high_mm=9.0)
    entries += [
        StocksArrived(happened_on=DAY, code=LOT, arrived_count=5, grade=grade),
        RunGrafted(happened_on=DAY, tree_codes=(TREE,), bundle_code=bundle_code(0), lot_code=LOT),
    ]
    entries += [
        VarietyAdded(
            happened_on=DAY,
            tree_codes=(TREE,),
            bundle_code=bundle_code(place),
            height_mm=900.0,
            bearing_deg=90.0 * place,
            limb=f"limb {place}",
        )
        for place in range(1, len(varieties))
    ]
    start = datetime(2009, 2, 17, tzinfo=UTC)
    return replay(
        Written(entry_id=UUID(int=n), written_at=start + timedelta(seconds=n), entry=entry)
        for n, entry in enumerate((*entries, *later), 1)
    )


def girth(part_number: int, girth_mm: float) -> LimbGirthMeasured:
    return LimbGirthMeasured(
        happened_on=date(2012, 1, 10),
        tree_codes=(TREE,),
        part_number=part_number,
        girth_mm=girth_mm,
    )


def balance(notebook: Notebook) -> Balance:
    found = balance_of(notebook.trees[TREE], notebook, catalogue=shipped_catalogue())
    assert found is not None
    return found


def test_a_very_vigorous_and_a_weak_variety_on_one_tree_draw_a_warning() -> None:
    (words,) = [
        one
        for one in balance(family_tree("Bramley's Seedling", "Bountiful")).warnings
        if "strong" in one
    ]
    assert words.startswith("Bramley's Seedling grows strongly and Bountiful weakly")
    assert "Give Bountiful the best place" in words


@pytest.mark.parametrize(
    "varieties",
    [
        ("Bramley's Seedling", "Ashmead's Kernel"),
        ("Ashmead's Kernel", "Bountiful"),
        ("Bramley's Seedling", "Egremont Russet"),  # its sources disagree
        ("Bramley's Seedling", "a name in no list"),
    ],
)
def test_varieties_of_like_or_unknown_vigour_draw_none(varieties: tuple[str, ...]) -> None:
    assert not [one for one in balance(family_tree(*varieties)).warnings if "shades" in one]


def test_given_girths_the_limb_to_check_is_named() -> None:
    # girths 100, 100 and 150 mm: cross-sections as 1 : 1 : 2.25
    notebook = family_tree(
        "Ashmead's Kernel", "Discovery", "James Grieve",
        later=(girth(0, 100.0), girth(1, 100.0), girth(2, 150.0)),
    )  # fmt: skip
    found = balance(notebook)
    assert [one.section_ratio for one in found.shares] == pytest.approx(
        [(100 / 125) ** 2, (100 / 125) ** 2, 2.25]
    )
    (words,) = found.checks
    assert "limb 2 (James Grieve)" in words
    assert "2.2 times" in words or "2.3 times" in words


def test_a_limb_that_falls_behind_is_named_and_a_missing_girth_names_none() -> None:
    apples = ("Ashmead's Kernel", "Discovery", "James Grieve")
    behind = family_tree(*apples, later=(girth(0, 100.0), girth(1, 100.0), girth(2, 60.0)))
    (words,) = balance(behind).checks
    assert "limb 2 (James Grieve)" in words
    assert "only 0.4" in words
    assert balance(family_tree(*apples, later=(girth(2, 300.0),))).checks == ()


def test_the_latest_girth_counts_and_a_limb_cut_off_no_longer() -> None:
    apples = ("Ashmead's Kernel", "Discovery", "James Grieve")
    girths = (girth(0, 100.0), girth(1, 100.0), girth(2, 300.0))
    assert balance(family_tree(*apples, later=(*girths, girth(2, 100.0)))).checks == ()
    gone = LimbRemoved(happened_on=date(2012, 2, 1), tree_codes=(TREE,), limb="limb 2")
    found = balance(family_tree(*apples, later=(*girths, gone)))
    assert [one.part_number for one in found.shares] == [0, 1]
    assert found.checks == ()


def test_what_would_go_with_them_is_of_like_vigour_and_in_store() -> None:
    stick = StickMeasured(number=1, length_mm=300.0, base_mm=8.0, tip_mm=6.0, bud_count=12)
    more = tuple(
        WoodCut(happened_on=DAY, code=code_from_number(40 + n), variety=name, sticks=(stick,))
        for n, name in enumerate(("Annie Elizabeth", "Bramley's Seedling", "a name in no list"))
    )
    found = balance(family_tree("Bountiful", "Ashmead's Kernel", later=more))
    assert [name for _, name in found.companions] == ["Annie Elizabeth"]


def test_a_tree_of_one_variety_has_no_balance() -> None:
    notebook = family_tree("Discovery")
    assert balance_of(notebook.trees[TREE], notebook, catalogue=shipped_catalogue()) is None


def test_a_girth_of_no_graft_or_of_no_limb_is_refused() -> None:
    notebook = family_tree("Discovery", "James Grieve")
    check_may_follow(girth(0, 100.0), notebook)
    with pytest.raises(CannotFollow, match="number 5 is not among them"):
        check_may_follow(girth(5, 100.0), notebook)
    with pytest.raises(OutOfRange, match="3 to 3000 mm"):
        girth(1, 1.0)
