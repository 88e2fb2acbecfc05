"""Sources for temperatures, chill, heat and callus."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {
    "Allen1976": Source(
        author="Allen J. C.",
        year=1976,
        title="A modified sine wave method for calculating degree days",
        where="Environmental Entomology 5(3), 388-396",
        checked="second-hand",
    ),
    "Almorox2005": Source(
        author="Almorox J., Hontoria C., Benito M.",
        year=2005,
        title="Statistical validation of daylength definitions for estimation of global solar "
        "radiation in Toledo, Spain",
        where="Energy Conversion and Management 46(9-10), 1465-1471",
        checked="second-hand",
    ),
    "Anderson1986": Source(
        author="Anderson J. L., Richardson E. A., Kesner C. D.",
        year=1986,
        title="Validation of chill unit and flower bud phenology models for 'Montmorency' sour "
        "cherry",
        where="Acta Horticulturae 184, 71-78",
        checked="second-hand",
    ),
    "BaskervilleEmin1969": Source(
        author="Baskerville G. L., Emin P.",
        year=1969,
        title="Rapid estimation of heat accumulation from maximum and minimum temperatures",
        where="Ecology 50(3), 514-517",
        checked="second-hand",
    ),
    "Bennett1949": Source(
        author="Bennett J. P.",
        year=1949,
        title="Temperature and bud rest period",
        where="California Agriculture 3(11), 9 and 12",
        checked="second-hand",
    ),
    "chillR077": Source(
        author="Luedeling E. and others",
        year=2024,
        title="Published routines for chill, heat, daylength, hourly curves and PhenoFlex, "
        "version 0.77, run to make reference figures",
        where="CRAN package of that version (GPL-3; none of its code is here)",
        checked="software",
    ),
    "ClockVectors": Source(
        author="The Graftwright authors",
        year=2026,
        title="Bench-graft clock, continuous hourly curve and degree-days computed from their "
        "equations by separate programs (quadrature to 25 digits)",
        where="tests/published/climate",
        checked="software",
    ),
    "Drepper2020": Source(
        author="Drepper B., Gobin A., Remy S., Van Orshoven J.",
        year=2020,
        title="Comparing apple and pear phenology and model performance: what seven decades of "
        "observations reveal",
        where="Agronomy 10(1), 73",
        checked="read",
    ),
    "Erez1990": Source(
        author="Erez A., Fishman S., Linsley-Noakes G. C., Allan P.",
        year=1990,
        title="The dynamic model for rest completion in peach buds",
        where="Acta Horticulturae 276, 165-174",
        checked="second-hand",
    ),
    "Fishman1987": Source(
        author="Fishman S., Erez A., Couvillon G. A.",
        year=1987,
        title="The temperature dependence of dormancy breaking in plants",
        where="Journal of Theoretical Biology 124(4), 473-483, and 126(3), 309-321",
        checked="second-hand",
    ),
    "GhcnWinchester": Source(
        author="NOAA, Global Historical Climatology Network",
        year=2006,
        title="Daily lowest and highest temperature, Winchester, Virginia, 1982-2006",
        where="GHCN-Daily (United States government data)",
        checked="data",
    ),
    "KleinAltendorf2026": Source(
        author="Caspersen L.; University of Bonn, Klein-Altendorf",
        year=2026,
        title="Flowering dates of fruit trees and daily temperatures at Klein-Altendorf",
        where="Public repository phenoflex_meets_bayes, MIT licence",
        checked="data",
    ),
    "Linvill1990": Source(
        author="Linvill D. E.",
        year=1990,
        title="Calculating chilling hours and chill units from daily maximum and minimum "
        "temperature observations",
        where="HortScience 25(1), 14-16",
        checked="second-hand",
    ),
    "LinsleyNoakes1994": Source(
        author="Linsley-Noakes G. C., Allan P., Matthee G.",
        year=1994,
        title="Modification of rest completion prediction models",
        where="Journal of the Southern African Society for Horticultural Sciences 4, 13-15",
        checked="memory",
    ),
    "Luedeling2021": Source(
        author="Luedeling E., Schiffers K., Fohrmann T., Urbach C.",
        year=2021,
        title="PhenoFlex - an integrated model to predict spring phenology in temperate fruit "
        "trees",
        where="Agricultural and Forest Meteorology 307, 108491",
        checked="second-hand",
    ),
    "Meeus1998": Source(
        author="Meeus J.",
        year=1998,
        title="Astronomical Algorithms, second edition, chapter 25",
        where="Willmann-Bell",
        checked="memory",
    ),
    "MetEireann": Source(
        author="Met Eireann",
        year=2017,
        title="Hourly temperature at Oak Park, Moore Park, Athenry and Malin Head, 2017",
        where="www.met.ie, CC BY 4.0",
        checked="data",
    ),
    "MidAtlanticBloom": Source(
        author="Marini R. and others; Penn State University",
        year=2023,
        title="Full bloom of apple 'Golden Delicious' at Winchester, Virginia",
        where="Public repository shmuir.github.io, apple bloom project (dates only)",
        checked="data",
    ),
    "NrelTmy3": Source(
        author="National Renewable Energy Laboratory",
        year=2008,
        title="Typical meteorological year 3, station 723170, Greensboro",
        where="United States government data",
        checked="data",
    ),
    "PerenniaGreenTip2022": Source(
        author="Perennia",
        year=2022,
        title="Green tip of early apples in Nova Scotia: 81.9 °C·d above 5 °C from 1 January",
        where="Nova Scotia tree fruit blog, April 2022",
        checked="second-hand",
    ),
    "RedaAndreas2004": Source(
        author="Reda I., Andreas A.",
        year=2004,
        title="Solar position algorithm for solar radiation applications",
        where="Solar Energy 76(5), 577-589 (figures by pvlib 0.16.1)",
        checked="software",
    ),
    "Richardson1974": Source(
        author="Richardson E. A., Seeley S. D., Walker D. R.",
        year=1974,
        title="A model for estimating the completion of rest for 'Redhaven' and 'Elberta' peach "
        "trees",
        where="HortScience 9(4), 331-332",
        checked="second-hand",
    ),
    "Shippy1930": Source(
        author="Shippy W. B.",
        year=1930,
        title="Influence of environment on the callusing of apple cuttings and grafts",
        where="American Journal of Botany 17, 290-327, as reported by Hartmann and Kester",
        checked="memory",
    ),
    "Spencer1971": Source(
        author="Spencer J. W.",
        year=1971,
        title="Fourier series representation of the position of the sun",
        where="Search 2(5), 172",
        checked="second-hand",
    ),
    "UMassGreenTip2019": Source(
        author="UMass Extension",
        year=2019,
        title="Green tip of 'McIntosh': about 120 °F·d above 43 °F from 1 March",
        where="Fruit Advisor, 1 April 2019",
        checked="second-hand",
    ),
    "WsuFrost": Source(
        author="Washington State University Extension",
        year=2011,
        title="Critical temperatures for fruit buds, EB0419 and EB0913",
        where="As given by Penn State Extension and Utah State University IPM-012-11",
        checked="second-hand",
    ),
    "Weinberger1950": Source(
        author="Weinberger J. H.",
        year=1950,
        title="Chilling requirements of peach varieties",
        where="Proceedings of the American Society for Horticultural Science 56, 122-128",
        checked="second-hand",
    ),
    "Zalom1983": Source(
        author="Zalom F. G., Goodell P. B., Wilson L. T., Barnett W. W., Bentley W. J.",
        year=1983,
        title="Degree-days: the calculation and use of heat units in pest management",
        where="University of California Leaflet 21373",
        checked="second-hand",
    ),
}
