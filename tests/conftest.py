"""Checks that hold for every test: a named source must stand in the bibliography."""

import pytest

from graftwright.sources import SOURCES


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    dangling = sorted(
        {
            f"{item.nodeid}: {mark.args[0]}"
            for item in items
            for mark in item.iter_markers("source")
            if mark.args[0] not in SOURCES
        }
    )
    if dangling:
        raise pytest.UsageError("tests name sources that are not listed:\n" + "\n".join(dangling))
