"""The empty workbook, written without any notebook."""

import argparse

from graftwright.intake.template import template_bytes


def template(asked: argparse.Namespace) -> int:
    """Write an empty workbook."""
    asked.file.write_bytes(template_bytes())
    print(f"An empty workbook is in {asked.file}; its first sheet explains each column.")
    return 0
