"""A reading's good rows made into entries, in an order that the notebook's rules accept."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from graftwright.intake.desk import CodeOfRow, Codes, Desk
from graftwright.intake.entering_bench import enter_runs, enter_temperatures, enter_tree_checks
from graftwright.intake.entering_bundles import enter_bundles
from graftwright.intake.entering_nursery import (
    enter_bench_days,
    enter_facts,
    enter_materials,
    enter_practices,
    enter_results,
)
from graftwright.intake.entering_stocks import enter_lots
from graftwright.intake.entering_wood import (
    enter_mother_trees,
    enter_places,
    enter_promises,
)
from graftwright.intake.reading import Reading, Recognised, RowProblem
from graftwright.intake.references import References
from graftwright.intake.trial import Trial
from graftwright.notebook.entries import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.season.labels import PrintedLabel
from graftwright.tagcode import CODE_COUNT, code_from_number


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """What a reading comes to; `codes_given` says which row's thing got which new code."""

    entries: tuple[Entry, ...]
    problems: tuple[RowProblem, ...]
    recognised: tuple[Recognised, ...]
    codes_given: tuple[CodeOfRow, ...]

    @property
    def codes_used_count(self) -> int:
        """How many of the codes handed in were used."""
        return len(self.codes_given)


def enter(
    reading: Reading,
    notebook: Notebook,
    codes: Iterator[str],
    *,
    today: date,
    already: Collection[Entry] = (),
    labels: Sequence[PrintedLabel] = (),
) -> Entered:
    """Return the entries a reading comes to, the rows that cannot be entered, and the known ones.

    Written in the order given, each entry passes the notebook's rules. A row whose day is empty
    happened `today`. `already` are the entries written so far: one equal to them is passed over,
    which is what keeps a tree check from counting twice. A row is entered whole or not at all,
    and none raises. A run without tree codes takes those of the `labels` printed for its bundle
    and lot, and new codes only beyond them.
    """
    trial = Trial(notebook, already)
    named = _codes_named(reading)
    desk = Desk(
        trial=trial,
        names=References(trial),
        codes=Codes(codes, lambda code: code in named or bool(trial.now.kind_of_code(code))),
        today=today,
        labels=labels,
    )
    enter_facts(desk, reading.facts)
    enter_practices(desk, reading.practices)
    enter_materials(desk, reading.materials)
    enter_bench_days(desk, reading.bench_days)
    enter_results(desk, reading.results)
    enter_places(desk, reading.places)
    enter_mother_trees(desk, reading.mother_trees)
    enter_bundles(desk, reading.sticks)
    enter_lots(desk, reading.lots)
    enter_promises(desk, reading.promises)
    enter_runs(desk, reading.runs)
    enter_tree_checks(desk, reading.tree_checks)
    enter_temperatures(desk, reading.days, reading.hours)
    return Entered(
        entries=tuple(trial.entries),
        problems=tuple(desk.problems),
        recognised=tuple(desk.recognised),
        codes_given=tuple(desk.given),
    )


def _codes_named(reading: Reading) -> frozenset[str]:
    coded = (reading.places, reading.mother_trees, reading.sticks, reading.lots, reading.promises)
    named = {row.code for rows in coded for row in rows if row.code}
    return frozenset(named.union(*(row.tree_codes for row in reading.runs)))


def entries_from_reading(
    reading: Reading,
    notebook: Notebook,
    codes: Iterator[str],
    *,
    today: date,
    already: Collection[Entry] = (),
) -> tuple[Entry, ...]:
    """Return the entries alone; see `enter`."""
    return enter(reading, notebook, codes, today=today, already=already).entries


def unresolved(
    reading: Reading, notebook: Notebook, *, today: date, already: Collection[Entry] = ()
) -> tuple[RowProblem, ...]:
    """Return the good rows that cannot be entered as the notebook stands, with the way out."""
    done = enter(reading, notebook, _any_codes(), today=today, already=already)
    return tuple(_without_codes(problem, done.codes_given) for problem in done.problems)


def _without_codes(problem: RowProblem, given: Iterable[CodeOfRow]) -> RowProblem:
    """Return the problem with the row named instead of a code that nobody has been given."""
    words = problem.way_out
    for one in given:
        words = words.replace(one.code, f"of row {one.row_number} on {one.sheet}")
    return replace(problem, way_out=words)


def recognised(
    reading: Reading, notebook: Notebook, *, today: date, already: Collection[Entry] = ()
) -> tuple[Recognised, ...]:
    """Return the rows that tell of something written down already, and what is made of them."""
    return enter(reading, notebook, _any_codes(), today=today, already=already).recognised


def codes_needed(
    reading: Reading, notebook: Notebook, *, today: date, already: Collection[Entry] = ()
) -> int:
    """Return how many new tag codes the reading asks for."""
    return enter(reading, notebook, _any_codes(), today=today, already=already).codes_used_count


def _any_codes() -> Iterator[str]:
    """Yield codes from the far end of the series, to count with; they are never written down."""
    return (code_from_number(number) for number in range(CODE_COUNT - 1, -1, -1))
