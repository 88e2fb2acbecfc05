"""The parts of the program that serve pages, let people in and make databases."""

import argparse
from pathlib import Path

from graftwright.cli.part import part_of_program
from graftwright.tongue import say


def page_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    """Add the parts that serve the pages, here or with the invented nursery."""
    serve = part_of_program(
        parts, common, "serve", "pages:serve", say("Serve the pages on this machine.")
    )
    _network_options(serve)
    demo = part_of_program(
        parts,
        common,
        "demo",
        "showing:demo",
        say("Enter the invented nursery, plan its winter, write the papers, serve the pages."),
    )
    demo.add_argument(
        "--papers", type=Path, default=Path("demo-papers"), help=say("folder for papers")
    )
    demo.set_defaults(is_demo=True)
    demo.add_argument("--no-serve", action="store_true", help=say("stop before serving the pages"))
    for part in (serve, demo):
        part.add_argument(
            "--backups", type=Path, metavar="FOLDER", help=say("make a backup there once a day")
        )
        part.add_argument("--port", type=int, default=8017, help=say("port on this machine (8017)"))
        part.add_argument(
            "--workers",
            type=int,
            metavar="N",
            help=say("processes for long work; 0: in the request that asks (else 1 or 2)"),
        )
        part.add_argument(
            "--cluster", metavar="ADDRESS", help=say("let a Dask cluster do the long work")
        )


def _network_options(serve: argparse.ArgumentParser) -> None:
    serve.add_argument(
        "--network",
        nargs="?",
        const="",
        metavar="ADDRESS",
        help=say("serve others on the network too, at one address of this machine or at all"),
    )
    serve.add_argument(
        "--name", action="append", help=say("a name by which others reach it; may be repeated")
    )
    serve.add_argument(
        "--certificate", type=Path, metavar="PEM", help=say("the certificate for https")
    )
    serve.add_argument("--key", type=Path, metavar="PEM", help=say("the key of the certificate"))
    serve.add_argument(
        "--own-certificate",
        action="store_true",
        help=say("https by the nursery's own authority"),
    )
    serve.add_argument(
        "--unencrypted", action="store_true", help=say("let passwords cross the network readable")
    )


def authority_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    """Add the part that makes an authority for this machine's private names."""
    words = say(
        "Make a certificate authority for this machine's private names, for https on phones."
    )
    authority = parts.add_parser("authority", help=words, description=words)
    deeds = authority.add_subparsers(title=say("what to do"), metavar="DEED", required=True)
    made = part_of_program(
        deeds, common, "make", "certifying:make", say("Make it, and say what phones need.")
    )
    made.add_argument("--name", action="append", help=say("a private name, such as nursery.local"))
    made.add_argument(
        "--address",
        action="append",
        help=say("a private address or network, such as 192.168.1.0/24"),
    )
    shown = part_of_program(
        deeds, common, "show", "certifying:show", say("Say what it vouches for, until when.")
    )
    for part in (made, shown):
        part.set_defaults(needs_notebook=False)


def people_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    """Add the parts that say who may come in."""
    people = parts.add_parser(
        "people",
        help=say("Say who may come in when the pages are served on a network."),
        description=say("Say who may come in when the pages are served on a network."),
    )
    deeds = people.add_subparsers(title=say("what to do"), metavar="DEED", required=True)
    roles = ("helper", "grafter", "organiser")
    add = part_of_program(
        deeds, common, "add", "people:add", say("Open an account; its password is asked for.")
    )
    add.add_argument("name", help=say("the name to sign in with"))
    add.add_argument("--initials", required=True, help=say("the initials that entries bear"))
    add.add_argument(
        "--role", choices=roles, default="helper", help=say("what they may do (helper)")
    )
    part_of_program(deeds, common, "list", "people:show", say("List the accounts."))
    role = part_of_program(
        deeds, common, "role", "people:role", say("Give an account another role.")
    )
    role.add_argument("name")
    role.add_argument("role", choices=roles)
    for deed, words in (
        ("password", say("Set a password anew; it is asked for. Every sign-in ends.")),
        ("close", say("Close an account. Every sign-in ends; what it wrote stays.")),
    ):
        part_of_program(deeds, common, deed, f"people:{deed}", words).add_argument("name")


def database_parts(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]", common: argparse.ArgumentParser
) -> None:
    """Add the parts that make tables and nurseries on a database server."""
    words = say("Make the tables and nurseries of a PostgreSQL database, as its owner.")
    database = parts.add_parser("database", help=words, description=words)
    deeds = database.add_subparsers(title=say("what to do"), metavar="DEED", required=True)
    role = say("the role the program connects as")
    words = say("Make the tables or bring them up to date.")
    ready = part_of_program(deeds, common, "prepare", "database:prepare", words)
    made = part_of_program(
        deeds,
        common,
        "nursery",
        "database:nursery",
        say("Make a nursery, let a role in, print its number."),
    )
    made.add_argument("name", help=say("what it is called"))
    made.add_argument("--role", required=True, help=role)
    let_in = part_of_program(
        deeds, common, "admit", "database:admit", say("Let another role into a nursery.")
    )
    let_in.add_argument("number", help=say("the nursery's number"))
    let_in.add_argument("--role", required=True, help=role)
    listed = part_of_program(deeds, common, "list", "database:show", say("List the nurseries."))
    for deed in (ready, made, let_in, listed):
        deed.set_defaults(needs_notebook=False)
