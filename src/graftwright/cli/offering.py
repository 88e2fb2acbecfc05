"""The command that writes a nursery's own offer to the others."""

import argparse

from graftwright.cli.folder import today
from graftwright.cli.winter import make_plan
from graftwright.errors import NotUnderstood
from graftwright.exchange import offer_bytes
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.season.scheme import OfferWishes, offer_of
from graftwright.season.seasons import season_of
from graftwright.store.read import read_notebook
from graftwright.tongue import say


def offer(asked: argparse.Namespace) -> int:
    """Write this nursery's offer to a file."""
    notebook = read_notebook()
    season = season_of(today(), latitude_deg=notebook.nursery.latitude_deg)
    made = offer_of(
        notebook,
        plan=make_plan(notebook, season=season),
        catalogue=shipped_catalogue(),
        wishes=OfferWishes(
            sends_wood=asked.send_wood,
            sends_stocks=asked.send_stocks,
            works_for_others=asked.graft_for_others,
            shares_counts=asked.share_counts,
        ),
    )
    try:
        asked.file.write_bytes(offer_bytes(made))
    except OSError as wrong:
        raise NotUnderstood(
            say("{file} could not be written ({why}); choose another place").format(
                file=asked.file, why=wrong
            )
        ) from wrong
    print(
        say(
            "{nursery}: {wants} wants, {pieces} pieces of wood, {stocks} stocks, {counts} pooled "
            "counts written to {file}."
        ).format(
            nursery=made.nursery,
            wants=len(made.wants),
            pieces=sum(lot.pieces_count for lot in made.wood),
            stocks=sum(lot.stocks_count for lot in made.stocks),
            counts=len(made.counts),
            file=asked.file,
        )
    )
    return 0
