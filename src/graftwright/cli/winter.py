"""The command that plans the winter; it loads what a plan needs and nothing that prints."""

import argparse

from graftwright.cli.folder import today
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.paper.plan_text import plan_text
from graftwright.season.plan import PlanWishes, plan_winter
from graftwright.season.planned import Plan
from graftwright.season.seasons import season_of
from graftwright.store.read import read_notebook


def plan(asked: argparse.Namespace) -> int:
    """Print the winter's plan."""
    print(plan_text(plan_asked_for(read_notebook(), asked)))
    return 0


def plan_asked_for(notebook: Notebook, asked: argparse.Namespace) -> Plan:
    """Return the plan for the season and the sureness asked for, else for this winter's."""
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
