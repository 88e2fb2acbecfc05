"""The page and the command that show what contradicts itself, and settle it."""

from datetime import date

import pytest
from django.test import Client

from graftwright.cli.clashes import clashes as clashes_command
from graftwright.cli.main import _parser
from graftwright.locale import catalogue_of
from graftwright.notebook.entries import (
    EntryCorrected,
    FieldChange,
    PromiseChanged,
    PromiseMade,
    StockGrade,
    StocksAsked,
    StocksOffered,
)
from graftwright.notebook.replay import clashes_in
from graftwright.store.append import write
from graftwright.store.clash_list import _last_list as clash_list_kept
from graftwright.store.clash_list import clash_list
from graftwright.store.read import counted_story_of, read_notebook, story_of
from graftwright.tongue import speaking

from .small_notebook import write_small

pytestmark = pytest.mark.django_db
CODE = "22238"


def changed_on_two_desks() -> None:
    write_small()
    promise = PromiseMade(
        happened_on=date(2009, 1, 5),
        code=CODE,
        who="Skelbeck School",
        variety="Discovery",
        stock="M26",
        wanted_count=2,
    )
    write(promise)
    for day, count, who in ((6, 3, "KB"), (8, 5, "TM")):
        change = PromiseChanged(happened_on=date(2009, 1, day), code=CODE, wanted_count=count)
        write(change, device="desk", written_by=who)


def test_both_values_are_shown_with_who_said_them_and_today_counts_them(client: Client) -> None:
    changed_on_two_desks()
    page = client.get("/clashes/").content.decode()
    for words in ("</span> 3</p>", "</span> 5</p>", "by KB", "by TM", "6 January", "8 January"):
        assert words in page
    assert "1 clash to settle" in client.get("/").content.decode()


def test_the_side_that_is_pressed_counts_and_today_is_silent(client: Client) -> None:
    changed_on_two_desks()
    (found,) = clash_list()
    answer = client.post(
        f"/clashes/{found.clash_id}/settle",
        {"chosen": str(found.clash.sides[0].entry_id), "words": "asked"},
        follow=True,
    )
    assert "Every side stays readable" in answer.content.decode()
    assert read_notebook().promises[CODE].wanted_count == 3
    assert "clash to settle" not in client.get("/").content.decode()
    again = client.post(f"/clashes/{found.clash_id}/settle", {"chosen": "x"}, follow=True)
    assert "it was settled already" in again.content.decode()


def test_a_correction_in_doubt_is_shown_in_the_story_of_its_thing(client: Client) -> None:
    code = write_small().bundle
    cut = story_of(code)[0]
    for day, desk in ((3, "hut"), (4, "desk")):
        change = FieldChange(field="happened_on", value_json=f'"2009-01-0{day}"')
        corrected = EntryCorrected(
            happened_on=date(2009, 2, 9), target=cut.entry_id, changes=(change,)
        )
        write(corrected, device=desk)
    (found,) = clash_list()
    page = client.get(f"/trees/{code}/").content.decode()
    assert f'"/clashes/#clash-{found.clash_id}"' in page
    chosen = str(found.clash.sides[0].entry_id)
    client.post(f"/clashes/{found.clash_id}/settle", {"chosen": chosen, "words": ""})
    assert "Corrected in two ways" not in client.get(f"/trees/{code}/").content.decode()


def test_a_choice_that_is_no_side_is_refused_and_nothing_is_written(client: Client) -> None:
    changed_on_two_desks()
    (found,) = clash_list()
    answer = client.post(f"/clashes/{found.clash_id}/settle", {"chosen": "x"}, follow=True)
    assert "choose one that is shown" in answer.content.decode()
    assert clash_list() == (found,)


def test_the_command_lists_and_settles_the_same(capsys: pytest.CaptureFixture[str]) -> None:
    changed_on_two_desks()
    (found,) = clash_list()
    assert clashes_command(_parser().parse_args(["clashes"])) == 0
    told = capsys.readouterr().out
    assert f"{found.clash_id}  {CODE}: " in told
    assert "by KB on desk" in told
    assert "wanted count 3" in told
    asked = ["clashes", "--settle", found.clash_id, "--choose", "1", "--by", "AF"]
    assert clashes_command(_parser().parse_args(asked)) == 0
    assert read_notebook().promises[CODE].wanted_count == 3
    assert clash_list() == ()


def anew() -> list[str]:
    """The names of all open clashes, looked for once more."""
    clash_list_kept.clear()
    return [one.clash_id for one in clash_list()]


def test_a_clash_has_one_name_and_each_reader_their_own_words(client: Client) -> None:
    changed_on_two_desks()
    usual = anew()
    clash_list_kept.clear()
    client.cookies["language"] = "de"
    page = client.get("/clashes/").content.decode()
    assert f"/clashes/{usual[0]}/settle" in page
    assert "Zusage verschieden geändert" in page
    client.cookies["language"] = "en"
    page = client.get("/clashes/").content.decode()
    assert "promise changed differently" in page.lower()
    with speaking(catalogue_of("de"), language="de"):
        assert anew() == usual


def test_stocks_offered_and_then_asked_for_are_one_lot_in_every_language() -> None:
    write_small()
    grade = StockGrade(stock="M26", low_mm=8.0, high_mm=10.0)
    write(
        StocksOffered(
            happened_on=date(2009, 1, 5),
            code="RR4HJ",
            grade=grade,
            supplier="Rook Hill Liners",
            lot_size_count=10,
            price_per_lot=23.0,
            available_count=50,
        )
    )
    write(StocksAsked(happened_on=date(2009, 1, 6), code="RR4HJ", asked_count=20))
    story = counted_story_of("RR4HJ")
    assert len(story) == 2
    with speaking(catalogue_of("de"), language="de"):
        assert clashes_in("RR4HJ", story) == []
