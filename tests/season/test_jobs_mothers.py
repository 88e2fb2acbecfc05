"""Renewing a mother tree is a job of the leafless months, and only advice."""

from dataclasses import replace
from datetime import date

import pytest

from graftwright.notebook.entries import Health
from graftwright.notebook.notebook import Notebook
from graftwright.season.due import jobs_due
from graftwright.season.jobs_mothers import mother_jobs

WINTER, SUMMER = date(2009, 1, 20), date(2009, 7, 20)


def _promised_code(notebook: Notebook) -> str:
    promised = {p.variety for p in notebook.promises.values() if p.open_count}
    return next(m.code for m in notebook.mother_trees.values() if m.variety in promised)


def _with(notebook: Notebook, **changes: object) -> tuple[Notebook, str]:
    code = _promised_code(notebook)
    mothers = dict(notebook.mother_trees)
    short = {"shoot_length_mm": 60.0, "shoot_thickness_mm": 4.0, "permission": True}
    mothers[code] = replace(mothers[code], health=Health.CLEAN, **{**short, **changes})
    return replace(notebook, mother_trees=mothers), code


def _renewed(notebook: Notebook, *, today: date = WINTER) -> set[str]:
    jobs = mother_jobs(notebook, today=today, plan=None)
    return {code for job in jobs for code in job.codes}


def test_a_promised_tree_with_short_shoots_is_renewed_in_winter(notebook: Notebook) -> None:
    short, code = _with(notebook)
    assert code in _renewed(short)
    assert code not in _renewed(short, today=SUMMER)
    southern = replace(short, nursery=replace(short.nursery, latitude_deg=-42.0))
    assert code in _renewed(southern, today=SUMMER)


@pytest.mark.parametrize(
    "changes",
    [{"shoot_length_mm": 300.0}, {"permission": False}, {"health": Health.DISEASED}],
)
def test_long_shoots_refusal_and_disease_make_no_job(
    notebook: Notebook, changes: dict[str, object]
) -> None:
    code = _promised_code(notebook)
    mothers = dict(notebook.mother_trees)
    usual = {"shoot_length_mm": 60.0, "permission": True, "health": Health.CLEAN}
    mothers[code] = replace(mothers[code], **{**usual, **changes})
    assert code not in _renewed(replace(notebook, mother_trees=mothers))


def test_a_variety_nobody_is_promised_waits(notebook: Notebook) -> None:
    short, code = _with(notebook)
    assert code not in _renewed(replace(short, promises={}))


def test_the_job_says_that_it_is_advice_and_whom_to_ask(notebook: Notebook) -> None:
    short, _ = _with(notebook, permission=None)
    job = next(iter(mother_jobs(short, today=WINTER, plan=None)))
    assert "the plan moves no promise" in job.why
    assert "ask the owner first" in job.why


def test_the_job_stands_on_the_days_list(notebook: Notebook) -> None:
    short, code = _with(notebook)
    names = {job.name: job.codes for job in jobs_due(short, today=WINTER)}
    assert code in names["renew mother trees"]
