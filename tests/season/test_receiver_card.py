"""The card of one tree: months by hemisphere, stake, union, partners, binding."""

from calendar import month_name
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from graftwright.errors import UnknownCode
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    BindingOff,
    Certainty,
    MotherTreeEntered,
    NurseryDescribed,
    Planted,
    PromiseMade,
    RunGrafted,
    SpotDescribed,
    StockGrade,
    StocksArrived,
    TreeAllocated,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.replay import replay
from graftwright.planting import Soil, TreeForm
from graftwright.season.receiver_card import ReceiverCard, months_words, receiver_card
from graftwright.tagcode import code_from_number

DAY = date(2009, 3, 7)
MOTHER, BUNDLE, LOT, TREE, PARTNER = (code_from_number(n) for n in range(1, 6))
PROMISE = code_from_number(6)


def card(
    variety: str = "Discovery", stock: str = "M9", latitude_deg: float = 54.2, *more: Entry
) -> ReceiverCard:
    entries: tuple[Entry, ...] = (
        NurseryDescribed(happened_on=DAY, name="Lantern Bank Growers", latitude_deg=latitude_deg),
        MotherTreeEntered(
            happened_on=DAY,
            code=MOTHER,
            variety=variety,
            as_received="the red one",
            certainty=Certainty.LABEL,
        ),
        MotherTreeEntered(happened_on=DAY, code=PARTNER, variety="James Grieve"),
        WoodCut(happened_on=DAY, code=BUNDLE, variety=variety, mother_tree_code=MOTHER),
        StocksArrived(
            happened_on=DAY,
            code=LOT,
            arrived_count=3,
            grade=StockGrade(stock=stock, low_mm=8, high_mm=10),
        ),
        RunGrafted(happened_on=DAY, bundle_code=BUNDLE, lot_code=LOT, tree_codes=(TREE,)),
        *more,
    )
    start = datetime(2009, 3, 7, tzinfo=UTC)
    notebook = replay(
        Written(entry_id=UUID(int=n), written_at=start + timedelta(minutes=n), entry=entry)
        for n, entry in enumerate(entries, start=1)
    )
    return receiver_card(TREE, notebook=notebook, catalogue=shipped_catalogue(), today=DAY)


def test_the_card_bears_both_names_and_how_sure_they_are() -> None:
    found = card()
    assert (found.variety, found.stock, found.code) == ("Discovery", "M9", TREE)
    assert "label only" in found.name_words
    assert "the red one" in found.name_words


@pytest.mark.source("RHSRootstocks", "M9 permanent stake; M25 none")
def test_a_dwarfing_stock_is_staked_for_life_and_a_vigorous_one_is_not() -> None:
    assert "Stake for life" in card(stock="M9").stake
    assert "not for life" in card(stock="M25").stake


def test_an_unknown_stock_is_said_to_be_unknown() -> None:
    found = card(stock="grandfather's root")
    assert "not known" in found.size
    assert "not known" in found.stake


@pytest.mark.parametrize("first", range(1, 13))
def test_the_south_does_the_same_work_half_a_year_later(first: int) -> None:
    names = list(month_name)
    north = names.index(months_words(first, first, is_south=False))
    south = names.index(months_words(first, first, is_south=True))
    assert north == first
    assert (south - north) % 12 == 6


def test_months_stand_for_the_nursery_s_hemisphere() -> None:
    def planting(found: ReceiverCard) -> str:
        return next(work.months for work in found.months if "plant bare roots" in work.words)

    assert planting(card()) == "November to March"
    assert planting(card("Discovery", "M9", -41.0)) == "May to September"


def test_the_binding_is_said_to_be_on_until_it_was_taken_off() -> None:
    assert "still on" in card().binding
    off = BindingOff(happened_on=DAY, tree_codes=(TREE,))
    assert card("Discovery", "M9", 54.2, off).binding.endswith("is off.")


@pytest.mark.source("GardenersWorld2021", "Bramley is triploid")
def test_a_triploid_is_said_to_serve_no_other_tree() -> None:
    found = card("Bramley's Seedling", "M25")
    assert "triploid" in found.partners
    assert "James Grieve" in found.partners
    assert "triploid" not in card().partners


def test_a_name_no_list_knows_gets_a_card_all_the_same() -> None:
    found = card("Sallow Rigg farmhouse apple", "M116")
    assert found.variety == "Sallow Rigg farmhouse apple"
    assert "Nothing is known" in found.partners


def test_a_code_of_no_tree_is_refused() -> None:
    notebook = replay(())
    with pytest.raises(UnknownCode):
        receiver_card(TREE, notebook=notebook, catalogue=shipped_catalogue(), today=DAY)


@pytest.mark.source("ClementsUnion", "a buried union: the tree becomes standard-sized")
def test_the_card_goes_by_the_union_as_this_tree_was_planted() -> None:
    plain = card()
    high, buried = (
        card("Discovery", "M9", 54.2, _planted(union_mm)) for union_mm in (150.0, -20.0)
    )
    assert "150 mm above the soil" in high.union[0]
    assert "may root there" in buried.union[0]
    assert len({plain.size, high.size, buried.size}) == 3


def _planted(union_height_mm: float) -> Entry:
    return Planted(happened_on=DAY, tree_codes=(TREE,), union_height_mm=union_height_mm)


def test_a_spot_written_down_for_the_promise_moves_size_and_form() -> None:
    promise = PromiseMade(
        happened_on=DAY,
        code=PROMISE,
        who="the school",
        variety="Discovery",
        stock="M9",
        wanted_count=1,
        spot="South  Wall",
    )
    kept = TreeAllocated(happened_on=DAY, promise_code=PROMISE, tree_codes=(TREE,))
    spot = SpotDescribed(
        happened_on=DAY, spot_name="south wall", space_m=2.0, form=TreeForm.CORDON, soil=Soil.POOR
    )
    free, cordon = (card("Discovery", "M9", 54.2, promise, kept, *more) for more in ((), (spot,)))
    assert "1.5 to 2.0 m high" in cordon.size
    assert free.size != cordon.size


def test_the_card_asks_to_look_at_the_union_after_a_year() -> None:
    work = {one.words: one.months for one in card().months}
    (words,) = [words for words in work if "soil settles" in words]
    assert work[words] == "October"
    south = {one.words: one.months for one in card(latitude_deg=-42.0).months}
    assert south[words] == "April"
