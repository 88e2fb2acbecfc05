"""What one source says about a scion on a rootstock."""

from dataclasses import dataclass

from graftwright.planting.reports import Crop, SourceKind
from graftwright.tongue import Choice


class Compatibility(Choice):
    """How a scion lives on a stock: the five words a source may use, and two of our own."""

    GOOD = "good"
    VARIABLE = "variable"
    NEEDS_INTERSTEM = "needs interstem"
    INCOMPATIBLE = "incompatible"
    SOURCES_DISAGREE = "sources disagree"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class CompatibilityNote:
    """One source's word, directed from scion to stock; the reverse is another note.

    Without `scion_varieties` the note speaks of the whole crop; `scion_scope` says how widely
    ("all", "most", "some") or under what condition. A stock is meant by name or by species.
    """

    scion_crops: tuple[Crop, ...]
    scion_varieties: tuple[str, ...]
    scion_scope: str
    rootstock_names: tuple[str, ...]
    rootstock_species: tuple[str, ...]
    verdict: Compatibility
    interstems: tuple[str, ...]
    source: str
    source_kind: SourceKind
    note: str = ""

    @property
    def is_general(self) -> bool:
        """Whether the note holds for a crop at large, without further condition."""
        return not self.scion_varieties and self.scion_scope in {"all", "most"}

    @property
    def is_conditional(self) -> bool:
        """Whether the note names no variety and holds only for some trees of the crop."""
        return not self.scion_varieties and not self.is_general
