"""What one's own notes of moving buds teach about the warmth that buds need here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp

import numpy as np

from graftwright.climate import (
    BUD_REQUIREMENT,
    FloatArray,
    Requirement,
    next_batch_requirement,
    observed_log_ratio,
    updated_requirement,
)
from graftwright.notebook.standing import Tree
from graftwright.season.cover_batches import (
    Stay,
    graft_hours,
    half_moved_on,
    usual_stays,
)
from graftwright.season.grouped_trees import grafted_by_batch
from graftwright.season.place_fit import BatchKey, Ground, PlaceFit, modelled_hours
from graftwright.season.tree_moves import NO_MOVES, TreeMoves
from graftwright.tongue import say, told

_LONGEST_DAYS = 200
_NOON_H = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class BudNote:
    """A batch whose buds were seen moving, and how its warmth stood to the usual need."""

    grafted_on: date
    moved_on: date
    log_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BudLearning:
    """The need that coming batches are forecast with, and the notes it comes from."""

    requirement: Requirement
    notes: tuple[BudNote, ...]

    @property
    def words(self) -> str:
        """Say in words what was learnt."""
        spread = f"±{self.requirement.log_sd:.0%}"
        if not self.notes:
            return told(
                "No batch yet has half its buds noted as moving and temperatures known "
                "up to that day, so the usual need stands, {spread} by judgement, no "
                "source. Each such batch sharpens it.",
                spread=spread,
            )
        ratio = exp(self.requirement.log_mean)
        count = (
            say("one batch")
            if len(self.notes) == 1
            else told("{count} batches", count=len(self.notes))
        )
        if abs(ratio - 1.0) < 0.02:
            stands = say("about the usual warmth")
        else:
            way = say("more") if ratio > 1.0 else say("less")
            stands = told("{ratio:.0%} {way} warmth than usual", ratio=abs(ratio - 1.0), way=way)
        return told(
            "By your own notes of {count} buds here ask for {stands} between "
            "knitting and moving; forecasts go by that, {spread}.",
            count=count,
            stands=stands,
            spread=spread,
        )


def bud_learning(ground: Ground, *, moves: TreeMoves = NO_MOVES) -> BudLearning:
    """Return what all batches of the nursery teach, this spring's and earlier ones."""
    notes = [one for one in _notes(ground, moves).values() if isinstance(one, BudNote)]
    if not notes:
        return BudLearning(requirement=BUD_REQUIREMENT, notes=())
    learnt = updated_requirement(
        BUD_REQUIREMENT, observed_log_ratios=[note.log_ratio for note in notes]
    )
    return BudLearning(requirement=next_batch_requirement(learnt), notes=tuple(notes))


def _notes(ground: Ground, moves: TreeMoves) -> Mapping[BatchKey, object]:
    """Each batch's note, in order; only batches whose trees changed since last time are asked."""
    batches, kept = grafted_by_batch(ground.notebook.trees), ground.reckoned.notes_last
    before = kept.get(moves is NO_MOVES)
    if before is not None and before[1] is moves and before[0].keys() == batches.keys():
        found = dict(before[2])
        asked = [key for key, trees in batches.items() if before[0][key] is not trees]
    else:
        found, asked = {}, sorted(batches)
    for key in asked:
        found[key] = _note_kept(key, batches[key], ground, moves)
    kept[moves is NO_MOVES] = (batches, moves, found)
    return found


def _note_kept(
    batch: BatchKey, trees: tuple[Tree, ...], ground: Ground, moves: TreeMoves
) -> object:
    kept, key = ground.reckoned.notes, ("grafted", *batch)
    stays = usual_stays(trees, moves, key=key, reckoned=ground.reckoned)
    found = kept.get((*batch, stays))
    if found is None or found[0] is not trees:
        found = kept[(*batch, stays)] = (trees, _note(trees, stays, ground))
    return found[1]


def _note(trees: Sequence[Tree], stays: tuple[Stay, ...], ground: Ground) -> BudNote | None:
    """The batch's note; None where half have not moved, or the temperatures are not known."""
    moved_on, grafted_on = half_moved_on(trees), trees[0].grafted_on
    if moved_on is None or not 0 < (moved_on - grafted_on).days <= _LONGEST_DAYS:
        return None
    if any(stay.place_code not in ground.fits for stay in stays):
        return None
    kept, key = ground.reckoned.log_ratios, (grafted_on, moved_on, stays)
    if key not in kept:
        kept[key] = _log_ratio(stays, grafted_on, moved_on, ground)
    ratio = kept[key]
    if ratio is None:
        return None
    return BudNote(grafted_on=grafted_on, moved_on=moved_on, log_ratio=ratio)


def _log_ratio(
    stays: tuple[Stay, ...], grafted_on: date, moved_on: date, ground: Ground
) -> float | None:
    hour_count = 24 * ((moved_on - grafted_on).days + 1)
    known = _known_from(grafted_on, ground)
    if len(known) < hour_count:
        return None

    def modelled(fit: PlaceFit, outdoor_c: FloatArray) -> FloatArray:
        """A place's hours follow one another, so those of a shorter stay begin the longer's."""
        kept, key = ground.reckoned.modelled, (fit.model, grafted_on)
        if key not in kept:
            kept[key] = modelled_hours(fit, known[None, :])
        return kept[key][:, : outdoor_c.shape[-1]]

    hours = graft_hours(
        stays,
        starts_on=grafted_on,
        outdoor_c=known[None, :hour_count],
        ground=ground,
        modelled=modelled,
    )
    return observed_log_ratio(
        hours.union_c[0],
        bud_hourly_c=hours.bud_c[0],
        moved_after_h=float(hour_count - 24 + _NOON_H),
    )


def _known_from(grafted_on: date, ground: Ground) -> FloatArray:
    """Return the hours measured outdoors from a day on, up to the first hole. [°C]"""
    kept = ground.reckoned.known
    if grafted_on not in kept:
        most = 24 * (_LONGEST_DAYS + 1)
        hours = np.array(ground.weather.known_hours_from(grafted_on)[:most], dtype=np.float64)
        holes = np.flatnonzero(~np.isfinite(hours))
        kept[grafted_on] = hours[: int(holes[0])] if len(holes) else hours
    return kept[grafted_on]
