"""The command that prints the day's jobs."""

import argparse

from graftwright.cli.folder import today
from graftwright.cli.words import jobs_text
from graftwright.intake.normals import shipped_normals
from graftwright.season.due import jobs_due
from graftwright.store.read import read_notebook


def today_jobs(_asked: argparse.Namespace) -> int:
    """Print the day's jobs in walking order."""
    jobs = jobs_due(read_notebook(), today=today(), normals=shipped_normals())
    print(jobs_text(jobs, today=today()))
    return 0
