"""Whether a scion and a rootstock live together: every source heard, none averaged."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from graftwright.errors import OutOfRange
from graftwright.planting.catalogue import Catalogue, rootstock_named, variety_named
from graftwright.planting.naming import folded_name, folded_stock_name
from graftwright.planting.notes import Compatibility, CompatibilityNote
from graftwright.planting.reports import Crop, SourceKind
from graftwright.tongue import marked, say, told

_REFUSES_DIRECT_UNION = frozenset({Compatibility.NEEDS_INTERSTEM, Compatibility.INCOMPATIBLE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Interstem:
    """A piece to go between: who proposes it, and what is known of its union with the stock."""

    variety: str
    proposed_by: tuple[str, ...]
    on_rootstock: Compatibility
    sources_on_rootstock: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CompatibilityVerdict:
    """What is known of a scion on a rootstock, in this direction only.

    `published_count` and `practice_count` are the strength: how many sources of each kind were
    heard. `cautions` are notes that hold only for some trees of the crop (virus, some varieties).
    """

    scion: str
    rootstock: str
    compatibility: Compatibility
    notes: tuple[CompatibilityNote, ...]
    cautions: tuple[CompatibilityNote, ...]
    interstems: tuple[Interstem, ...]
    published_count: int
    practice_count: int
    is_of_whole_crop: bool
    sentence: str

    @property
    def sources(self) -> tuple[str, ...]:
        """The sources heard, in the order of the table."""
        return tuple(dict.fromkeys(note.source for note in self.notes))

    @property
    def needs_care(self) -> bool:
        """True unless every source heard calls the pair good."""
        return self.compatibility is not Compatibility.GOOD


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """A scion, interstem or stock: what it is called and what it belongs to."""

    name: str
    folded_names: frozenset[str]
    crop: Crop
    species: str


def verdict(scion_variety: str, rootstock: str, catalogue: Catalogue) -> CompatibilityVerdict:
    """Say what the sources say about a scion on a rootstock.

    Notes that name the variety outrank notes on the whole crop. A scion may itself be a rootstock
    (an interstem of M9), a stock may be a variety (a pear on a Beurre Hardy stem).

    Raises
    ------
    NotUnderstood, Ambiguous
        If either name is in the catalogue not at all, or more than once.
    """
    stock = _stock_piece(rootstock, catalogue)
    scion = _scion_piece(scion_variety, catalogue, likely_crops=_crops_on(stock, catalogue))
    matching = [note for note in catalogue.compatibility_notes if _speaks_of(note, scion, stock)]
    named = [note for note in matching if note.scion_varieties]
    general = [note for note in matching if note.is_general]
    heard = tuple(named or general)
    interstems = _interstems(heard, scion, stock, catalogue)
    compatibility = _combined(heard)
    return CompatibilityVerdict(
        scion=scion.name,
        rootstock=stock.name,
        compatibility=compatibility,
        notes=heard,
        cautions=tuple(note for note in matching if note.is_conditional),
        interstems=() if compatibility is Compatibility.GOOD else interstems,
        published_count=_source_count(heard, SourceKind.PUBLISHED),
        practice_count=_source_count(heard, SourceKind.COMMON_PRACTICE),
        is_of_whole_crop=bool(heard) and not named,
        sentence=_sentence(scion.name, stock.name, compatibility, heard),
    )


def chain_verdicts(
    pieces: Sequence[str], *, catalogue: Catalogue
) -> tuple[CompatibilityVerdict, ...]:
    """Say what is known of each union of a chain given from the root upwards.

    ("Quince C", "Beurre Hardy", "Williams") has two unions. Raises OutOfRange below two pieces.
    """
    if len(pieces) < 2:
        raise OutOfRange(
            told(
                "a chain of {count} pieces; expected a stock and at least one piece on "
                "it; name both",
                count=len(pieces),
            )
        )
    return tuple(verdict(upper, lower, catalogue) for lower, upper in pairwise(pieces))


def _crops_on(stock: _Piece, catalogue: Catalogue) -> frozenset[Crop]:
    sold_for = {catalogue.rootstock(key).crop for key in catalogue.stock_keys_named(stock.name)}
    return frozenset({stock.crop, *sold_for})


def _scion_piece(name: str, catalogue: Catalogue, *, likely_crops: frozenset[Crop]) -> _Piece:
    keys = catalogue.variety_keys_named(name)
    if catalogue.stock_keys_named(name) and not keys:
        return _piece_of_stock(name, catalogue)
    # "Williams" is an apple and a pear: the stock it is meant for tells which.
    likely = [key for key in keys if catalogue.variety(key).crop in likely_crops]
    return _piece_of_variety(likely[0] if len(likely) == 1 else name, catalogue)


def _stock_piece(name: str, catalogue: Catalogue) -> _Piece:
    if catalogue.variety_keys_named(name) and not catalogue.stock_keys_named(name):
        return _piece_of_variety(name, catalogue)
    return _piece_of_stock(name, catalogue)


_SPECIES_OF_CROP = {
    Crop.APPLE: marked("Malus domestica"),
    Crop.PEAR: marked("Pyrus communis"),
    Crop.PLUM: marked("Prunus domestica"),
    Crop.CHERRY: marked("Prunus avium"),
    Crop.QUINCE: marked("Cydonia oblonga"),
}
_CROP_OF_SPECIES = {species: crop for crop, species in _SPECIES_OF_CROP.items()}


def _piece_of_variety(name: str, catalogue: Catalogue) -> _Piece:
    variety = variety_named(name, catalogue=catalogue)
    names = frozenset(folded_name(given.text) for given in variety.names)
    species = _SPECIES_OF_CROP.get(variety.crop, "")
    return _Piece(
        name=variety.preferred_name, folded_names=names, crop=variety.crop, species=species
    )


def _piece_of_stock(name: str, catalogue: Catalogue) -> _Piece:
    stock = rootstock_named(name, catalogue=catalogue)
    names = frozenset(folded_stock_name(given.text) for given in stock.names)
    # As a scion, quince wood is quince whatever crop the stock is sold for.
    crop = _CROP_OF_SPECIES.get(stock.species, stock.crop)
    return _Piece(name=stock.preferred_name, folded_names=names, crop=crop, species=stock.species)


def _speaks_of(note: CompatibilityNote, scion: _Piece, stock: _Piece) -> bool:
    if scion.crop not in note.scion_crops:
        return False
    if note.scion_varieties and not any(
        folded_name(text) in scion.folded_names for text in note.scion_varieties
    ):
        return False
    by_name = any(folded_stock_name(n) in stock.folded_names for n in note.rootstock_names)
    return by_name or stock.species in note.rootstock_species


def _combined(notes: Sequence[CompatibilityNote]) -> Compatibility:
    said = {note.verdict for note in notes}
    if not said:
        return Compatibility.NOT_KNOWN
    if len(said) == 1:
        return said.pop()
    if said <= _REFUSES_DIRECT_UNION:
        return Compatibility.NEEDS_INTERSTEM
    return Compatibility.SOURCES_DISAGREE


def _source_count(notes: Sequence[CompatibilityNote], kind: SourceKind) -> int:
    return len({note.source for note in notes if note.source_kind is kind})


def _interstems(
    notes: Sequence[CompatibilityNote], scion: _Piece, stock: _Piece, catalogue: Catalogue
) -> tuple[Interstem, ...]:
    proposed: dict[str, list[str]] = {}
    for note in notes:
        for name in note.interstems:
            proposed.setdefault(name, []).append(note.source)
    found = [
        _interstem(name, tuple(dict.fromkeys(sources)), stock, catalogue)
        for name, sources in proposed.items()
        if folded_name(name) not in scion.folded_names
    ]
    return tuple(sorted(found, key=_least_doubtful_first))


def _interstem(
    name: str, sources: tuple[str, ...], stock: _Piece, catalogue: Catalogue
) -> Interstem:
    crop = Crop.CHERRY if stock.crop is Crop.PLUM else Crop.PEAR
    piece = _Piece(name=name, folded_names=frozenset({folded_name(name)}), crop=crop, species="")
    notes = [
        note
        for note in catalogue.compatibility_notes
        if note.scion_varieties and _speaks_of(note, piece, stock)
    ]
    return Interstem(
        variety=name,
        proposed_by=sources,
        on_rootstock=_combined(notes),
        sources_on_rootstock=tuple(dict.fromkeys(note.source for note in notes)),
    )


def _least_doubtful_first(interstem: Interstem) -> tuple[bool, int, str]:
    is_doubtful = interstem.on_rootstock is not Compatibility.GOOD
    return is_doubtful, -len(interstem.proposed_by), interstem.variety


def _sentence(
    scion: str, stock: str, compatibility: Compatibility, notes: Sequence[CompatibilityNote]
) -> str:
    pair = told("{scion} on {stock}", scion=scion, stock=stock)
    if compatibility is Compatibility.NOT_KNOWN:
        return told("{pair}: not known. No source in the catalogue speaks of this pair.", pair=pair)
    if compatibility is not Compatibility.SOURCES_DISAGREE:
        return f"{pair}: {compatibility} ({_counted(len({n.source for n in notes}))})."
    parts = []
    for said in dict.fromkeys(note.verdict for note in notes):
        sources = dict.fromkeys(_title(note.source) for note in notes if note.verdict is said)
        parts.append(told("{said} according to {listed}", said=said, listed="; ".join(sources)))
    return told(
        "{pair}: sources disagree. {listed}.",
        pair=pair,
        listed=". ".join(part[0].upper() + part[1:] for part in parts),
    )


def _title(source: str) -> str:
    """The source without its address, which stands in full beside the notes."""
    return source.split(", http")[0]


def _counted(source_count: int) -> str:
    return (
        say("1 source")
        if source_count == 1
        else told("{source_count} sources", source_count=source_count)
    )
