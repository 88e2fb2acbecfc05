"""The shipped catalogue, built once for all tests of the room."""

import pytest

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.planting import Catalogue


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return shipped_catalogue()
