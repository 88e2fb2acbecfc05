"""Commands about what was learnt: lessons, two ways compared, forecasts kept."""

import argparse

from graftwright.cli.folder import today
from graftwright.cli.winter import make_plan
from graftwright.cli.words import comparison_text, lessons_text
from graftwright.errors import OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.comparisons import COMPARABLE, choices, ways_compared
from graftwright.season.forecasts import forecasts_held
from graftwright.season.graft_counts import Factor, GraftCount, graft_counts
from graftwright.season.naming import Names
from graftwright.season.review import lessons as what_it_teaches
from graftwright.season.seasons import season_of
from graftwright.store.forecasts import keep_forecast
from graftwright.store.read import read_notebook
from graftwright.tongue import say, told


def lessons(asked: argparse.Namespace) -> int:
    """Print what the counts so far teach, compare two ways, or keep what the plan foretells."""
    notebook = read_notebook()
    if asked.keep_forecast:
        return _keep(notebook)
    counts = graft_counts(notebook, names=Names(shipped_catalogue()), today=today())
    if asked.compare:
        print(_compared(notebook, counts, asked.compare))
        return 0
    taught = what_it_teaches(
        notebook,
        today=today(),
        catalogue=shipped_catalogue(),
        reader=asked.reader,
        season=asked.season,
    )
    print(lessons_text(taught, forecasts_held(notebook.forecasts, counts)))
    return 0


def _compared(notebook: Notebook, counts: tuple[GraftCount, ...], wanted: list[str]) -> str:
    factor, first, second = wanted
    if factor not in set(COMPARABLE):
        raise OutOfRange(
            told(
                "{factor} is not compared; choose one of {listed}",
                factor=factor,
                listed=", ".join(COMPARABLE),
            )
        )
    known = [
        level
        for choice in choices(counts, notebook=notebook)
        if choice.factor == factor
        for level, _, _ in choice.levels
    ]
    for level in (first, second):
        if level not in known:
            raise OutOfRange(
                told(
                    "no take is counted with the {factor} {level}; there are {listed}",
                    factor=factor,
                    level=level,
                    listed=", ".join(known) or say("none in two ways"),
                )
            )
    return comparison_text(
        ways_compared(counts, factor=Factor(factor), first=first, second=second, notebook=notebook)
    )


def _keep(notebook: Notebook) -> int:
    season = season_of(today(), latitude_deg=notebook.nursery.latitude_deg)
    kept = keep_forecast(make_plan(notebook, season=season))
    if kept is None:
        print(say("This plan foretells nothing that is not kept already."))
    else:
        print(
            told(
                "What the plan for {season} foretells is kept as it stands on {today}.",
                season=season,
                today=today(),
            )
        )
    return 0
