"""A stake for life or not, as the sources have it."""

import pytest

from graftwright.planting import Catalogue, stake_advice


@pytest.mark.source("RHSRootstocks", "permanent stake on M27, M9 and M26")
@pytest.mark.parametrize("stock", ["M27", "M9", "M26"])
def test_a_dwarfing_stock_is_staked_for_life(stock: str, catalogue: Catalogue) -> None:
    advice = stake_advice(stock, catalogue=catalogue)
    assert advice.is_for_life is True
    assert any(source.startswith("RHS") for source in advice.wanting)


def test_a_vigorous_stock_is_not(catalogue: Catalogue) -> None:
    for stock in ("M25", "Seedling", "MM111"):
        assert stake_advice(stock, catalogue=catalogue).is_for_life is False, stock


def test_sources_that_differ_are_said_to_differ(catalogue: Catalogue) -> None:
    advice = stake_advice("M27", catalogue=catalogue)
    assert any("Harley" in source for source in advice.not_wanting)
    assert "stands alone" in advice.sentence


@pytest.mark.parametrize("stock", [None, "no label", "M116"])
def test_silence_is_not_known(stock: str | None, catalogue: Catalogue) -> None:
    advice = stake_advice(stock, catalogue=catalogue)
    assert advice.is_for_life is None
    assert "not known" in advice.sentence
