"""How well the order of rootstocks is foretold at sites the fit has not seen.

    python -m benchmarks.vigour FILE

FILE has the columns of the shipped rootstock_trials.csv. Each of its sites is left out of the
fit in turn (its rows in the shipped table too); the fitted strengths are then put beside the
site's trunk sections. "known" counts only stocks that some other site or published figure knows.

"attainable" is the rank correlation that the site's own figures would reach with themselves, had
the trial been planted again: trees of one stock differ, and a site has few of each. "if_known" is
what a perfect order of the known stocks reaches while the others stay tied in the middle.
"agreement" is the middle rank correlation with the other sites of the file, stock by stock.
"""

import argparse
import csv
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log
from pathlib import Path

import numpy as np
from scipy.stats import spearmanr

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.planting import Catalogue, trial_rows
from graftwright.planting.rootstock import TrialRow
from graftwright.planting.vigour_fit import VigourFit, fit_vigour

_FEWEST_STOCKS = 4
# Spread between trees on one stock, log of trunk section: twice that of girth in the
# table of 32 trees at four years (0.065) and fifteen (0.070), heplots RootStock.
_TREE_SCATTER = 0.13
# Trees of each stock at a site where the file does not print how many lived (judgement).
_TREES_NOT_PRINTED = 8
_DRAWS = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteSeen:
    """One site of the file: its rows, and how many trees lived of each where that is printed."""

    rows: tuple[TrialRow, ...]
    tree_counts: tuple[int, ...]

    @property
    def sections_cm2(self) -> tuple[float, ...]:
        """The trunk sections, in the order of the rows."""
        return tuple(row.trunk_section_cm2 or 0.0 for row in self.rows)


def rank_correlation(foretold: Sequence[float], seen: Sequence[float]) -> float | None:
    """Spearman's rank correlation, or None where there are too few stocks or no differences."""
    if len(seen) < _FEWEST_STOCKS or len(set(foretold)) < 2 or len(set(seen)) < 2:
        return None
    return round(float(spearmanr(foretold, seen).statistic), 4)


def attainable(site: SiteSeen) -> float | None:
    """The middle rank correlation of the site's figures with a second planting of the same."""
    logs = np.log(site.sections_cm2)
    trees = np.array(site.tree_counts) * np.array([row.site_count for row in site.rows])
    random = np.random.default_rng(20260101)
    again = logs + random.normal(size=(_DRAWS, len(logs))) * _TREE_SCATTER / np.sqrt(trees)
    found = [r for drawn in again if (r := rank_correlation(list(drawn), list(logs))) is not None]
    return round(float(np.median(found)), 4) if found else None


def agreement(site: SiteSeen, others: Sequence[SiteSeen]) -> float | None:
    """The middle rank correlation with other sites, over the stocks both had."""
    here = dict(zip((row.rootstock for row in site.rows), site.sections_cm2, strict=True))
    found = []
    for other in others:
        pairs = [
            (here[row.rootstock], section)
            for row, section in zip(other.rows, other.sections_cm2, strict=True)
            if row.rootstock in here
        ]
        found.append(rank_correlation([one for one, _ in pairs], [two for _, two in pairs]))
    known = [r for r in found if r is not None]
    return round(float(np.median(known)), 4) if known else None


def if_known(seen: Sequence[float], is_known: Sequence[bool]) -> float | None:
    """What a perfect order of the known stocks reaches, the others tied in the middle."""
    middle = float(np.mean(np.log(seen)))
    foretold = [log(s) if known else middle for s, known in zip(seen, is_known, strict=True)]
    return rank_correlation(foretold, seen)


def site_report(
    site: SiteSeen,
    *,
    others: Sequence[TrialRow],
    catalogue: Catalogue,
    sites: Sequence[SiteSeen] = (),
) -> dict[str, object]:
    """Rank one site's stocks by a fit on other rows and compare with its trunk sections."""
    held_back = site.rows
    fit = fit_vigour(others, rootstocks=catalogue.rootstocks)
    stocks = [
        fit.of_stock(row.rootstock, rootstocks=catalogue.rootstocks, scion=row.scion)
        for row in held_back
    ]
    foretold = [stock.log_vigour for stock in stocks]
    seen = list(site.sections_cm2)
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
        "attainable": attainable(site),
        "if_known": if_known(seen, [stock.stock_key in known for stock in stocks]),
        "agreement": agreement(site, [other for other in sites if other is not site]),
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


def sites_of(table: Sequence[Mapping[str, str]]) -> tuple[SiteSeen, ...]:
    """The sites of a trial table that have trunk sections, one for each trial and site."""
    found: dict[tuple[str, str], list[tuple[TrialRow, int]]] = {}
    for cells, row in zip(table, trial_rows(table), strict=True):
        if row.trunk_section_cm2:
            count = int(cells.get("n_alive") or _TREES_NOT_PRINTED)
            found.setdefault((row.trial, row.site), []).append((row, count))
    return tuple(
        SiteSeen(rows=tuple(row for row, _ in rows), tree_counts=tuple(n for _, n in rows))
        for rows in found.values()
    )


def reports(sites: Sequence[SiteSeen], *, catalogue: Catalogue) -> list[dict[str, object]]:
    """One report for each trial and site."""
    every_row = dict.fromkeys([*catalogue.trials, *(row for site in sites for row in site.rows)])
    found = []
    for site in sites:
        here = (site.rows[0].trial, site.rows[0].site)
        others = [row for row in every_row if (row.trial, row.site) != here]
        found.append(site_report(site, others=others, catalogue=catalogue, sites=sites))
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("file", type=Path, help="trial table (CSV)")
    with parser.parse_args().file.open(encoding="utf-8", newline="") as table:
        sites = sites_of(tuple(csv.DictReader(table)))
    by_site = reports(sites, catalogue=shipped_catalogue())
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
