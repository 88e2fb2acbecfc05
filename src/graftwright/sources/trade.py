"""Sources for codes, labels, calendars and the trade's own practice."""

from typing import Final

from graftwright.sources.source import Source

SOURCES: Final[dict[str, Source]] = {
    "Allen1998": Source(
        author="Allen R. G., Pereira L. S., Raes D., Smith M.",
        year=1998,
        title="Crop evapotranspiration: guidelines for computing crop water requirements",
        where="FAO Irrigation and Drainage Paper 56, equations 21 and 52, examples 8 and 20",
        checked="second-hand",
    ),
    "BrownCaiDasGupta2001": Source(
        author="Brown L. D., Cai T. T., DasGupta A.",
        year=2001,
        title="Interval estimation for a binomial proportion",
        where="Statistical Science 16(2), 101-133",
        checked="second-hand",
    ),
    "ISO7064": Source(
        author="ISO/IEC",
        year=2003,
        title="ISO/IEC 7064: check character systems (the arithmetic of a pure system only)",
        where="ISO/IEC 7064:2003, as carried out by public implementations (079X in MOD 11-2)",
        checked="second-hand",
    ),
    "SciPy": Source(
        author="SciPy developers",
        year=2026,
        title="SciPy: distributions used as a reference in tests",
        where="scipy 1.17",
        checked="software",
    ),
    "WilliamsOnQuince": Source(
        author="Jackson J. E. (after Garner)",
        year=2003,
        title="Biology of Apples and Pears: pears that need an interstem on quince",
        where="compatibility.csv, row of Williams on Quince",
        checked="second-hand",
    ),
    "GPX11": Source(
        author="TopoGrafix",
        year=2004,
        title="GPX 1.1 schema documentation: waypoints with latitude and longitude in WGS 84",
        where="https://www.topografix.com/GPX/1/1/",
        checked="second-hand",
    ),
    "MCPD2015": Source(
        author="Alercia A., Diulgheroff S., Mackay M.",
        year=2015,
        title="FAO/Bioversity multi-crop passport descriptors V.2.1",
        where="the list of descriptors and its formatting rules, as repeated by descriptor lists "
        "of genebanks' networks (2017) and by public implementations",
        checked="second-hand",
    ),
    "RFC6350": Source(
        author="Perreault S.",
        year=2011,
        title="vCard format specification",
        where="RFC 6350, sections 3.1 to 3.4 and 6",
        checked="second-hand",
    ),
    "RFC5545": Source(
        author="Desruisseaux B. (ed.)",
        year=2009,
        title="Internet Calendaring and Scheduling Core Object Specification (iCalendar)",
        where="RFC 5545",
        checked="read",
    ),
    "Verhoeff1969": Source(
        author="Verhoeff J.",
        year=1969,
        title="Error detecting decimal codes",
        where="Mathematical Centre Tract 29, as quoted by N. Wagner 2002",
        checked="second-hand",
    ),
}
