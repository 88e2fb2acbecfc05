"""Rows of runs, tree checks and temperatures made into entries."""

from collections.abc import Iterable, Sequence
from dataclasses import fields
from datetime import UTC, date, timedelta
from functools import partial
from uuid import UUID

from graftwright.errors import UnknownCode
from graftwright.intake.desk import Desk, Made, known_words, standing_otherwise
from graftwright.intake.reading import DailySeries, HourlySeries
from graftwright.intake.references import name_key, paired
from graftwright.intake.rows import Row, RunRow, TreeCheckRow
from graftwright.notebook.entries import (
    Cause,
    DamageNoted,
    Entry,
    Graded,
    GrowthMeasured,
    HourlyTemperaturesAdded,
    NoteWritten,
    RunGrafted,
    Scion,
    ScionDied,
    StockDied,
    StockState,
    TakeJudged,
    TemperaturesAdded,
    TreeMoved,
    UnionBroke,
)
from graftwright.notebook.standing import Tree
from graftwright.season.labels import PrintedLabel, labels_at_bench
from graftwright.tongue import say, told


def enter_runs(desk: Desk, rows: Sequence[RunRow]) -> None:
    """Enter the runs; one that stands in the notebook, tree for tree, is passed over."""
    runs = _runs_before(desk)
    known = paired(
        rows,
        runs,
        alike=lambda row, trees: _same_run(desk, row, trees),
        equal=lambda row, trees: row.run_number > 0 or row.method == trees[0].method,
    )
    for place, row in enumerate(rows):
        trees = runs.get(known.get(place, ""), ())
        desk.take([row], partial(_run, desk, row, trees))


def _runs_before(desk: Desk) -> dict[str, tuple[Tree, ...]]:
    by_run: dict[UUID, list[Tree]] = {}
    for tree in desk.trial.before.trees.values():
        by_run.setdefault(tree.run_id, []).append(tree)
    return {str(run_id): tuple(trees) for run_id, trees in by_run.items()}


def _same_run(desk: Desk, row: RunRow, trees: Sequence[Tree]) -> bool:
    one = trees[0]
    if row.tree_codes:
        return set(row.tree_codes) == {tree.code for tree in trees}
    if (row.grafted_on, row.graft_count) != (one.grafted_on, len(trees)):
        return False
    same_grafter = name_key(row.grafter) == name_key(one.grafter)
    bundle_names = {one.bundle_code, desk.trial.now.variety_of(one)}
    lot_names = {one.lot_code, desk.trial.now.stock_of(one)}
    return (
        same_grafter
        and _is_among(row.bundle, bundle_names, desk.names.marked("bundle", row.bundle))
        and _is_among(row.lot, lot_names, desk.names.marked("lot", row.lot))
    )


def _is_among(text: str, names: Iterable[str], marked: str) -> bool:
    return name_key(text) in {name_key(name) for name in names} or marked in set(names) - {""}


def _run(desk: Desk, row: RunRow, trees: Sequence[Tree]) -> Made:
    if trees:
        code = trees[0].code
        words = known_words(
            told("run of {count} grafts from", count=len(trees)),
            code,
            (),
            _otherwise(desk, row, trees[0]),
        )
        return Made(entries=(), code=code, known_as=words)
    bundle_code = desk.names.bundle(row.bundle)
    lot_code = desk.names.lot(row.lot)
    lot = desk.trial.lots[lot_code]
    variety = desk.trial.now.variety_of_bundle(bundle_code)
    promise_code = desk.names.promise(row.promise, variety, lot.stock)
    place_code = desk.names.place(row.place)
    ready = _labels_ready(desk, row, bundle_code, lot_code, promise_code)
    printed = tuple(label.code for label in ready)
    missing = (row.graft_count or 0) - len(printed)
    codes = row.tree_codes or (*printed, *(desk.codes.take() for _ in range(missing)))
    if ready and not row.promise and ready[0].promise_code in desk.trial.now.promises:
        promise_code = ready[0].promise_code
    run = RunGrafted(
        happened_on=row.grafted_on,
        tree_codes=codes,
        bundle_code=bundle_code,
        lot_code=lot_code,
        promise_code=promise_code,
        place_code=place_code,
        method=row.method,
        binding=row.binding,
        seal=row.seal,
        grafter=row.grafter,
        spoilt_count=row.spoilt_count,
        run_number=row.run_number,
    )
    return Made(entries=(run, *_note(row.note, codes, row.grafted_on)), code=codes[0])


def _otherwise(desk: Desk, row: RunRow, tree: Tree) -> tuple[str, ...]:
    """Return what a row says otherwise of a run known by its trees; usual values say nothing."""
    bundles = {tree.bundle_code, desk.trial.now.variety_of(tree)}
    lots = {tree.lot_code, desk.trial.now.stock_of(tree)}
    is_from = _is_among(row.bundle, bundles, desk.names.marked("bundle", row.bundle))
    is_on = _is_among(row.lot, lots, desk.names.marked("lot", row.lot))
    usual = {field.name: field.default for field in fields(RunRow)}
    method = "" if row.method == usual["method"] else row.method
    binding = "" if row.binding == usual["binding"] else row.binding
    return standing_otherwise(
        {
            "grafted on": (row.grafted_on, tree.grafted_on),
            "bundle": ("" if is_from else row.bundle, tree.bundle_code),
            "lot": ("" if is_on else row.lot, tree.lot_code),
            "method": (method, tree.method),
            "binding": (binding, tree.binding),
            "grafter": (row.grafter, tree.grafter),
        }
    )


