"""The page the day begins on."""

import re
from datetime import date

import pytest
from django.test import Client

from graftwright.notebook.entries import (
    BudsMoved,
    BundleChecked,
    GrowthMeasured,
    Scion,
    StockShootsOff,
    TakeJudged,
    TreeSeen,
)
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.web.today import shown
from graftwright.web.today.jobs import days_jobs, key_of

from .small_notebook import Small, graft, write_small

SUMMER = date(2009, 6, 10)


@pytest.fixture
def small(db: None) -> Small:
    return write_small()


@pytest.fixture
def growing(small: Small, settings: object) -> tuple[str, ...]:
    """Five trees that grow, on a day in June."""
    settings.STAND_ON = SUMMER  # type: ignore[attr-defined]
    codes = graft(small, 5)
    write(BudsMoved(happened_on=date(2009, 4, 20), tree_codes=codes))
    write(TakeJudged(happened_on=date(2009, 5, 1), tree_codes=codes, scion=Scion.GROWING))
    write(GrowthMeasured(happened_on=date(2009, 6, 9), tree_codes=codes, growth_mm=60.0))
    return codes


def _key(name: str) -> str:
    return next(key_of(job) for job in days_jobs().jobs if job.name == name)


def test_an_empty_notebook_is_told_what_to_do_first(client_here: Client) -> None:
    page = client_here.get("/").content.decode()
    assert "The notebook is empty" in page
    assert "Write down a promise" in page


def test_a_chosen_day_is_named_as_chosen(client_here: Client) -> None:
    page = client_here.get("/").content.decode()
    assert "The pages stand on 17 February 2009, a day chosen at the start" in page


def test_a_day_without_jobs_says_what_can_be_written_all_the_same(
    client_here: Client, small: Small, settings: object
) -> None:
    settings.STAND_ON = date(2009, 1, 21)  # type: ignore[attr-defined]
    write_measured(small)
    page = client_here.get("/").content.decode()
    assert "Nothing is due today." in page
    assert "write about many trees at once" in page


def write_measured(small: Small) -> None:
    from_lot = {"happened_on": "2009-01-21", "diameters_mm": " ".join(["8"] * 60)}
    answer = Client().post(
        f"/trees/{small.lot}/write/measure", {f"measure-{k}": v for k, v in from_lot.items()}
    )
    assert answer.status_code == 302


def test_the_winters_list_puts_warnings_first_and_shows_each_reason(
    client_here: Client, winter: Notebook
) -> None:
    page = client_here.get("/").content.decode()
    jobs = days_jobs().jobs
    assert jobs
    for job in jobs:
        assert job.why.strip()
    heads = re.findall(r"<h3>([^<]+)</h3>", page)
    assert len(heads) == len(jobs)
    warned = [job.is_warning for job in jobs]
    assert warned == sorted(warned, reverse=True)


