"""Sources for losses and sizing."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {
    "Crowder1978": Source(
        author="Crowder M. J.",
        year=1978,
        title="Beta-binomial anova for proportions (germination of 21 plates of seeds)",
        where="Applied Statistics 27, 34-37, table 3; published posteriors of the same data",
        checked="second-hand",
    ),
    "EfronMorris1975": Source(
        author="Efron B., Morris C.",
        year=1975,
        title="Data analysis using Stein's estimator and its generalizations",
        where="Journal of the American Statistical Association 70, 311-319, table 1",
        checked="second-hand",
    ),
    "ExactSums": Source(
        author="The Graftwright authors",
        year=None,
        title="Vectors for sizing and intervals: exact sums in arbitrary precision (mpmath)",
        where="tests/published/losses, 25 to 30 digits, with Monte Carlo beside them",
        checked="software",
    ),
    "Gelman2006": Source(
        author="Gelman A.",
        year=2006,
        title="Prior distributions for variance parameters in hierarchical models",
        where="Bayesian Analysis 1(3), 515-533",
        checked="read",
    ),
    "GelmanBDA3": Source(
        author="Gelman A. and others",
        year=2013,
        title="Bayesian Data Analysis, third edition (71 groups of rats, after Tarone 1982)",
        where="table 5.1 and section 5.3; data as carried by the book's public demonstrations",
        checked="second-hand",
    ),
    "JointVectors": Source(
        author="The Graftwright authors",
        year=None,
        title="Four joint plans solved by general integer programming (HiGHS, CP-SAT)",
        where="tests/published/losses/joint_expected.csv",
        checked="software",
    ),
    "MantelHaenszel1959": Source(
        author="Mantel N., Haenszel W.",
        year=1959,
        title="Statistical aspects of the analysis of data from retrospective studies of disease",
        where="Journal of the National Cancer Institute 22, 719-748",
        checked="memory",
    ),
    "Mundlak1978": Source(
        author="Mundlak Y.",
        year=1978,
        title="On the pooling of time series and cross section data",
        where="Econometrica 46, 69-85",
        checked="memory",
    ),
    "PublicTallies": Source(
        author="Grafters who published their counts",
        year=None,
        title="Five public tallies of apple bench grafts: 21 of 35, 18 of 25, 89 of 121, 35 of 45, "
        "87 of 100",
        where="beanehillfarm.com 2016; nmfruitgrowers.wordpress.com 2011; growingfruit.org threads "
        "23252, 63580 and 29451",
        checked="read",
    ),
    "RPowerOfTwoShares": Source(
        author="R Core Team",
        year=None,
        title="Power calculations for a two-sample test for proportions, with worked examples",
        where="R, package stats, manual page of power.prop.test, examples",
        checked="read",
    ),
    "SimulatedSeasons": Source(
        author="The Graftwright authors",
        year=None,
        title="Forty simulated data sets of five stages with their true rates",
        where="tests/published/losses/sim_dev_counts.csv, sim_dev_truth.csv",
        checked="data",
    ),
}
