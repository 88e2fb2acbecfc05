"""What the sources say about a scion on a stock, one direction at a time."""

from dataclasses import replace

import pytest

from graftwright.errors import NotUnderstood, OutOfRange
from graftwright.planting import (
    Catalogue,
    Compatibility,
    CompatibilityNote,
    Crop,
    SourceKind,
    chain_verdicts,
    provisional_variety,
    verdict,
    with_variety,
)


@pytest.mark.source("Jackson", "list after Garner")
@pytest.mark.source("QuinceC2017", "abstract: Williams on East Malling C")
def test_williams_on_quince_needs_a_piece_between(catalogue: Catalogue) -> None:
    found = verdict("Williams", "Quince C", catalogue)
    assert found.compatibility is Compatibility.NEEDS_INTERSTEM
    assert found.interstems[0].variety == "Beurre Hardy"
    assert found.interstems[0].on_rootstock is Compatibility.GOOD
    assert any("Jackson" in source for source in found.interstems[0].proposed_by)
    assert found.published_count == 2
    assert any("Fruticultura" in source for source in found.sources)


@pytest.mark.source("Jackson", "list after Garner: Conference among the compatible")
@pytest.mark.source("WoodbridgePears", "Conference among those that need a piece between")
def test_conference_on_quince_shows_sources_against_one_another(catalogue: Catalogue) -> None:
    found = verdict("Conference", "Quince C", catalogue)
    assert found.compatibility is Compatibility.SOURCES_DISAGREE
    said = {note.source.split(",")[0]: note.verdict for note in found.notes}
    assert said["Jackson J. E."] is Compatibility.GOOD
    assert said["Magnus N."] is Compatibility.NEEDS_INTERSTEM
    assert "Jackson" in found.sentence
    assert "Woodbridge" in found.sentence


def test_no_word_from_anybody_is_not_known_and_not_fine(catalogue: Catalogue) -> None:
    found = verdict("Discovery", "Quince A", catalogue)
    assert found.compatibility is Compatibility.NOT_KNOWN
    assert found.needs_care
    assert "not known" in found.sentence


def test_a_note_on_a_under_b_says_nothing_of_b_under_a() -> None:
    note = CompatibilityNote(
        scion_crops=(Crop.PEAR,),
        scion_varieties=("Alder",),
        scion_scope="",
        rootstock_names=(),
        rootstock_species=("Pyrus communis",),
        verdict=Compatibility.INCOMPATIBLE,
        interstems=(),
        source="a grower",
        source_kind=SourceKind.OWN,
    )
    trees = [
        provisional_variety(name, crop=Crop.PEAR, source="a grower") for name in ("Alder", "Birch")
    ]
    catalogue = Catalogue(varieties=tuple(trees), rootstocks=(), compatibility_notes=(note,))
    assert verdict("Alder", "Birch", catalogue).compatibility is Compatibility.INCOMPATIBLE
    assert verdict("Birch", "Alder", catalogue).compatibility is Compatibility.NOT_KNOWN


def test_a_word_on_the_variety_outranks_a_word_on_the_crop(catalogue: Catalogue) -> None:
    found = verdict("Honeycrisp", "G.41", catalogue)
    assert found.compatibility is Compatibility.VARIABLE
    assert not found.is_of_whole_crop
    assert verdict("Discovery", "G.41", catalogue).is_of_whole_crop


def test_what_holds_only_for_virus_carrying_wood_is_a_caution(catalogue: Catalogue) -> None:
    found = verdict("Discovery", "G16", catalogue)
    assert found.compatibility is Compatibility.GOOD
    assert [note.verdict for note in found.cautions] == [Compatibility.INCOMPATIBLE]


def test_an_unnamed_apple_is_judged_as_an_apple(catalogue: Catalogue) -> None:
    unknown = provisional_variety("Farmhouse tree", crop=Crop.APPLE, source="the farmer")
    grown = with_variety(catalogue, variety=unknown)
    assert verdict("Farmhouse tree", "M26", grown).compatibility is Compatibility.GOOD


def test_plums_take_on_st_julien(catalogue: Catalogue) -> None:
    found = verdict("plum Victoria", "St. Julien A", catalogue)
    assert found.compatibility is Compatibility.GOOD
    assert found.practice_count == 1


def test_each_union_of_a_chain_is_judged(catalogue: Catalogue) -> None:
    lower, upper = chain_verdicts(["Quince C", "Beurre Hardy", "Williams"], catalogue=catalogue)
    assert (lower.scion, lower.rootstock) == ("Beurre Hardy", "Quince C")
    assert (upper.scion, upper.rootstock) == ("Williams", "Beurre Hardy")
    assert not lower.needs_care
    assert not upper.needs_care


def test_a_dwarfing_piece_between_is_a_scion_on_its_root(catalogue: Catalogue) -> None:
    found = chain_verdicts(["MM111", "M9", "Discovery"], catalogue=catalogue)
    assert [union.scion for union in found] == ["M9", "Discovery"]


def test_one_piece_is_no_chain(catalogue: Catalogue) -> None:
    with pytest.raises(OutOfRange, match="1 pieces"):
        chain_verdicts(["M9"], catalogue=catalogue)


def test_a_stock_nobody_knows_is_refused(catalogue: Catalogue) -> None:
    with pytest.raises(NotUnderstood, match="no rootstock is called"):
        verdict("Discovery", "M99", catalogue)


def test_interstems_that_failed_in_a_trial_are_not_proposed(catalogue: Catalogue) -> None:
    found = verdict("Bartlett Sport (South African)", "Quince A", catalogue)
    assert found.compatibility is Compatibility.INCOMPATIBLE
    assert found.interstems == ()


def test_an_empty_set_of_notes_knows_nothing(catalogue: Catalogue) -> None:
    silent = replace(catalogue, compatibility_notes=())
    assert verdict("Bramley", "M25", silent).compatibility is Compatibility.NOT_KNOWN
