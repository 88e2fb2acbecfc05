"""What to ask about breeders' rights before an order goes out; no legal verdict."""

from collections.abc import Iterable
from datetime import date

from graftwright.errors import GraftwrightError
from graftwright.notebook.notebook import Notebook
from graftwright.planting import Catalogue, RightsStatus, RightsVerdict, rights_verdict
from graftwright.season.standing_names import licences, own_catalogue, plant_named

COUNTRY_PRACTICE = "country"


def nursery_country(notebook: Notebook) -> str:
    """Return the country whose rights count for this nursery; empty if it was never said."""
    return next(
        (one.value for one in notebook.nursery.practices if one.practice == COUNTRY_PRACTICE), ""
    )


def rights_of(
    name: str, notebook: Notebook, *, catalogue: Catalogue, country: str, today: date
) -> RightsVerdict | None:
    """Return what is known of the rights on a variety or stock; None if no list has the name."""
    own = own_catalogue(notebook, catalogue=catalogue)
    try:
        plant = plant_named(name, catalogue=own)
    except GraftwrightError:
        return None
    leave = licences(notebook, catalogue=own)
    return rights_verdict(plant, country=country, today=today, licences=leave)


def rights_remarks(
    names: Iterable[str], notebook: Notebook, *, catalogue: Catalogue, today: date
) -> tuple[str, ...]:
    """Return a sentence for each variety that is protected, in any country looked up.

    Of a variety nobody looked up nothing is said here: its own page says "not known". A protected
    one prompts whether or not leave is written down, so that the leave can be read again.
    """
    countries = {record.country for record in notebook.names_and_rights.rights}
    here = nursery_country(notebook)
    asked = [here] if here else sorted(countries)
    found = (
        rights_of(name, notebook, catalogue=catalogue, country=country, today=today)
        for name in sorted(set(names))
        for country in asked
    )
    protected = (one for one in found if one and one.status is RightsStatus.PROTECTED)
    return tuple(dict.fromkeys(one.sentence for one in protected))
