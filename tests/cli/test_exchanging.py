"""Tables out and back and tokens from the terminal."""

import re
import zipfile

import pytest

from graftwright.demo import demo_workbook

pytestmark = pytest.mark.slow


def test_tables_go_out_and_their_entries_come_back_into_an_empty_notebook(terminal):
    (terminal.home / "winter.xlsx").write_bytes(demo_workbook())
    terminal("read", "winter.xlsx", "--notebook", "a", "--day", "2009-02-17")
    terminal("enter", "--notebook", "a", "--day", "2009-02-17")
    assert "12 tables written" in terminal("tables", "all.xlsx", "--notebook", "a")
    terminal("tables", "all.zip", "--notebook", "a")
    first = terminal("tables", "all.xlsx", "--back", "--notebook", "b")
    count, new = re.findall(r"\d+", first)
    assert count == new
    assert f"{count} entries read, 0 of them new" in terminal(
        "tables", "all.zip", "--back", "--notebook", "b"
    )
    assert "follows from" in terminal("check", "--notebook", "b")
    with zipfile.ZipFile(terminal.home / "all.zip") as archive:
        places = archive.read("places.csv").decode()
    (terminal.home / "places.csv").write_text(places.replace("fridge", "outdoors"), "utf-8")
    back = terminal("tables", "places.csv", "--back", "--notebook", "b")
    assert re.search(r"Changed cells: \d+; correcting entries written: \d+", back)
    (terminal.home / "places.csv").write_text(places.replace("fridge", "attic"), "utf-8")
    assert "expected one of: outdoors" in terminal(
        "tables", "places.csv", "--back", "--notebook", "b", code=2
    )


def test_a_table_of_another_kind_is_refused_with_what_was_expected(terminal):
    (terminal.home / "odd.xlsx").write_bytes(b"no workbook")
    assert "expected .xlsx or .zip" in terminal("tables", "a.pdf", "--notebook", "n", code=2)
    assert "use another copy" in terminal("tables", "odd.xlsx", "--back", "--notebook", "n", code=2)
    assert "No such file" in terminal("tables", "no.zip", "--back", "--notebook", "n", code=2)


def test_a_token_is_made_listed_and_taken_back(terminal):
    printed = terminal("token", "weather box", "--write", "--notebook", "n")
    assert len(printed.split()[0]) >= 43
    listed = terminal("token", "--notebook", "n")
    assert "weather box" in listed
    assert "writes" in listed
    assert "/feed/" in terminal("token", "a phone", "--calendar", "--notebook", "n")
    number = listed.split()[0]
    assert "Taken back" in terminal("token", "--revoke", number, "--notebook", "n")
    assert "taken back already" in terminal("token", "--revoke", number, "--notebook", "n", code=2)
    assert "no token's number" in terminal("token", "--revoke", "7", "--notebook", "n", code=2)