def _labels_ready(
    desk: Desk, row: RunRow, bundle_code: str, lot_code: str, promise_code: str
) -> tuple[PrintedLabel, ...]:
    """Return the labels printed for this run, as many as it has grafts if there are so many."""
    ready = labels_at_bench(
        desk.labels,
        bundle_code=bundle_code,
        lot_code=lot_code,
        is_used=lambda code: bool(desk.trial.now.kind_of_code(code)),
        promise_code=promise_code,
        run_number=row.run_number,
    )
    return ready[: row.graft_count or 0]


def _note(words: str, codes: tuple[str, ...], on: date) -> tuple[Entry, ...]:
    return (NoteWritten(happened_on=on, about_codes=codes, words=words),) if words else ()


def enter_tree_checks(desk: Desk, rows: Sequence[TreeCheckRow]) -> None:
    """Enter what was seen of trees; a check equal to one written already is passed over."""
    for row in rows:
        desk.take([row], partial(_check, desk, row))


def _check(desk: Desk, row: TreeCheckRow) -> Made:
    entries = tuple(_seen(row, desk.names.place(row.place)))
    return Made(entries=entries, code=row.tree_codes[0])


def _seen(row: TreeCheckRow, place_code: str) -> Iterable[Entry]:
    on, codes = row.seen_on, row.tree_codes
    if place_code:
        yield TreeMoved(happened_on=on, tree_codes=codes, place_code=place_code)
    if row.growth_mm is not None:
        yield GrowthMeasured(happened_on=on, tree_codes=codes, growth_mm=row.growth_mm)
    yield from _judged(row)
    if row.ready is not None:
        yield Graded(happened_on=on, tree_codes=codes, ready=row.ready, height_m=row.height_m)
    yield from _note(row.note, codes, on)


def _judged(row: TreeCheckRow) -> Iterable[Entry]:
    on, codes, cause = row.seen_on, row.tree_codes, row.cause or Cause.UNKNOWN
    if row.stock is StockState.DEAD:
        yield StockDied(happened_on=on, tree_codes=codes, cause=cause)
    elif row.union_broke:
        yield UnionBroke(happened_on=on, tree_codes=codes, cause=cause)
    elif row.scion is Scion.DEAD:
        yield ScionDied(happened_on=on, tree_codes=codes, cause=cause)
    else:
        if row.scion is not None:
            yield TakeJudged(happened_on=on, tree_codes=codes, scion=row.scion)
        if row.cause is not None:
            yield DamageNoted(happened_on=on, tree_codes=codes, cause=row.cause)


def enter_temperatures(
    desk: Desk, days: Sequence[DailySeries], hours: Sequence[HourlySeries]
) -> None:
    """Enter temperatures; days that the notebook holds alike are passed over."""
    for daily in days:
        row = Row(
            row_number=0,
            sheet=told("temperatures of {place}", place=daily.place or say("no place")),
        )
        desk.take([row], partial(_daily, desk, daily))
    for hourly in hours:
        row = Row(
            row_number=0,
            sheet=told("hourly temperatures of {place}", place=hourly.place or say("no place")),
        )
        desk.take([row], partial(_hourly, desk, hourly))


def _daily(desk: Desk, series: DailySeries) -> Made:
    place_code = _place_of(desk, series)
    last_on = series.first_on + timedelta(days=len(series.low_c) - 1)
    entry = TemperaturesAdded(
        happened_on=last_on,
        place_code=place_code,
        first_on=series.first_on,
        low_c=series.low_c,
        high_c=series.high_c,
        station=series.station,
    )
    known = desk.trial.before.temperatures.get(place_code)
    if known is not None:
        part = known.between(series.first_on, last_on)
        same = (part.first_on, part.low_c, part.high_c)
        if same == (series.first_on, series.low_c, series.high_c):
            words = told(
                "{count} days stand in the notebook already; passed over", count=len(series.low_c)
            )
            return Made(entries=(), code=place_code, known_as=words)
    return Made(entries=(entry,), code=place_code)


def _place_of(desk: Desk, series: DailySeries | HourlySeries) -> str:
    if not series.place:
        raise UnknownCode(
            say("temperatures without a place; expected the name or code of a place on every row")
        )
    return desk.names.place(series.place)


def _hourly(desk: Desk, series: HourlySeries) -> Made:
    place_code = _place_of(desk, series)
    last_at = series.first_at + timedelta(hours=len(series.hourly_c) - 1)
    entry = HourlyTemperaturesAdded(
        happened_on=last_at.astimezone(UTC).date(),
        place_code=place_code,
        first_at=series.first_at,
        hourly_c=series.hourly_c,
        station=series.station,
    )
    return Made(entries=(entry,), code=place_code)
