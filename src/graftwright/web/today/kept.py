"""The day's weather and places, kept as long as nothing they rest on was written since."""

from dataclasses import dataclass, replace
from datetime import date

from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.season.due import day_ground
from graftwright.season.place_fit import Ground
from graftwright.tongue import language


@dataclass(frozen=True, slots=True, kw_only=True)
class _KeptGround:
    day: date
    rests_on: tuple[object, ...]
    ground: Ground


_last_ground: list[_KeptGround] = []


def ground_kept(notebook: Notebook, *, day: date) -> Ground:
    """Return the day's weather and places, as worked out before if they are as they were."""
    places = {code: (one.place_kind, one.name) for code, one in notebook.places.items()}
    rests_on = (
        language(),  # what is reckoned from it holds words
        places,
        notebook.temperatures,
        notebook.hours,
        notebook.nursery.latitude_deg,
        notebook.nursery.altitude_m,
    )
    kept = _last_ground[0] if _last_ground else None
    if kept is None or kept.day != day or kept.rests_on != rests_on:
        ground = day_ground(notebook, today=day, normals=shipped_normals())
        kept = _KeptGround(day=day, rests_on=rests_on, ground=ground)
        _last_ground[:] = [kept]
    return replace(kept.ground, notebook=notebook)