def test_a_tick_writes_the_sentence_for_every_tree_of_the_job(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    answer = client_here.post("/today/tick", {"job": _key("rub off stock shoots")})
    assert answer.status_code == 302
    (written,) = entries_of_kind("StockShootsOff")
    assert isinstance(written.entry, StockShootsOff)
    assert set(written.entry.tree_codes) == set(growing)
    assert written.entry.happened_on == SUMMER
    assert "rub off stock shoots" not in {job.name for job in days_jobs().jobs}


def test_tick_all_but_leaves_out_exactly_the_marked_trees(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    left = list(growing[1:3])
    client_here.post("/today/tick", {"job": _key("rub off stock shoots"), "but": left})
    (written,) = entries_of_kind("StockShootsOff")
    assert set(written.entry.concerns()) == set(growing) - set(left)
    (job,) = [job for job in days_jobs().jobs if job.name == "rub off stock shoots"]
    assert set(job.codes) == set(left)


def test_trees_beyond_those_listed_are_left_out_by_their_codes(
    client_here: Client, growing: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shown, "MOST_NAMED_COUNT", 1)
    page = client_here.get("/").content.decode()
    assert "1 of 5 are listed above." in page
    data = {
        "job": _key("rub off stock shoots"),
        "but": growing[0],
        "unlisted": f"{growing[3].lower()}, {growing[4]} {growing[0]}",
    }
    client_here.post("/today/tick", data)
    (written,) = entries_of_kind("StockShootsOff")
    assert set(written.entry.concerns()) == set(growing[1:3])


def test_a_job_names_fewer_trees_where_there_are_many_jobs() -> None:
    counts = [shown.most_named_count(jobs) for jobs in (0, 1, 5, 20, 50, 1000)]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] == shown.MOST_NAMED_COUNT
    assert 50 * counts[4] <= 400
    assert counts[-1] > 1


def test_a_code_written_wrong_among_those_left_out_is_refused_and_nothing_written(
    client_here: Client, growing: tuple[str, ...], small: Small
) -> None:
    for unlisted in ("QQQQQ", small.bundle):
        data = {"job": _key("rub off stock shoots"), "unlisted": unlisted}
        answer = client_here.post("/today/tick", data, headers={"HX-Request": "true"})
        assert unlisted in answer.content.decode()
    assert entries_of_kind("StockShootsOff") == []


def test_leaving_every_tree_out_writes_nothing(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    client_here.post("/today/tick", {"job": _key("rub off stock shoots"), "but": list(growing)})
    assert entries_of_kind("StockShootsOff") == []


def test_a_code_that_is_not_of_the_job_is_refused_and_nothing_written(
    client_here: Client, growing: tuple[str, ...], small: Small
) -> None:
    data = {"job": _key("rub off stock shoots"), "but": [small.bundle]}
    answer = client_here.post("/today/tick", data, headers={"HX-Request": "true"})
    assert "does not belong to this job" in answer.content.decode()
    assert entries_of_kind("StockShootsOff") == []


def test_ticking_the_same_job_twice_writes_once(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    key = _key("rub off stock shoots")
    client_here.post("/today/tick", {"job": key})
    answer = client_here.post("/today/tick", {"job": key}, headers={"HX-Request": "true"})
    assert "no longer on the list" in answer.content.decode()
    assert len(entries_of_kind("StockShootsOff")) == 1


def test_waiting_grafts_left_out_of_moved_buds_are_written_down_as_seen(
    client_here: Client, small: Small, settings: object
) -> None:
    settings.STAND_ON = date(2009, 5, 20)  # type: ignore[attr-defined]
    codes = graft(small, 4)
    key = _key("look at waiting grafts")
    client_here.post("/today/tick", {"job": key, "but": codes[0]})
    (moved,), (seen,) = entries_of_kind("BudsMoved"), entries_of_kind("TreeSeen")
    assert isinstance(moved.entry, BudsMoved)
    assert set(moved.entry.tree_codes) == set(codes[1:])
    assert isinstance(seen.entry, TreeSeen)
    assert seen.entry.tree_codes == (codes[0],)
    assert read_notebook().trees[codes[0]].scion is Scion.WAITING


def test_bundles_ticked_as_looked_at_are_firm(
    client_here: Client, small: Small, settings: object
) -> None:
    settings.STAND_ON = date(2009, 3, 1)  # type: ignore[attr-defined]
    client_here.post("/today/tick", {"job": _key("check bundles"), "but": small.other_bundle})
    (written,) = entries_of_kind("BundleChecked")
    assert isinstance(written.entry, BundleChecked)
    assert (written.entry.code, written.entry.condition) == (small.bundle, "firm")


def test_fewer_minutes_show_fewer_jobs_and_say_how_many_wait(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    whole = len(days_jobs().jobs)
    page = client_here.get("/?minutes=3").content.decode()
    shown = len(re.findall(r"<h3>", page))
    assert 0 < shown < whole
    assert f"{whole - shown} job" in page
    assert "must wait" in page


@pytest.mark.parametrize(("minutes", "words"), [("x", "whole minutes"), ("0", "at least one")])
def test_minutes_that_make_no_sense_are_refused_beside_the_field(
    client_here: Client, growing: tuple[str, ...], minutes: str, words: str
) -> None:
    answer = client_here.get("/", {"minutes": minutes})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert words in page.split('id="id_minutes_error"')[1].split("</ul>")[0]
    assert len(re.findall(r"<h3>", page)) == len(days_jobs().jobs)


def test_a_slip_is_taken_back_from_the_days_list(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    client_here.post("/today/tick", {"job": _key("rub off stock shoots")})
    (written,) = entries_of_kind("StockShootsOff")
    page = client_here.get("/").content.decode()
    assert "Stock shoots rubbed off 5 trees" in page
    client_here.post(f"/today/{written.entry_id}/take-back")
    assert read_notebook().trees[growing[0]].stock_shoots_off_on is None
    assert entries_of_kind("StockShootsOff") != []


def test_a_job_that_needs_more_than_a_tick_leads_to_its_sheet(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    page = client_here.get("/").content.decode()
    key = _key("judge the take")
    assert f"/results/?what=take&amp;job={key}" in page
    sheet = client_here.get("/results/", {"what": "take", "job": key}).content.decode()
    assert all(code in sheet for code in growing)
    refused = client_here.post("/today/tick", {"job": key}, headers={"HX-Request": "true"})
    assert refused.status_code == 200
    assert len(entries_of_kind("TakeJudged")) == 1
