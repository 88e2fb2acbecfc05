"""Names, old and new, right and doubtful: what finds what, and what stays apart."""

import pytest

from graftwright.errors import Ambiguous, NotUnderstood, OutOfRange
from graftwright.planting import (
    Catalogue,
    Crop,
    GivenName,
    NameKind,
    PloidyReport,
    SelfFertility,
    Span,
    find_varieties,
    join_varieties,
    provisional_variety,
    rootstock_named,
    unjoin_varieties,
    variety_named,
    with_name,
    with_variety,
)

_VARIETIES = (
    "Ashmead's Kernel",
    "Egremont Russet",
    "James Grieve",
    "Discovery",
    "Bramley's Seedling",
    "Keswick Codlin",
    "pear Conference",
    "pear Williams",
    "plum Victoria",
)
_STOCKS = ("M27", "M9", "M26", "M116", "M25", "Quince C", "St Julien A")


@pytest.mark.parametrize("name", _VARIETIES)
def test_every_variety_of_the_nursery_is_found(name: str, catalogue: Catalogue) -> None:
    assert variety_named(name, catalogue=catalogue).preferred_name in name


@pytest.mark.parametrize("name", _STOCKS)
def test_every_stock_of_the_nursery_keeps_more_than_one_source(
    name: str, catalogue: Catalogue
) -> None:
    stock = rootstock_named(name, catalogue=catalogue)
    assert stock.preferred_name == name
    assert len({report.source for report in stock.reports}) >= 2


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Bramley", "Bramley's Seedling"),
        ("Bartlett", "pear Williams"),
        ("Williams' Bon Chrétien", "pear williams"),
        ("Thurston August", "DISCOVERY"),
        ("Ashmead’s Kernel", "ashmeads kernel"),
    ],
)
def test_two_names_of_one_variety_reach_one_record(
    one: str, other: str, catalogue: Catalogue
) -> None:
    found = [variety_named(name, catalogue=catalogue).key for name in (one, other)]
    assert found[0] == found[1]


@pytest.mark.parametrize("spelling", ["M.9", "m 9", "M9 EMLA", "M.9 NAKBT337", "Malling 9"])
def test_a_stock_is_found_under_the_trades_spellings(spelling: str, catalogue: Catalogue) -> None:
    assert rootstock_named(spelling, catalogue=catalogue).preferred_name == "M9"


def test_a_name_of_two_crops_is_not_guessed(catalogue: Catalogue) -> None:
    with pytest.raises(Ambiguous, match="pear:williams"):
        variety_named("Williams", catalogue=catalogue)
    assert variety_named("Williams", catalogue=catalogue, crop=Crop.PEAR).crop is Crop.PEAR


def test_a_misspelt_name_is_refused_with_the_near_one(catalogue: Catalogue) -> None:
    with pytest.raises(NotUnderstood, match="egremont russet"):
        variety_named("Egremond Russet", catalogue=catalogue)


def test_searching_part_of_a_name_finds_all_that_hold_it(catalogue: Catalogue) -> None:
    found = [variety.preferred_name for variety in find_varieties("russet", catalogue=catalogue)]
    assert "Egremont Russet" in found
    assert len(found) > 3


def _with_local_name(catalogue: Catalogue) -> Catalogue:
    local = provisional_variety(
        "Skelbeck Sour", crop=Crop.APPLE, source="label on the box", kind=NameKind.LOCAL
    )
    return with_variety(catalogue, variety=local)


def test_a_doubtful_local_name_stays_apart_until_someone_joins_it(catalogue: Catalogue) -> None:
    grown = _with_local_name(catalogue)
    local = variety_named("Skelbeck Sour", catalogue=grown)
    assert local.is_doubtful
    joined = join_varieties(
        grown, kept_key="apple:keswick codlin", joined_key=local.key, because="fruit compared"
    )
    found = variety_named("skelbeck sour", catalogue=joined)
    assert found.preferred_name == "Keswick Codlin"
    assert not found.is_doubtful
    assert "Skelbeck Sour" in [name.text for name in found.names]


