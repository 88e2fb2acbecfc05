"""The empty workbook, written without any notebook."""

import argparse

from graftwright.intake.template import template_bytes
from graftwright.tongue import told


def template(asked: argparse.Namespace) -> int:
    """Write an empty workbook."""
    asked.file.write_bytes(template_bytes())
    print(
        told(
            "An empty workbook is in {file}; its first sheet explains each column.", file=asked.file
        )
    )
    return 0
