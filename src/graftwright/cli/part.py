"""One part of the program: its name, what runs it, and what it says of itself."""

import argparse


def part_of_program(
    parts: "argparse._SubParsersAction[argparse.ArgumentParser]",
    common: argparse.ArgumentParser,
    name: str,
    runs: str,
    words: str,
) -> argparse.ArgumentParser:
    """Add a part under its name; `runs` is where its function stands, as `room:function`."""
    part = parts.add_parser(name, help=words, description=words, parents=[common])
    part.set_defaults(runs=f"graftwright.cli.{runs}", needs_notebook=True, is_demo=False)
    return part
