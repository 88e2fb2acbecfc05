"""What is known of breeders' rights, and what stops a variety at planning."""

from datetime import date

import pytest

from graftwright.errors import OutOfRange
from graftwright.planting import (
    Catalogue,
    Licence,
    RightsRecord,
    RightsStatus,
    rights_verdict,
    rootstock_named,
    variety_named,
    with_rights,
    with_stock_rights,
)

_TODAY = date(2026, 2, 1)


def _protected(ends_on: date | None = None) -> RightsRecord:
    return RightsRecord(
        status=RightsStatus.PROTECTED,
        country="United Kingdom",
        source="the national register",
        checked_on=date(2026, 1, 10),
        ends_on=ends_on,
    )


def _catalogue_with(catalogue: Catalogue, record: RightsRecord) -> Catalogue:
    return with_rights(catalogue, key="apple:discovery", record=record)


def test_silence_is_not_known_and_prompts(catalogue: Catalogue) -> None:
    found = rights_verdict(
        variety_named("Keswick Codlin", catalogue=catalogue), country="United Kingdom", today=_TODAY
    )
    assert found.status is RightsStatus.NOT_KNOWN
    assert found.must_ask
    assert "not known" in found.sentence
    assert "free" not in found.sentence


@pytest.mark.source("PlantVarietiesAct1997", "Part I, thirty years for trees")
def test_an_old_variety_is_still_not_known_but_its_age_is_said(catalogue: Catalogue) -> None:
    found = rights_verdict(
        variety_named("Bramley", catalogue=catalogue), country="United Kingdom", today=_TODAY
    )
    assert found.status is RightsStatus.NOT_KNOWN
    assert found.must_ask
    assert "1876" in found.sentence
    assert "30 years" in found.sentence


def test_a_protected_variety_cannot_be_ordered_without_a_licence(catalogue: Catalogue) -> None:
    grown = _catalogue_with(catalogue, _protected())
    variety = variety_named("Discovery", catalogue=grown)
    found = rights_verdict(variety, country="united kingdom", today=_TODAY)
    assert not found.may_be_ordered
    assert "2026-01-10" in found.sentence
    assert "national register" in found.sentence


@pytest.mark.parametrize("is_override", [True, False])
def test_a_licence_or_a_kept_override_lets_it_through(
    is_override: bool, catalogue: Catalogue
) -> None:
    grown = _catalogue_with(catalogue, _protected())
    variety = variety_named("Discovery", catalogue=grown)
    licence = Licence(
        plant_key=variety.key,
        country="United Kingdom",
        words="twenty trees for the school",
        recorded_on=date(2026, 1, 20),
        is_override=is_override,
    )
    found = rights_verdict(variety, country="United Kingdom", today=_TODAY, licences=[licence])
    assert found.may_be_ordered
    assert "twenty trees for the school" in found.sentence
    assert ("Own decision" in found.sentence) == is_override


def test_a_licence_for_another_country_does_not_help(catalogue: Catalogue) -> None:
    grown = _catalogue_with(catalogue, _protected())
    variety = variety_named("Discovery", catalogue=grown)
    licence = Licence(plant_key=variety.key, country="Ireland", words="yes", recorded_on=_TODAY)
    found = rights_verdict(variety, country="United Kingdom", today=_TODAY, licences=[licence])
    assert not found.may_be_ordered


def test_a_look_up_in_one_country_says_nothing_of_another(catalogue: Catalogue) -> None:
    grown = _catalogue_with(catalogue, _protected())
    variety = variety_named("Discovery", catalogue=grown)
    found = rights_verdict(variety, country="France", today=_TODAY)
    assert found.status is RightsStatus.NOT_KNOWN


@pytest.mark.parametrize(
    ("ends_on", "status"),
    [(date(2026, 1, 31), RightsStatus.EXPIRED), (date(2026, 2, 1), RightsStatus.PROTECTED)],
)
def test_protection_ends_after_its_last_day(
    ends_on: date, status: RightsStatus, catalogue: Catalogue
) -> None:
    grown = _catalogue_with(catalogue, _protected(ends_on))
    variety = variety_named("Discovery", catalogue=grown)
    assert rights_verdict(variety, country="United Kingdom", today=_TODAY).status is status


def test_a_licence_needs_words() -> None:
    with pytest.raises(OutOfRange, match="without words"):
        Licence(plant_key="apple:discovery", country="UK", words=" ", recorded_on=_TODAY)


def test_rights_in_a_rootstock_are_kept_with_it(catalogue: Catalogue) -> None:
    grown = with_stock_rights(catalogue, key="m116", record=_protected())
    stock = rootstock_named("M116", catalogue=grown)
    found = rights_verdict(stock, country="United Kingdom", today=_TODAY)
    assert not found.may_be_ordered
    before = rootstock_named("M116", catalogue=catalogue)
    silent = rights_verdict(before, country="United Kingdom", today=_TODAY)
    assert silent.status is RightsStatus.NOT_KNOWN
