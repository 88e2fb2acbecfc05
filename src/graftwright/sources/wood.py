"""Sources for wood, cuts and joins."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {
    "CuttingInstances": Source(
        author="The Graftwright authors",
        year=2026,
        title="Cutting instances with proven optimum (HiGHS relaxation and counting bounds)",
        where="tests/published/wood/small_*.json, medium_*.json, pair_score.csv",
        checked="software",
    ),
    "ContactVectors": Source(
        author="The Graftwright authors",
        year=2026,
        title="Cambium contact by polygon buffers (shapely, 12,000 points against a 6,000-gon)",
        where="tests/published/wood/whip_*.csv, perimeter.csv, cleft_one_side.csv, veneer.csv",
        checked="software",
    ),
    "JoinConventions": Source(
        author="The Graftwright authors",
        year=2026,
        title="Tongue and chip as straight lines, computed apart from the package",
        where="tests/published/wood/tongue.csv, chip.csv",
        checked="software",
    ),
    "NDSUGrafting": Source(
        author="NDSU Extension, Cass County",
        year=None,
        title="Grafting Techniques",
        where="https://www.ag.ndsu.edu/hort/info/fruit/graft/graft.htm",
        checked="second-hand",
    ),
    "ScipyMinimize": Source(
        author="The SciPy developers",
        year=2026,
        title="scipy.optimize.minimize, a general minimiser, on the same likelihood",
        where="https://docs.scipy.org/doc/scipy/reference/generated/scipy.optimize.minimize.html",
        checked="software",
    ),
}
