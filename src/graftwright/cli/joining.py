"""The command that plans several nurseries' offers together; it needs no notebook."""

import argparse
from pathlib import Path

from graftwright.cli.folder import today
from graftwright.errors import GraftwrightError, NotUnderstood
from graftwright.exchange import offer_from_bytes
from graftwright.paper.joint_sheet import joint_papers
from graftwright.paper.joint_text import joint_text
from graftwright.season.scheme import JointPlan, Offer, SchemeWishes, joint_plan
from graftwright.tongue import say


def joint(asked: argparse.Namespace) -> int:
    """Print the joint plan of the offers given."""
    wishes = SchemeWishes(
        tree_price=asked.tree_price,
        parcel_price=asked.parcel_price,
        journey_price=asked.journey_price,
        currency=asked.currency,
        days_on_way_count=asked.days_on_way,
        stocks_may_move=not asked.stocks_stay,
        time_limit_s=float(asked.seconds),
    )
    plan = joint_plan([_read(file) for file in asked.files], wishes=wishes, today=today())
    print(joint_text(plan))
    if asked.papers:
        _write_papers(plan, asked.papers)
    return 0


def _write_papers(plan: JointPlan, folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for paper in joint_papers(plan):
            (folder / paper.file_name).write_bytes(paper.content)
            print(folder / paper.file_name)
    except OSError as wrong:
        raise NotUnderstood(
            say("{file} could not be written ({why}); choose another place").format(
                file=folder, why=wrong
            )
        ) from wrong


def _read(file: Path) -> Offer:
    try:
        return offer_from_bytes(file.read_bytes())
    except OSError as wrong:
        raise NotUnderstood(
            say("{file} could not be read ({why}); give files that graftwright offer wrote").format(
                file=file, why=wrong
            )
        ) from wrong
    except GraftwrightError as wrong:
        raise type(wrong)(f"{file}: {wrong}") from wrong
