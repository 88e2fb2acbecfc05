"""Names of varieties as people type them into a list, and the catalogue that knows them all."""

from collections.abc import Sequence

from django.core.exceptions import ValidationError

from graftwright.errors import Ambiguous, NotUnderstood
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.planting import (
    Catalogue,
    Crop,
    Variety,
    find_varieties,
    provisional_variety,
    variety_named,
    with_variety,
)
from graftwright.season.standing_names import NOTEBOOK_SOURCE, whole_catalogue
from graftwright.tongue import say, told

MOST_NAMES = 30
LONGEST_NAME = 80


def names_in(text: str) -> tuple[str, ...]:
    """Return the names of a text, one a line or apart by commas; refuse too many or too long."""
    names = [" ".join(part.split()) for part in text.replace(",", "\n").splitlines()]
    found = tuple(name for name in names if name)
    if len(found) > MOST_NAMES:
        raise ValidationError(
            told(
                "{count} names; at most {MOST_NAMES} at once.",
                count=len(found),
                MOST_NAMES=MOST_NAMES,
            )
        )
    for name in found:
        if len(name) > LONGEST_NAME:
            raise ValidationError(told("{name}… is too long for a name.", name=name[:30]))
    return found


def page_catalogue(notebook: Notebook) -> Catalogue:
    """Return the shipped catalogue with all the notebook knows of names and rights."""
    return whole_catalogue(notebook, catalogue=shipped_catalogue())


def keys_of(
    names: Sequence[str], *, catalogue: Catalogue, crop: Crop
) -> tuple[tuple[str, ...], Catalogue]:
    """Return each name's key, and a catalogue in which names nobody listed stand as doubtful.

    Raises ValidationError where several varieties of the crop bear a name.
    """
    keys = []
    for name in names:
        try:
            variety = _named(name, catalogue, crop)
        except NotUnderstood:
            variety = provisional_variety(name, crop=crop, source=NOTEBOOK_SOURCE)
            catalogue = with_variety(catalogue, variety=variety)
        except Ambiguous as several:
            raise ValidationError(_which(name, catalogue)) from several
        keys.append(variety.key)
    return tuple(keys), catalogue


def _named(name: str, catalogue: Catalogue, crop: Crop) -> Variety:
    try:
        return variety_named(name, catalogue=catalogue)
    except Ambiguous as several:
        try:
            return variety_named(name, catalogue=catalogue, crop=crop)
        except NotUnderstood:
            raise several from None


def _which(name: str, catalogue: Catalogue) -> str:
    found = find_varieties(name, catalogue=catalogue)[:5]
    choices = say(" or ").join(
        f"{variety.crop.value} {variety.preferred_name}" for variety in found
    )
    return told(
        "More than one tree is called {name}. Write which: {choices}.", name=name, choices=choices
    )
