"""How well the order of rootstocks is foretold at sites the fit has not seen.

    python -m benchmarks.vigour FILE

FILE has the columns of the shipped rootstock_trials.csv. Each of its sites is left out of the
fit in turn (its rows in the shipped table too); the fitted strengths are then put beside the
site's trunk sections. "known" counts only stocks that some other site or published figure knows.
"""

import argparse
import csv
import json
from collections.abc import Sequence
from pathlib import Path

from scipy.stats import spearmanr

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.planting import Catalogue, trial_rows
from graftwright.planting.rootstock import TrialRow
from graftwright.planting.vigour_fit import VigourFit, fit_vigour

_FEWEST_STOCKS = 4


def rank_correlation(foretold: Sequence[float], seen: Sequence[float]) -> float | None:
    """Spearman's rank correlation, or None where there are too few stocks or no differences."""
    if len(seen) < _FEWEST_STOCKS or len(set(foretold)) < 2 or len(set(seen)) < 2:
        return None
    return round(float(spearmanr(foretold, seen).statistic), 4)


def site_report(
    held_back: Sequence[TrialRow], *, others: Sequence[TrialRow], catalogue: Catalogue
) -> dict[str, object]:
    """Rank one site's stocks by a fit on other rows and compare with its trunk sections."""
    fit = fit_vigour(others, rootstocks=catalogue.rootstocks)
    stocks = [fit.of_stock(row.rootstock, rootstocks=catalogue.rootstocks) for row in held_back]
    foretold = [stock.log_vigour for stock in stocks]
    seen = [row.trunk_section_cm2 or 0.0 for row in held_back]
    known = {stock.stock_key for stock in fit.stocks}
    pairs = [
        (stock.log_vigour, section)
        for stock, section in zip(stocks, seen, strict=True)
        if stock.stock_key in known
    ]
    return {
        "trial": held_back[0].trial,
        "site": held_back[0].site,
        "stocks": len(seen),
        "known_stocks": len(pairs),
        "spearman": rank_correlation(foretold, seen),
        "spearman_known": rank_correlation([f for f, _ in pairs], [s for _, s in pairs]),
        "spearman_percentages_only": _by_percentages(held_back, catalogue, fit),
    }


def _by_percentages(rows: Sequence[TrialRow], catalogue: Catalogue, fit: VigourFit) -> float | None:
    """The baseline: published percentages of a standard tree alone, stocks without one left out."""
    percents = {
        stock.key: percent
        for stock in catalogue.rootstocks
        if (percent := published_percent(stock.key, catalogue)) is not None
    }
    pairs = [
        (percents[key], row.trunk_section_cm2 or 0.0)
        for row in rows
        if (key := fit.of_stock(row.rootstock, rootstocks=catalogue.rootstocks).stock_key)
        in percents
    ]
    return rank_correlation([p for p, _ in pairs], [s for _, s in pairs])


def published_percent(key: str, catalogue: Catalogue) -> float | None:
    """The middle of the percentages printed for a stock."""
    spans = [report.standard_percent for report in catalogue.rootstock(key).reports]
    ends = [end for span in spans for end in (span.low, span.high) if end is not None]
    return sum(ends) / len(ends) if ends else None


def reports(rows: Sequence[TrialRow], *, catalogue: Catalogue) -> list[dict[str, object]]:
    """One report for each trial and site that has trunk sections."""
    measured = [row for row in rows if row.trunk_section_cm2]
    sites = dict.fromkeys((row.trial, row.site) for row in measured)
    found = []
    for trial, site in sites:
        held_back = [row for row in measured if (row.trial, row.site) == (trial, site)]
        every_row = dict.fromkeys([*catalogue.trials, *measured])
        others = [row for row in every_row if (row.trial, row.site) != (trial, site)]
        found.append(site_report(held_back, others=others, catalogue=catalogue))
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("file", type=Path, help="trial table (CSV)")
    with parser.parse_args().file.open(encoding="utf-8", newline="") as table:
        rows = trial_rows(tuple(csv.DictReader(table)))
    by_site = reports(rows, catalogue=shipped_catalogue())
    numbers = [n for report in by_site if isinstance(n := report["spearman"], float)]
    summary = {
        "sites": len(by_site),
        "sites_ranked": len(numbers),
        "mean_spearman": round(sum(numbers) / len(numbers), 4) if numbers else None,
        "lowest_spearman": min(numbers) if numbers else None,
    }
    print(json.dumps({"summary": summary, "by_site": by_site}, indent=2))


if __name__ == "__main__":
    main()
