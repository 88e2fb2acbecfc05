"""Whose pollen grows on whom, against published genotypes and crosses."""

import pytest

from graftwright.planting import (
    Catalogue,
    PartnerStrength,
    PollenMatch,
    partners,
    pollen_match,
    variety_named,
)
from tests.planting.published import published_rows

_TABLE1 = published_rows("matsumoto2014_table1.csv")
_CROSSES = published_rows("crosses.csv")
_MATCH_OF_OUTCOME = {
    "only S7 took part": PollenMatch.HALF,
    "both alleles took part": PollenMatch.FULL,
    "no seeds": PollenMatch.NONE,
}


def _alleles(text: str) -> frozenset[str]:
    return frozenset(text.split())


@pytest.mark.source("Matsumoto2014", "table 1, reputed parentage against genotype")
@pytest.mark.parametrize("row", _TABLE1, ids=[row["child"] for row in _TABLE1])
def test_a_child_has_one_allele_of_the_mother_and_one_that_her_style_lets_pass(
    row: dict[str, str],
) -> None:
    mother, father = _alleles(row["mother_alleles"]), _alleles(row["father_alleles"])
    passing = [
        allele
        for allele in father
        if pollen_match(pollen=frozenset({allele}), style=mother) is PollenMatch.FULL
    ]
    children = [{own, passed} for own in mother for passed in passing]
    is_disproved = row["parentage_disproved"] == "y"
    assert (set(_alleles(row["child_alleles"])) not in children) == is_disproved


@pytest.mark.source("JonathanTopred1999", "abstract")
@pytest.mark.source("MegumiGenotypes", "abstract")
@pytest.mark.parametrize("row", _CROSSES, ids=[f"{r['receiver']} x {r['giver']}" for r in _CROSSES])
def test_published_crosses_came_out_as_the_alleles_say(row: dict[str, str]) -> None:
    match = pollen_match(
        pollen=_alleles(row["giver_alleles"]), style=_alleles(row["receiver_alleles"])
    )
    assert match is _MATCH_OF_OUTCOME[row["outcome"]]


@pytest.mark.source("Matsumoto2014", "table 1, genotypes")
def test_the_shipped_genotypes_are_those_the_paper_prints(catalogue: Catalogue) -> None:
    for row in _TABLE1:
        shipped = variety_named(row["child"], catalogue=catalogue).s_alleles
        assert shipped == _alleles(row["child_alleles"]), row["child"]


def test_an_unknown_genotype_is_neither_a_match_nor_a_refusal() -> None:
    known = frozenset({"S3", "S7"})
    assert pollen_match(pollen=None, style=known) is PollenMatch.UNKNOWN
    assert pollen_match(pollen=known, style=None) is PollenMatch.UNKNOWN


@pytest.mark.parametrize("pair", [("Megumi", "Redgold"), ("Fuji", "Kurosawa 4 Gou")])
def test_varieties_with_the_same_alleles_are_no_partners(
    pair: tuple[str, str], catalogue: Catalogue
) -> None:
    (found,) = partners(pair[0], others=[pair[1]], catalogue=catalogue)
    assert found.strength is PartnerStrength.NONE
    assert found.match is PollenMatch.NONE


def test_a_variety_is_no_partner_to_itself(catalogue: Catalogue) -> None:
    (found,) = partners("James Grieve", others=["James Grieve"], catalogue=catalogue)
    assert found.strength is PartnerStrength.NONE
    assert found.reasons == ("A variety is no partner to itself.",)


def test_pear_pollen_sets_no_apples(catalogue: Catalogue) -> None:
    (found,) = partners("Discovery", others=["pear Conference"], catalogue=catalogue)
    assert found.strength is PartnerStrength.NONE


@pytest.mark.source("Watts2023", "ploidy of Bramley and of Ashmead's Kernel, 3x")
@pytest.mark.parametrize("name", ["Bramley's Seedling", "Ashmead's Kernel"])
def test_a_triploid_serves_nobody(name: str, catalogue: Catalogue) -> None:
    (found,) = partners("Discovery", others=[name], catalogue=catalogue)
    assert found.strength is PartnerStrength.NONE
    assert "triploid" in found.reasons[0]


@pytest.mark.source("GardenersWorld2021", "groups 2 and 5, same and neighbouring groups")
def test_neighbouring_groups_serve_one_another_and_groups_two_and_five_do_not(
    catalogue: Catalogue,
) -> None:
    far = partners("Egremont Russet", others=["Newton Wonder"], catalogue=catalogue)
    assert far[0].strength in {PartnerStrength.NONE, PartnerStrength.POSSIBLE}
    near = partners("Blenheim Orange", others=["Gala", "Lord Lambourne"], catalogue=catalogue)
    assert all((found.overlap_high_days or 0.0) > 6.0 for found in near)


def test_pears_listed_as_not_setting_on_one_another_are_refused_both_ways(
    catalogue: Catalogue,
) -> None:
    for one, other in (
        ("pear Williams", "Louise Bonne of Jersey"),
        ("Louise Bonne of Jersey", "pear Williams"),
    ):
        (found,) = partners(one, others=[other], catalogue=catalogue)
        assert found.strength is PartnerStrength.NONE


def test_a_giver_of_unknown_ploidy_is_possible_but_not_counted_on(catalogue: Catalogue) -> None:
    (found,) = partners("Discovery", others=["Egremont Russet"], catalogue=catalogue)
    assert found.strength is PartnerStrength.POSSIBLE
    assert any("ploidy" in reason for reason in found.reasons)
