"""What may be said to the command that plans several nurseries together."""

import argparse
from collections.abc import Callable
from pathlib import Path

from graftwright.tongue import say, told


def joint_options(joint: argparse.ArgumentParser, *, count: Callable[[str], int]) -> None:
    """Add the papers' folder, prices and limits; `count` reads a whole number from 1."""
    joint.add_argument(
        "--papers",
        type=Path,
        metavar="FOLDER",
        help=say("write each nursery's sheet and parcel slips"),
    )
    for option, price, words in (
        ("--tree-price", 20.0, say("what one more tree for a promise is worth (20)")),
        ("--parcel-price", 6.0, say("what a parcel costs (6)")),
        ("--journey-price", 20.0, say("what fetching trees from another nursery costs (20)")),
    ):
        joint.add_argument(option, type=_price, default=price, metavar="PRICE", help=words)
    joint.add_argument("--currency", default="GBP", help=say("the currency of the prices (GBP)"))
    joint.add_argument(
        "--days-on-way", type=count, default=2, metavar="DAYS", help=say("days a parcel takes (2)")
    )
    joint.add_argument("--stocks-stay", action="store_true", help=say("stocks are not posted"))
    joint.add_argument(
        "--seconds", type=count, default=20, metavar="SECONDS", help=say("longest search (20)")
    )


def _price(text: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError as wrong:
        raise argparse.ArgumentTypeError(
            told("{text!r} is no price; write a number", text=text)
        ) from wrong