def test_joining_can_be_undone_and_leaves_no_trace(catalogue: Catalogue) -> None:
    grown = _with_local_name(catalogue)
    joined = join_varieties(
        grown,
        kept_key="apple:keswick codlin",
        joined_key="apple:skelbeck sour",
        because="fruit compared",
    )
    assert unjoin_varieties(joined, joined_key="apple:skelbeck sour") == grown


def test_a_chain_of_joins_ends_at_one_record(catalogue: Catalogue) -> None:
    grown = _with_local_name(catalogue)
    second = provisional_variety("Tinker's Apple", crop=Crop.APPLE, source="the tinker")
    grown = with_variety(grown, variety=second)
    grown = join_varieties(
        grown, kept_key="apple:skelbeck sour", joined_key=second.key, because="same tree"
    )
    grown = join_varieties(
        grown,
        kept_key="apple:keswick codlin",
        joined_key="apple:skelbeck sour",
        because="fruit compared",
    )
    assert variety_named("Tinker's Apple", catalogue=grown).key == "apple:keswick codlin"


def test_a_pear_is_not_joined_to_an_apple_nor_a_record_to_itself(catalogue: Catalogue) -> None:
    with pytest.raises(NotUnderstood, match="one crop"):
        join_varieties(
            catalogue, kept_key="apple:discovery", joined_key="pear:conference", because=""
        )
    with pytest.raises(Ambiguous, match="one record already"):
        join_varieties(
            catalogue, kept_key="apple:discovery", joined_key="apple:discovery", because=""
        )


def test_what_was_never_joined_cannot_be_undone(catalogue: Catalogue) -> None:
    with pytest.raises(NotUnderstood, match="not joined"):
        unjoin_varieties(catalogue, joined_key="apple:discovery")


def test_an_as_received_name_leads_to_the_record(catalogue: Catalogue) -> None:
    name = GivenName(text="Dscvry (box 3)", kind=NameKind.AS_RECEIVED, source="parcel of 2025")
    grown = with_name(catalogue, key="apple:discovery", name=name)
    assert variety_named("dscvry box 3", catalogue=grown).key == "apple:discovery"
    with pytest.raises(NotUnderstood):
        variety_named("dscvry box 3", catalogue=catalogue)


@pytest.mark.source("Watts2023", "ploidy by markers and by flow cytometry")
@pytest.mark.parametrize(
    ("name", "ploidy"), [("Bramley", 3), ("Ashmead's Kernel", 3), ("Discovery", 2)]
)
def test_ploidy_is_as_the_data_set_gives_it(name: str, ploidy: int, catalogue: Catalogue) -> None:
    assert variety_named(name, catalogue=catalogue).ploidy_count == ploidy


@pytest.mark.parametrize("name", ["Egremont Russet", "Keswick Codlin", "pear Conference"])
def test_ploidy_that_is_doubted_or_missing_is_not_known(name: str, catalogue: Catalogue) -> None:
    variety = variety_named(name, catalogue=catalogue)
    assert variety.ploidy_count is None
    assert variety.is_triploid is None


def test_sources_that_differ_on_self_fertility_are_shown_as_differing(
    catalogue: Catalogue,
) -> None:
    pear = variety_named("pear Conference", catalogue=catalogue)
    assert pear.self_fertility is SelfFertility.SOURCES_DISAGREE
    assert len({report.source for report in pear.self_fertility_reports}) >= 3


@pytest.mark.source("Schuster2020", "varieties reported more than once")
def test_conflicting_cherry_genotypes_give_none_rather_than_one(catalogue: Catalogue) -> None:
    differing = [
        v
        for v in catalogue.varieties
        if v.crop is Crop.CHERRY and len({frozenset(r.alleles) for r in v.s_allele_reports}) > 1
    ]
    assert differing
    assert all(variety.s_alleles is None for variety in differing)


def test_no_allele_from_memory_is_shipped(catalogue: Catalogue) -> None:
    for name in ("James Grieve", "Cox's Orange Pippin", "Idared"):
        assert variety_named(name, catalogue=catalogue).s_alleles is None


def test_impossible_figures_are_refused() -> None:
    with pytest.raises(OutOfRange, match="low end first"):
        Span(low=3.0, high=2.0)
    with pytest.raises(OutOfRange, match="ploidy 1"):
        PloidyReport(ploidy_count=1, is_measured=True, source="a slip")
