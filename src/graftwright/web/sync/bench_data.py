"""What the bench needs where there is no signal: the day's runs, labels, names and what is done."""

from dataclasses import dataclass

from django.conf import settings

from graftwright.notebook.entries import Binding, LabelsCounted, Method, RunGrafted, Written
from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan, Run
from graftwright.season.seasons import season_of
from graftwright.store.labels import printed_labels
from graftwright.tongue import english
from graftwright.web.bench.day import bench_acts
from graftwright.web.standing_on import today
from graftwright.web.winter import this_winter


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedRun:
    """One planned run in working order."""

    number: int
    bundle_code: str
    lot_code: str
    promise_code: str
    place_code: str
    variety: str
    stock: str
    who: str
    method: str
    graft_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A printed label that no tree bears yet."""

    code: str
    bundle_code: str
    lot_code: str
    promise_code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A code, what it is called, and how many are left of it."""

    code: str
    name: str
    left_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """A run grafted or a count of labels, as it stands in the record."""

    entry_id: str
    kind: str
    bundle_code: str
    graft_count: int = 0
    used_count: int = 0
    left_over_count: int = 0
    tree_codes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchData:
    """All that the bench page needs to work alone for a day."""

    day: str
    is_day_chosen: bool
    runs: tuple[PlannedRun, ...]
    labels: tuple[Label, ...]
    bundles: tuple[Named, ...]
    lots: tuple[Named, ...]
    places: tuple[Named, ...]
    promises: tuple[Named, ...]
    methods: tuple[str, ...]
    bindings: tuple[str, ...]
    acts: tuple[Act, ...]
    grafter: str
    binding: str


def bench_data() -> BenchData:
    """Return what the bench needs on the day the pages stand on."""
    winter = this_winter()
    notebook, plan = winter.notebook, winter.plan
    acts = bench_acts(today())
    last = next((one.entry for one in reversed(acts) if isinstance(one.entry, RunGrafted)), None)
    return BenchData(
        day=today().isoformat(),
        is_day_chosen=settings.STAND_ON is not None,
        runs=tuple(_run(run, notebook) for run in (plan.runs if plan else ())),
        labels=_labels(notebook, plan),
        bundles=_bundles(notebook),
        lots=tuple(
            Named(code=lot.code, name=lot.stock, left_count=lot.in_hand_count)
            for lot in notebook.lots.values()
            if lot.in_hand_count
        ),
        places=tuple(Named(code=code, name=one.name) for code, one in notebook.places.items()),
        promises=tuple(
            Named(code=code, name=one.who, left_count=one.open_count)
            for code, one in notebook.promises.items()
            if one.open_count
        ),
        methods=tuple(one.value for one in Method),
        bindings=tuple(one.value for one in Binding),
        acts=tuple(map(_act, acts)),
        grafter=last.grafter if last else "",
        binding=english(last.binding if last else Binding.STRETCH_FILM),
    )


def _bundles(notebook: Notebook) -> tuple[Named, ...]:
    return tuple(
        Named(code=one.code, name=one.variety, left_count=one.pieces_left)
        for one in notebook.bundles.values()
        if one.discarded_on is None
    )


def _run(run: Run, notebook: Notebook) -> PlannedRun:
    word = run.method.replace("-", " ")
    return PlannedRun(
        number=run.number,
        bundle_code=run.bundle_code,
        lot_code=run.lot_code,
        promise_code=run.promise_code,
        place_code=run.place_code if run.place_code in notebook.places else "",
        variety=run.variety,
        stock=run.stock,
        who=run.who,
        method=word if word in set(Method) else Method.WHIP_AND_TONGUE.value,
        graft_count=run.graft_count,
    )


def _labels(notebook: Notebook, plan: Plan | None) -> tuple[Label, ...]:
    season = plan.season if plan else season_of(today(), latitude_deg=notebook.nursery.latitude_deg)
    return tuple(
        Label(
            code=one.code,
            bundle_code=one.bundle_code,
            lot_code=one.lot_code,
            promise_code=one.promise_code,
        )
        for one in printed_labels(season)
        if one.code not in notebook.trees
    )


def _act(one: Written) -> Act:
    entry = one.entry
    assert isinstance(entry, RunGrafted | LabelsCounted)
    if isinstance(entry, RunGrafted):
        return Act(
            entry_id=str(one.entry_id),
            kind="RunGrafted",
            bundle_code=entry.bundle_code,
            graft_count=len(entry.tree_codes),
            tree_codes=entry.tree_codes,
        )
    return Act(
        entry_id=str(one.entry_id),
        kind="LabelsCounted",
        bundle_code=entry.bundle_code,
        used_count=entry.used_count,
        left_over_count=entry.left_over_count,
    )
