"""The command's own manners: help, wrong words, a demo in an empty home."""

import pytest

import graftwright.cli.main as command
from graftwright.demo import DEFAULT_DAY, messy_workbook


def test_the_demo_stands_on_the_day_that_its_story_names():
    assert command.DEMO_DAY == DEFAULT_DAY


def test_help_names_every_part_in_one_sentence(capsys):
    with pytest.raises(SystemExit):
        command.main(["--help"])
    printed = capsys.readouterr().out
    for part in ("template", "read", "enter", "plan", "papers", "today", "lessons", "serve"):
        assert part in printed


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["plan", "--day", "17.2.2009"], "write it year first"),
        (["plan", "--sureness", "150"], "between 0 and 1"),
        (["plan", "--sureness", "quite"], "write 0.9 or 90%"),
        (["grow"], "invalid choice"),
    ],
)
def test_wrong_words_are_answered_with_what_to_write(words, said, capsys):
    with pytest.raises(SystemExit):
        command.main(words)
    assert said in capsys.readouterr().err


@pytest.mark.slow
def test_an_empty_notebook_says_what_to_do_first(terminal):
    assert "write down who wants which trees" in terminal("plan", "--notebook", "n", code=2)
    assert "No workbook is kept aside" in terminal("enter", "--notebook", "n", code=1)
    assert "there is no nothing.xlsx" in terminal("read", "nothing.xlsx", "--notebook", "n", code=2)
    terminal("template", "empty.xlsx")
    assert "No row was found" in terminal("read", "empty.xlsx", "--notebook", "n", code=1)


@pytest.mark.slow
def test_bad_rows_are_all_listed_and_an_open_question_holds_the_workbook_back(terminal):
    (terminal.home / "messy.xlsx").write_bytes(messy_workbook())
    printed = terminal("read", "messy.xlsx", "--notebook", "m", code=1)
    assert printed.count("found ") >= 19
    assert "QUESTION promises/promised on/date order" in printed
    assert "nothing entered" in terminal("enter", "--notebook", "m", code=1)
    answered = terminal(
        "read",
        "messy.xlsx",
        "--notebook",
        "m",
        "--answer",
        "promises/promised on/date order=day first",
        code=1,
    )
    assert "QUESTION" not in answered
    assert "entries written" in terminal("enter", "--notebook", "m")


@pytest.mark.slow
def test_the_demo_enters_plans_and_writes_its_papers_in_an_empty_home(terminal):
    printed = terminal("demo", "--no-serve")
    assert "Plan of the winter 2009, Lantern Bank Growers" in printed
    assert "11 papers are in demo-papers" in printed
    assert (terminal.home / "demo-papers" / "labels.pdf").exists()
    assert "invented" in printed
