"""The kinds of things a program may read, as its address names them."""

from typing import Final

# The address of each kind, and the word it is stored under (a key of store.pages.STANDING_KINDS).
THING_KINDS: Final = {
    "bench-days": "bench days",
    "bundles": "bundle",
    "forecasts": "forecasts",
    "hours": "hours",
    "lots": "lot",
    "mother-trees": "mother tree",
    "names-and-rights": "names and rights",
    "nursery": "nursery",
    "places": "place",
    "promises": "promise",
    "results": "results",
    "spots": "spot",
    "temperatures": "temperatures",
    "trees": "tree",
}
