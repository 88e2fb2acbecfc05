"""The plan and the day's weather, kept as long as nothing they rest on was written since.

Planning and temperatures take seconds; a tick on a tree's cane changes neither.
"""

from dataclasses import dataclass, replace
from datetime import date

from graftwright.intake.normals import shipped_normals
from graftwright.notebook.entries import Scion
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, Nursery, Promise, Tree
from graftwright.season.due import day_ground
from graftwright.season.expected_night import EXPECTED_HIGH, EXPECTED_LOW
from graftwright.season.jobs_shoots import WIND
from graftwright.season.place_fit import Ground
from graftwright.season.planned import Plan
from graftwright.web.winter import this_winter


@dataclass(frozen=True, slots=True, kw_only=True)
class _KeptPlan:
    day: date
    rests_on: tuple[object, ...]
    plan: Plan | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _KeptGround:
    day: date
    rests_on: tuple[object, ...]
    ground: Ground


_OF_THE_DAY = (WIND, EXPECTED_LOW, EXPECTED_HIGH)
_last_plan: list[_KeptPlan] = []
_last_ground: list[_KeptGround] = []


def plan_kept(notebook: Notebook, *, day: date) -> Plan | None:
    """Return the winter's plan; the last one while what a plan rests on is as it was."""
    rests_on = _plan_rests_on(notebook)
    kept = _last_plan[0] if _last_plan else None
    if kept is not None and kept.day == day and kept.rests_on == rests_on:
        return kept.plan
    plan = this_winter().plan
    _last_plan[:] = [_KeptPlan(day=day, rests_on=rests_on, plan=plan)]
    return plan


def ground_kept(notebook: Notebook, *, day: date) -> Ground:
    """Return the day's weather and places, as worked out before if they are as they were."""
    places = {code: (one.place_kind, one.name) for code, one in notebook.places.items()}
    rests_on = (
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


def _plan_rests_on(notebook: Notebook) -> tuple[object, ...]:
    return (
        {code: _served(promise) for code, promise in notebook.promises.items()},
        {code: _unlooked_at(bundle) for code, bundle in notebook.bundles.items()},
        *(notebook.mother_trees, notebook.lots, notebook.temperatures, notebook.hours),
        {code: replace(place, watered_on=None) for code, place in notebook.places.items()},
        _said_of_plan(notebook.nursery),
        *(notebook.results, notebook.bench_days, notebook.names_and_rights),
        tuple((tree.code, _counted(tree)) for tree in notebook.workings()),
    )


def _served(promise: Promise) -> Promise:
    """A promise to which it is all the same whether its trees wait here or have gone."""
    both = {*promise.allocated_codes, *promise.handed_over_codes}
    return replace(promise, allocated_codes=tuple(sorted(both)), handed_over_codes=())


def _unlooked_at(bundle: Bundle) -> Bundle:
    return replace(bundle, checked_on=None)


def _said_of_plan(nursery: Nursery) -> Nursery:
    lasting = tuple(one for one in nursery.practices if one.practice not in _OF_THE_DAY)
    return replace(nursery, put_off=(), given=(), rain=(), practices=lasting)


def _counted(tree: Tree) -> tuple[object, ...]:
    """What a plan counts of a tree: what it is, and which stages it is known to have passed."""
    is_dead = tree.scion is Scion.DEAD
    return (
        *(tree.season, tree.bundle_code, tree.lot_code, tree.promise_code, tree.grafter),
        *(tree.method, tree.stock, is_dead, tree.taken_on is not None, tree.scion_died_on),
        *(tree.union_broke_on, tree.stock_died_on, tree.ready, tree.graded_on is not None),
        *(tree.handed_over_on, tree.allocated_to, tree.carried_to),
    )
