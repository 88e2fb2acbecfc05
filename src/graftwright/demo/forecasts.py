"""The demo's kept forecasts: what its plans foretold on the eve of each season's grafting.

The figures in `foretold` are what the plan really said of the notebook as it stood on those days;
`python -m graftwright.demo.foretelling` reckons them anew, and a test holds the two together.
"""

from graftwright.demo.codebook import CodeBook
from graftwright.demo.foretold import FORETOLD, FORETOLD_ON
from graftwright.notebook.entries import ForecastMade, Foretold
from graftwright.season.forecasts import MODEL


def forecast_made(season: int, *, book: CodeBook) -> ForecastMade:
    """Return the forecast of one season as it was kept."""
    on = FORETOLD_ON[season]
    return ForecastMade(
        happened_on=on,
        season=season,
        known_on=on,
        model=MODEL,
        lines=tuple(_line(row, book) for row in foretold_rows(season)),
    )


def foretold_rows(season: int) -> list[list[str]]:
    """Return the rows of one season, each a list of its fields without the season."""
    rows = [row.split(";") for row in FORETOLD.splitlines()]
    return [row[1:] for row in rows if row[0] == str(season)]


def _line(row: list[str], book: CodeBook) -> Foretold:
    key, variety, stock, stage, graft_count, lived, lost = row
    return Foretold(
        promise_code=book.code(key),
        variety=variety,
        stock=stock,
        stage=stage,
        graft_count=int(graft_count),
        lived_grafts=float(lived),
        lost_grafts=float(lost),
    )
