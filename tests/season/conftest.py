"""The invented nursery's notebook, replayed once for the tests of the season."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.demo import demo_workbook as workbook
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.entering import entries_from_reading
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.entries import Written
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.season.plan import plan_winter
from graftwright.season.planned import Plan
from graftwright.tagcode import codes_in_block


def marked(entries) -> list[Written]:
    now = datetime(2009, 1, 1, tzinfo=UTC)
    return [
        Written(entry_id=UUID(int=place), written_at=now + timedelta(seconds=place), entry=entry)
        for place, entry in enumerate(entries)
    ]


@pytest.fixture(scope="session")
def lived() -> Notebook:
    return replay(marked(entries_until(DEFAULT_DAY)))


@pytest.fixture(scope="session")
def notebook(lived) -> Notebook:
    reading = read_workbook(workbook(), name="winter.xlsx")
    new = entries_from_reading(reading, lived, codes_in_block(200_000, 400), today=DEFAULT_DAY)
    return replay(marked([*entries_until(DEFAULT_DAY), *new]))


@pytest.fixture(scope="session")
def plan(notebook) -> Plan:
    return plan_winter(notebook, season=2009, today=DEFAULT_DAY, catalogue=shipped_catalogue())
