"""One spelling for every variety and stock in a plan, the catalogue's where it knows the name."""

from functools import lru_cache

from graftwright.errors import GraftwrightError
from graftwright.planting import Catalogue, rootstock_named, variety_named


class Names:
    """Canonical names; a name the catalogue does not know stays as the person wrote it."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self.variety = lru_cache(maxsize=None)(self._variety)
        self.stock = lru_cache(maxsize=None)(self._stock)

    def _variety(self, name: str) -> str:
        """Return the preferred name of a variety, or the name as written."""
        try:
            return variety_named(name, catalogue=self._catalogue).preferred_name
        except GraftwrightError:
            return " ".join(name.split())

    def _stock(self, name: str) -> str:
        """Return the preferred name of a rootstock, or the name as written."""
        try:
            return rootstock_named(name, catalogue=self._catalogue).preferred_name
        except GraftwrightError:
            return " ".join(name.split())
