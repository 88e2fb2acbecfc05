"""The invented nursery shown: entered, its workbook read, its winter planned, papers, pages."""

import argparse
from pathlib import Path

from graftwright.cli.folder import today
from graftwright.cli.pages import serve_on
from graftwright.cli.papers import write_papers
from graftwright.cli.spreadsheet import enter_reading, report
from graftwright.cli.winter import make_plan
from graftwright.demo import DEFAULT_DAY, demo_neighbours, demo_workbook, entries_until
from graftwright.exchange import offer_bytes
from graftwright.intake.workbook import read_workbook
from graftwright.paper.plan_text import plan_text
from graftwright.season.seasons import season_of
from graftwright.store.append import write_many
from graftwright.store.models import WrittenEntry
from graftwright.store.offers import keep_offer
from graftwright.store.read import read_notebook
from graftwright.tongue import say, told


def demo(asked: argparse.Namespace) -> int:
    """Show the whole winter of the invented nursery, and serve its pages unless told not to."""
    if not WrittenEntry.objects.exists():
        _enter(today())
    notebook = read_notebook()
    plan = make_plan(
        notebook, season=season_of(today(), latitude_deg=notebook.nursery.latitude_deg)
    )
    print(plan_text(plan))
    paths = write_papers(plan, notebook, Path(asked.papers))
    print(
        told(
            "\n{count} papers are in {papers}: {listed}",
            count=len(paths),
            papers=asked.papers,
            listed=", ".join(path.name for path in paths),
        )
    )
    print(
        say("All persons, places and counts are invented; the temperatures are real (see NOTICE).")
    )
    if not asked.no_serve:
        serve_on(asked.port)
    return 0


def _enter(day: object) -> None:
    lived = write_many(entries_until(today()), written_by="demo")
    print(told("{count} entries of the seasons lived so far are written.", count=len(lived)))
    if day == DEFAULT_DAY:
        reading = read_workbook(demo_workbook(), name="winter-2009.xlsx")
        report(reading)
        for offer in demo_neighbours():
            keep_offer(offer_bytes(offer))
        print(
            told(
                "{enter_reading} entries come from the winter's workbook.\n",
                enter_reading=enter_reading(reading, by="demo"),
            )
        )
