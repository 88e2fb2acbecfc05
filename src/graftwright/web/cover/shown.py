"""What the page of things under cover shows of long lists, and the ways to the rest."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from django.http import QueryDict

from graftwright.notebook.standing import MotherTree
from graftwright.season.cover import Cover, CoverPlace
from graftwright.season.cover_batches import BatchForecast
from graftwright.season.tree_closing import TreeClosing
from graftwright.season.what_if import Change, Difference, differences
from graftwright.web.shown_first import MOST_SHOWN, ShownFirst, shown_first

_MOST_PLACES = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceChoice:
    """A place to look at by itself, and how many batches stand there."""

    code: str
    name: str
    batch_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchesShown:
    """The first batches, of one place if one was chosen; without choices where they are few."""

    first: ShownFirst[BatchForecast]
    place_code: str
    choices: tuple[PlaceChoice, ...]

    @property
    def also(self) -> str:
        """What the address that shows all of them says besides."""
        return f"&in={self.place_code}" if self.place_code else ""


def batches_shown(cover: Cover, asked: QueryDict) -> BatchesShown:
    """Return the first batches of the place asked for, of all where none is."""
    counts = Counter(one.batch.place_code for one in cover.batches)
    place_code = asked.get("in", "")
    if place_code not in counts:
        place_code = ""
    batches = [one for one in cover.batches if place_code in ("", one.batch.place_code)]
    names = {one.batch.place_code: one.batch.place_name for one in cover.batches}
    choices = tuple(
        PlaceChoice(code=code, name=name, batch_count=counts[code])
        for code, name in sorted(names.items(), key=lambda one: (one[1], one[0]))
        if code
    )
    return BatchesShown(
        first=shown_first(batches, key="batches", whole=asked.get("whole", "")),
        place_code=place_code,
        choices=choices if len(cover.batches) > MOST_SHOWN else (),
    )


def places_shown(cover: Cover, asked: QueryDict) -> ShownFirst[CoverPlace]:
    """Return the first places in walking order."""
    whole = asked.get("whole", "")
    return shown_first(cover.places, key="places", whole=whole, most_count=_MOST_PLACES)


def closings_shown(
    cover: Cover, asked: QueryDict
) -> list[tuple[TreeClosing, ShownFirst[MotherTree]]]:
    """Return each last day to cut with the first of its mother trees."""
    whole = asked.get("whole", "")
    return [
        (one, shown_first(one.mother_trees, key=f"cut-{number}", whole=whole))
        for number, one in enumerate(cover.closings)
    ]


def changes_shown(cover: Cover, *, change: Change, asked: QueryDict) -> ShownFirst[Difference]:
    """Return what a change does to the first batches it concerns; the others are not worked out."""
    concerned: Sequence[BatchForecast] = [
        one
        for one in cover.batches
        if change.batch_key in ("", one.batch.key) and one.batch.place_code in cover.ground.fits
    ]
    first = shown_first(concerned, key="changes", whole=asked.get("whole", ""))
    found = differences(
        first.shown, change=change, ground=cover.ground, requirement=cover.learning.requirement
    )
    return ShownFirst(shown=found, whole_count=first.whole_count, key=first.key)
