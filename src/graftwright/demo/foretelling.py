"""The demo's kept forecasts reckoned anew, and written down by running this module."""

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from uuid import UUID

from graftwright.demo.foretold import FORETOLD_ON
from graftwright.demo.story import SCRIPT_2008, SCRIPT_2009, demo_story, entries_until
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.entries import Written
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.season.forecasts import forecast_of
from graftwright.season.plan import plan_winter

_SCRIPTS = {script.season: script for script in (SCRIPT_2008, SCRIPT_2009)}


def reckoned(season: int) -> Iterator[str]:
    """Yield what the plan of the season foretells of the notebook as it stood on that day."""
    on = FORETOLD_ON[season]
    plan = plan_winter(
        _as_it_stood(season),
        season=season,
        today=on,
        catalogue=shipped_catalogue(),
        normals=shipped_normals(),
    )
    keys = {demo_story().book.code(line.key): line.key for line in _SCRIPTS[season].promises}
    forecast = forecast_of(plan)
    for line in forecast.lines if forecast else ():
        what = f"{keys[line.promise_code]};{line.variety};{line.stock};{line.stage}"
        yield f"{season};{what};{line.graft_count};{line.lived_grafts};{line.lost_grafts}"


def _as_it_stood(season: int) -> Notebook:
    on = FORETOLD_ON[season]
    first = datetime.combine(on, time(), tzinfo=UTC)
    return replay(
        Written(
            entry_id=UUID(int=number),
            written_at=first + timedelta(microseconds=number),
            entry=entry,
        )
        for number, entry in enumerate(entries_until(on), 1)
    )


def main() -> None:
    """Write the rows into the module that keeps them."""
    path = Path(__file__).with_name("foretold.py")
    head = path.read_text(encoding="utf-8").split("FORETOLD: Final")[0]
    rows = "".join(f"{row}\n" for season in FORETOLD_ON for row in reckoned(season))
    path.write_text(f'{head}FORETOLD: Final = """\\\n{rows}"""\n', encoding="utf-8")


if __name__ == "__main__":
    main()
