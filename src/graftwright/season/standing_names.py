"""The catalogue as this notebook has it: names joined, doubtful names, rights looked up."""

from graftwright.errors import GraftwrightError, NotUnderstood
from graftwright.notebook.entries import LeaveRecorded, NamesJoined, RightsRecorded
from graftwright.notebook.notebook import Notebook
from graftwright.planting import (
    Catalogue,
    Crop,
    Licence,
    RightsRecord,
    Rootstock,
    Variety,
    find_varieties,
    join_varieties,
    provisional_variety,
    rootstock_named,
    variety_named,
    with_rights,
    with_stock_rights,
    with_variety,
)
from graftwright.tongue import marked

NOTEBOOK_SOURCE = marked("this notebook")


def own_catalogue(notebook: Notebook, *, catalogue: Catalogue) -> Catalogue:
    """Return the catalogue with the names people joined and the rights they looked up.

    What no longer fits (a name that another copy joined first) is passed over, never an error.
    """
    for joined in notebook.names_and_rights.joined:
        catalogue = _with_joined(catalogue, joined)
    for looked_up in notebook.names_and_rights.rights:
        catalogue = _with_look_up(catalogue, looked_up)
    return catalogue


def whole_catalogue(notebook: Notebook, *, catalogue: Catalogue) -> Catalogue:
    """Return the own catalogue that also holds every doubtful name of the notebook, each apart.

    A doubtful name is one that a mother tree, a bundle or a promise bears and no list knows.
    """
    whole = own_catalogue(notebook, catalogue=catalogue)
    for name in names_written(notebook):
        whole = _with_name_kept(whole, name)
    return whole


def names_written(notebook: Notebook) -> tuple[str, ...]:
    """Return every name of a variety that stands in the notebook, sorted, each once."""
    mothers = notebook.mother_trees.values()
    names = {name for mother in mothers for name in (*mother.names, mother.as_received)}
    names |= {bundle.variety for bundle in notebook.bundles.values()}
    names |= {promise.variety for promise in notebook.promises.values()}
    return tuple(sorted(name for name in names if name.strip()))


def doubtful_names(notebook: Notebook, *, catalogue: Catalogue) -> tuple[Variety, ...]:
    """Return the names that nobody has tied to a variety yet."""
    whole = whole_catalogue(notebook, catalogue=catalogue)
    joined = {join.joined_key for join in whole.joins}
    return tuple(v for v in whole.varieties if v.is_doubtful and v.key not in joined)


def search(text: str, notebook: Notebook, *, catalogue: Catalogue) -> tuple[Variety, ...]:
    """Return every variety any of whose names holds the text, the notebook's own names too."""
    return find_varieties(text, catalogue=whole_catalogue(notebook, catalogue=catalogue))


def check_may_be_joined(entry: NamesJoined, notebook: Notebook, *, catalogue: Catalogue) -> None:
    """Raise NotUnderstood or Ambiguous if the two names cannot be one variety, saying why."""
    whole = whole_catalogue(notebook, catalogue=catalogue)
    kept = variety_named(entry.kept, catalogue=whole)
    joined = _record_of(whole, entry.joined, kept.crop)
    join_varieties(whole, kept_key=kept.key, joined_key=joined.key, because=entry.because)


def plant_named(name: str, *, catalogue: Catalogue) -> Variety | Rootstock:
    """Return the variety or rootstock that goes by a name; a variety goes before a stock.

    Raises NotUnderstood if it is neither, Ambiguous if several varieties bear it.
    """
    try:
        return variety_named(name, catalogue=catalogue)
    except NotUnderstood:
        return rootstock_named(name, catalogue=catalogue)


def licences(notebook: Notebook, *, catalogue: Catalogue) -> tuple[Licence, ...]:
    """Return the leave written down, each under the key of its plant."""
    return tuple(
        Licence(
            plant_key=plant.key,
            country=leave.country,
            words=leave.words,
            recorded_on=leave.happened_on,
            is_override=leave.is_override,
        )
        for leave in notebook.names_and_rights.leave
        if (plant := _plant_or_none(leave, catalogue)) is not None
    )


def _plant_or_none(
    about: LeaveRecorded | RightsRecorded, catalogue: Catalogue
) -> Variety | Rootstock | None:
    try:
        return plant_named(about.plant, catalogue=catalogue)
    except GraftwrightError:
        return None


def _with_joined(catalogue: Catalogue, entry: NamesJoined) -> Catalogue:
    try:
        kept = variety_named(entry.kept, catalogue=catalogue)
        catalogue = _with_name_kept(catalogue, entry.joined, crop=kept.crop)
        joined = _record_of(catalogue, entry.joined, kept.crop)
        return join_varieties(
            catalogue, kept_key=kept.key, joined_key=joined.key, because=entry.because
        )
    except GraftwrightError:
        return catalogue


def _with_look_up(catalogue: Catalogue, entry: RightsRecorded) -> Catalogue:
    plant = _plant_or_none(entry, catalogue)
    if plant is None:
        return catalogue
    record = RightsRecord(
        status=entry.status,
        country=entry.country,
        source=entry.looked_up_in,
        checked_on=entry.happened_on,
        holder=entry.holder,
        ends_on=entry.ends_on,
    )
    if isinstance(plant, Variety):
        return with_rights(catalogue, key=plant.key, record=record)
    return with_stock_rights(catalogue, key=plant.key, record=record)


def _with_name_kept(catalogue: Catalogue, name: str, *, crop: Crop | None = None) -> Catalogue:
    """Add the name as a doubtful variety if no list knows it; apple unless the name says else."""
    try:
        variety_named(name, catalogue=catalogue, crop=crop)
    except NotUnderstood:
        doubtful = provisional_variety(name, crop=crop or _crop_said(name), source=NOTEBOOK_SOURCE)
        if any(variety.key == doubtful.key for variety in catalogue.varieties):
            return catalogue
        return with_variety(catalogue, variety=doubtful)
    except GraftwrightError:
        pass  # several bear it: it is no doubtful name
    return catalogue


def _crop_said(name: str) -> Crop:
    words = {word.casefold().strip(",.;") for word in name.split()}
    return next((crop for crop in Crop if crop.value in words), Crop.APPLE)


def _record_of(catalogue: Catalogue, name: str, crop: Crop) -> Variety:
    """Return the record of a name within the crop it is joined to."""
    try:
        return variety_named(name, catalogue=catalogue)
    except GraftwrightError:
        return variety_named(name, catalogue=catalogue, crop=crop)
