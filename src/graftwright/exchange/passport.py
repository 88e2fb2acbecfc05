"""Mother trees as a germplasm passport file: the multi-crop passport descriptors, version 2.1."""

import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass
from io import StringIO

from graftwright.errors import GraftwrightError, OutOfRange
from graftwright.exchange.guarded import guarded
from graftwright.notebook.standing import MotherTree
from graftwright.planting import Catalogue, Crop, variety_named
from graftwright.tongue import told

MCPD_FIELDS = (
    "PUID",
    "INSTCODE",
    "ACCENUMB",
    "COLLNUMB",
    "COLLCODE",
    "COLLNAME",
    "COLLINSTADDRESS",
    "COLLMISSID",
    "GENUS",
    "SPECIES",
    "SPAUTHOR",
    "SUBTAXA",
    "SUBTAUTHOR",
    "CROPNAME",
    "ACCENAME",
    "ACQDATE",
    "ORIGCTY",
    "COLLSITE",
    "DECLATITUDE",
    "LATITUDE",
    "DECLONGITUDE",
    "LONGITUDE",
    "COORDUNCERT",
    "COORDDATUM",
    "GEOREFMETH",
    "ELEVATION",
    "COLLDATE",
    "BREDCODE",
    "BREDNAME",
    "SAMPSTAT",
    "ANCEST",
    "COLLSRC",
    "DONORCODE",
    "DONORNAME",
    "DONORNUMB",
    "OTHERNUMB",
    "DUPLSITE",
    "DUPLINSTNAME",
    "STORAGE",
    "MLSSTAT",
    "REMARKS",
)
"""The descriptors in their published order."""

_INSTITUTE = re.compile(r"[A-Z]{3}\d{3,4}")
_COUNTRY = re.compile(r"[A-Z]{3}")
_CULTIVATED = "20"  # COLLSRC: farm or cultivated habitat
# Names and authorities from memory; genus alone where the cultivated species differ.
_TAXA = {
    Crop.APPLE: ("Malus", "domestica", "Borkh."),
    Crop.PEAR: ("Pyrus", "communis", "L."),
    Crop.PLUM: ("Prunus", "domestica", "L."),
    Crop.CHERRY: ("Prunus", "avium", "(L.) L."),
    Crop.APRICOT: ("Prunus", "armeniaca", "L."),
    Crop.PEACH: ("Prunus", "persica", "(L.) Batsch"),
    Crop.QUINCE: ("Cydonia", "oblonga", "Mill."),
    Crop.MEDLAR: ("Mespilus", "germanica", "L."),
    Crop.LOQUAT: ("Eriobotrya", "japonica", "(Thunb.) Lindl."),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """Who holds the trees: the FAO institute code, if there is one, and the country of origin.

    `with_owners` puts owners' names in the file; without it they stay out. Raises OutOfRange for
    a code or country that is none.
    """

    institute_code: str = ""
    country: str = ""
    with_owners: bool = False

    def __post_init__(self) -> None:
        if self.institute_code and not _INSTITUTE.fullmatch(self.institute_code):
            raise OutOfRange(
                told(
                    "institute code {institute_code!r}; expected three letters of the "
                    "country and a number, such as GBR001, or nothing",
                    institute_code=self.institute_code,
                )
            )
        if self.country and not _COUNTRY.fullmatch(self.country):
            raise OutOfRange(
                told(
                    "country {country!r}; expected the three letters of ISO 3166, such as GBR",
                    country=self.country,
                )
            )


def passport_rows(
    trees: Iterable[MotherTree], *, catalogue: Catalogue, holder: Holder | None = None
) -> list[dict[str, str]]:
    """Return one row for each mother tree, every descriptor in it, empty where not known.

    What the standard has no descriptor for (how sure the name is, what was received) stands in
    REMARKS, led by the descriptor it is about.

    Source
    ------
    MCPD2015.
    """
    held = holder or Holder()
    return [_row(tree, catalogue, held) for tree in trees]


def passport_csv(
    trees: Iterable[MotherTree], *, catalogue: Catalogue, holder: Holder | None = None
) -> bytes:
    """Return the passport file as CSV in UTF-8, without a mark at its beginning."""
    sink = StringIO()
    writer = csv.DictWriter(sink, MCPD_FIELDS)
    writer.writeheader()
    for row in passport_rows(trees, catalogue=catalogue, holder=holder):
        # coordinates and codes are machine-made; only words may look like a formula
        writer.writerow({name: _safe(name, value) for name, value in row.items()})
    return sink.getvalue().encode("utf-8", errors="replace")


def _safe(name: str, value: str) -> str:
    return value if name in ("DECLATITUDE", "DECLONGITUDE") else guarded(value)


def _row(tree: MotherTree, catalogue: Catalogue, holder: Holder) -> dict[str, str]:
    crop = _crop(tree.variety, catalogue)
    genus, species, author = _TAXA[crop] if crop else ("", "", "")
    known = {
        "INSTCODE": holder.institute_code,
        "ACCENUMB": tree.code,
        "GENUS": genus,
        "SPECIES": species,
        "SPAUTHOR": author,
        "CROPNAME": crop.value if crop else "",
        "ACCENAME": _names(tree, crop),
        "ORIGCTY": holder.country,
        "COLLSITE": _words(tree.site),
        "COLLSRC": _CULTIVATED,
        "DONORNAME": _words(tree.owner) if holder.with_owners else "",
        "REMARKS": _remarks(tree),
    }
    if tree.latitude_deg is not None and tree.longitude_deg is not None:
        known["DECLATITUDE"] = f"{tree.latitude_deg:.5f}"
        known["DECLONGITUDE"] = f"{tree.longitude_deg:.5f}"
        known["COORDDATUM"] = "WGS84"
    return {name: known.get(name, "") for name in MCPD_FIELDS}


def _crop(name: str, catalogue: Catalogue) -> Crop | None:
    first = name.split(" ", 1)[0].casefold()
    if first in set(Crop):
        return Crop(first)
    try:
        return variety_named(name, catalogue=catalogue).crop
    except GraftwrightError:
        return None


def _names(tree: MotherTree, crop: Crop | None) -> str:
    """Every name it has borne, the one that counts first, each with a capital, none twice."""
    names: dict[str, None] = {}
    for name in reversed(tree.names):
        words = _words(name)
        if crop and words.casefold().startswith(f"{crop.value} "):
            words = words[len(crop) + 1 :]
        names[words[:1].upper() + words[1:]] = None
    return ";".join(name for name in names if name)


def _remarks(tree: MotherTree) -> str:
    remarks = [f"ACCENAME:{_words(tree.certainty.value)}"]
    if tree.evidence:
        remarks.append(f"ACCENAME:{_words(tree.evidence)}")
    if tree.as_received:
        remarks.append(f"ACCENAME:received as {_words(tree.as_received)}")  # not said
    return ";".join(remarks)


def _words(text: str) -> str:
    """Semicolons part values in this standard, so words go without them; white space is single."""
    return " ".join(text.replace(";", ",").split())
