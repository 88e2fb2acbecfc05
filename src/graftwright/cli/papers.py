"""The command that writes the winter's papers."""

import argparse
from pathlib import Path

from graftwright.cli.folder import today
from graftwright.cli.winter import plan_asked_for
from graftwright.notebook.notebook import Notebook
from graftwright.paper.every_paper import papers as all_papers
from graftwright.paper.label_words import bundle_tags, labels_of
from graftwright.paper.labels import label_sheets
from graftwright.paper.register import position_register
from graftwright.paper.watering_sheet import watering_sheet
from graftwright.season.planned import Plan
from graftwright.store.labels import print_labels
from graftwright.store.read import read_notebook


def papers(asked: argparse.Namespace) -> int:
    """Write the winter's papers into a folder."""
    notebook = read_notebook()
    for path in write_papers(plan_asked_for(notebook, asked), notebook, asked.folder):
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
