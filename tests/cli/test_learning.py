"""What was learnt, by the command: lessons, two ways compared, forecasts kept."""

import pytest

from graftwright.demo import DEFAULT_DAY, demo_workbook

DAY = ("--day", DEFAULT_DAY.isoformat())


@pytest.fixture(scope="module")
def entered(terminal):
    (terminal.home / "winter.xlsx").write_bytes(demo_workbook())
    terminal("read", "winter.xlsx", *DAY)
    terminal("enter", *DAY, "--by", "HQ")
    return terminal


@pytest.mark.slow
def test_a_forecast_is_kept_once_and_stands_in_the_copy_that_goes_out(entered):
    assert "foretells is kept as it stands" in entered("lessons", *DAY, "--keep-forecast")
    assert "not kept already" in entered("lessons", *DAY, "--keep-forecast")
    entered("copy-out", "copy.txt")
    copy = (entered.home / "copy.txt").read_text(encoding="utf-8")
    assert copy.count('"kind": "ForecastMade"') == 1
    assert "All that stands follows" in entered("check")


@pytest.mark.slow
def test_other_peoples_rates_are_left_out_and_ones_own_are_printed(entered):
    alone = entered("lessons", *DAY)
    assert "Rates by grafter" not in alone
    assert "a person's rates are private" in alone
    mine = entered("lessons", *DAY, "--reader", "HQ").split("Rates by grafter")[1]
    names = [line.split()[0] for line in mine.split("\n\n")[0].splitlines() if line.strip()]
    assert names == ["HQ"]


@pytest.mark.slow
def test_what_cannot_be_compared_is_refused_with_what_can(entered):
    refused = entered("lessons", *DAY, "--compare", "grafter", "HQ", "TO", code=2)
    assert "choose one of method, binding, stock" in refused
    unknown = entered("lessons", *DAY, "--compare", "method", "cleft", "rind", code=2)
    assert "no take is counted with the method cleft" in unknown
    words = entered("lessons", *DAY, "--compare", "stock", "M9", "M26")
    assert "To know next winter" in words
