"""Commands about the winter: its plan, its papers, the day's jobs, the lessons."""

import argparse
from pathlib import Path

from graftwright.cli.folder import today
from graftwright.cli.words import jobs_text
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.paper import (
    bundle_tags,
    label_sheets,
    labels_of,
    plan_text,
    position_register,
    watering_sheet,
)
from graftwright.paper import papers as all_papers
from graftwright.season.due import jobs_due
from graftwright.season.plan import PlanWishes, plan_winter
from graftwright.season.planned import Plan
from graftwright.season.seasons import season_of
from graftwright.store.labels import print_labels
from graftwright.store.read import read_notebook


def plan(asked: argparse.Namespace) -> int:
    """Print the winter's plan."""
    print(plan_text(_plan(read_notebook(), asked)))
    return 0


def papers(asked: argparse.Namespace) -> int:
    """Write the winter's papers into a folder."""
    notebook = read_notebook()
    for path in write_papers(_plan(notebook, asked), notebook, asked.folder):
        print(path)
    return 0


def write_papers(made: Plan, notebook: Notebook, folder: Path) -> list[Path]:
    """Write every paper of a plan and of a round; codes for its labels are handed out and kept."""
    folder.mkdir(parents=True, exist_ok=True)
    codes = print_labels(made, today=today())
    labels = labels_of(made, codes=codes, certainty_of=notebook.certainty_words)
    paths = []
    for paper in all_papers(made, labels):
        path = folder / paper.file_name
        path.write_bytes(paper.content)
        paths.append(path)
    return paths + _write_round(notebook, folder)


def _write_round(notebook: Notebook, folder: Path) -> list[Path]:
    """Write what hangs where trees and wood are: tags, register, watering sheet."""
    contents = {
        "bundle-tags.pdf": label_sheets(bundle_tags(notebook)),
        "position-register.pdf": position_register(notebook, today=today()),
        "watering.pdf": watering_sheet(notebook, first_on=today()),
    }
    for name, content in contents.items():
        (folder / name).write_bytes(content)
    return [folder / name for name in contents]


def today_jobs(_asked: argparse.Namespace) -> int:
    """Print the day's jobs in walking order."""
    jobs = jobs_due(read_notebook(), today=today(), normals=shipped_normals())
    print(jobs_text(jobs, today=today()))
    return 0


def _plan(notebook: Notebook, asked: argparse.Namespace) -> Plan:
    season = asked.season or season_of(today(), latitude_deg=notebook.nursery.latitude_deg)
    return make_plan(notebook, season=season, sureness_fraction=asked.sureness)


def make_plan(notebook: Notebook, *, season: int, sureness_fraction: float | None = None) -> Plan:
    """Return the plan for a season as the terminal and the papers show it."""
    return plan_winter(
        notebook,
        season=season,
        today=today(),
        catalogue=shipped_catalogue(),
        wishes=PlanWishes(sureness_fraction=sureness_fraction),
        normals=shipped_normals(),
    )
