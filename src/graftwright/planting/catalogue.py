"""The catalogue: varieties and rootstocks under all their names, joined and unjoined at will."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import lru_cache
from types import MappingProxyType

from graftwright.errors import Ambiguous, NotUnderstood
from graftwright.planting.naming import folded_name, folded_stock_name
from graftwright.planting.notes import CompatibilityNote
from graftwright.planting.reports import Crop, GivenName, RightsRecord
from graftwright.planting.rootstock import FormSpacing, Rootstock, TrialRow
from graftwright.planting.variety import Variety, joined_variety
from graftwright.tongue import say, told

_Index = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class NameJoin:
    """Someone's word that two records are one variety; taking it out again undoes it."""

    kept_key: str
    joined_key: str
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """Everything known about varieties and stocks, each figure with its source.

    A value: every change gives a new catalogue and leaves the old one as it was.
    """

    varieties: tuple[Variety, ...]
    rootstocks: tuple[Rootstock, ...]
    compatibility_notes: tuple[CompatibilityNote, ...] = ()
    forms: tuple[FormSpacing, ...] = ()
    trials: tuple[TrialRow, ...] = ()
    joins: tuple[NameJoin, ...] = ()
    _by_key: Mapping[str, Variety] = field(init=False, repr=False, compare=False)
    _by_name: _Index = field(init=False, repr=False, compare=False)
    _stock_by_name: _Index = field(init=False, repr=False, compare=False)
    _stock_by_key: Mapping[str, Rootstock] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        by_key = {variety.key: variety for variety in self.varieties}
        stock_by_key = {stock.key: stock for stock in self.rootstocks}
        _fail_on_twins(self.varieties, len(by_key))
        names = ((folded_name(n.text), v.key) for v in self.varieties for n in v.names)
        stocks = ((folded_stock_name(n.text), s.key) for s in self.rootstocks for n in s.names)
        # Indexes are made once: a frozen value may be looked up a thousand times in one plan.
        object.__setattr__(self, "_by_key", MappingProxyType(by_key))
        object.__setattr__(self, "_by_name", _index(names))
        object.__setattr__(self, "_stock_by_name", _index(stocks))
        object.__setattr__(self, "_stock_by_key", MappingProxyType(stock_by_key))

    def root_key(self, key: str) -> str:
        """Follow the joins from a record to the record it was joined to."""
        onward = {join.joined_key: join.kept_key for join in self.joins}
        while key in onward:
            key = onward[key]
        return key

    def variety(self, key: str) -> Variety:
        """Give the record kept under a key, with all that was joined to it.

        Raises NotUnderstood if there is no such key.
        """
        if key not in self._by_key:
            raise NotUnderstood(
                told(
                    "no variety is kept under “{key}”; expected a key of the catalogue; "
                    "look the name up first",
                    key=key,
                )
            )
        root = self.root_key(key)
        whole = self._by_key[root]
        for join in self.joins:
            if join.joined_key != root and self.root_key(join.joined_key) == root:
                whole = joined_variety(whole, self._by_key[join.joined_key])
        return whole

    def rootstock(self, key: str) -> Rootstock:
        """Give the rootstock kept under a key; raises NotUnderstood if there is none."""
        if key not in self._stock_by_key:
            raise NotUnderstood(
                told(
                    "no rootstock is kept under “{key}”; expected a key of the catalogue; "
                    "look the name up first",
                    key=key,
                )
            )
        return self._stock_by_key[key]

    def variety_keys_named(self, name: str) -> tuple[str, ...]:
        """Give the root keys of all records that bear exactly this name, in any spelling."""
        found = self._by_name.get(folded_name(name), ())
        return tuple(dict.fromkeys(self.root_key(key) for key in found))

    def stock_keys_named(self, name: str) -> tuple[str, ...]:
        """Give the keys of all rootstocks that bear exactly this name, in any spelling."""
        return self._stock_by_name.get(folded_stock_name(name), ())

    def folded_names(self) -> tuple[str, ...]:
        """Give every name of every variety in the form in which names are compared."""
        return tuple(self._by_name)


def variety_named(name: str, *, catalogue: Catalogue, crop: Crop | None = None) -> Variety:
    """Find the one variety that goes by a name, a synonym or a key.

    A leading word for the crop ("pear Conference") narrows the search.

    Raises
    ------
    NotUnderstood
        If nobody bears the name; the message lists near spellings.
    Ambiguous
        If several records bear it; the message lists them.
    """
    if name in catalogue._by_key:
        return catalogue.variety(name)
    found = _variety_keys(name, catalogue=catalogue, crop=crop)
    if len(found) > 1:
        raise Ambiguous(
            told(
                "“{name}” is a name of {count} records ({listed}); expected one; say "
                "which crop, or join the records if they are the same",
                name=name,
                count=len(found),
                listed=", ".join(found),
            )
        )
    if not found:
        near = _near_spellings(folded_name(name), catalogue.folded_names())
        hint = (
            told("near spellings: {listed}", listed=", ".join(near))
            if near
            else say("no near spelling is known")
        )
        raise NotUnderstood(
            told(
                "no variety is called “{name}”; expected a name in the catalogue "
                "({hint}); correct the spelling or enter it as received",
                name=name,
                hint=hint,
            )
        )
    return catalogue.variety(found[0])


@lru_cache(maxsize=64)
def _near_spellings(folded: str, known: tuple[str, ...]) -> tuple[str, ...]:
    """Return the nearest of the names known; a plan asks for one that is unknown several times."""
    return tuple(get_close_matches(folded, known, n=3, cutoff=0.7))


def _variety_keys(name: str, *, catalogue: Catalogue, crop: Crop | None) -> tuple[str, ...]:
    found = catalogue.variety_keys_named(name)
    first_word, _, rest = name.strip().partition(" ")
    if not found and rest and first_word.casefold() in set(Crop):
        return _variety_keys(rest, catalogue=catalogue, crop=Crop(first_word.casefold()))
    return tuple(k for k in found if crop is None or catalogue.variety(k).crop is crop)


def find_varieties(text: str, *, catalogue: Catalogue) -> tuple[Variety, ...]:
    """Find every variety one of whose names holds the text; whole names first, then beginnings."""
    wanted = folded_name(text)
    ranked: list[tuple[int, str, str]] = []
    for name in catalogue.folded_names():
        if wanted and wanted in name:
            rank = 0 if name == wanted else 1 if name.startswith(wanted) else 2
            ranked.extend((rank, name, key) for key in catalogue.variety_keys_named(name))
    keys = dict.fromkeys(key for _, _, key in sorted(ranked))
    return tuple(catalogue.variety(key) for key in keys)


def rootstock_named(name: str, *, catalogue: Catalogue) -> Rootstock:
    """Find the one rootstock that goes by a name ("M.9", "m 9" and "M9" are the same).

    Raises NotUnderstood if nobody bears it and Ambiguous if several do.
    """
    if name in catalogue._stock_by_key:
        return catalogue.rootstock(name)
    found = catalogue.stock_keys_named(name)
    if len(found) > 1:
        raise Ambiguous(
            told(
                "“{name}” stands for {count} rootstocks ({listed}); expected one; name "
                "the stock itself",
                name=name,
                count=len(found),
                listed=", ".join(found),
            )
        )
    if not found:
        raise NotUnderstood(
            told(
                "no rootstock is called “{name}”; expected a name in the catalogue; "
                "correct the spelling or treat the stock as unknown",
                name=name,
            )
        )
    return catalogue.rootstock(found[0])


def with_variety(catalogue: Catalogue, *, variety: Variety) -> Catalogue:
    """Give a catalogue that also holds one more variety."""
    return replace(catalogue, varieties=(*catalogue.varieties, variety))


def with_name(catalogue: Catalogue, *, key: str, name: GivenName) -> Catalogue:
    """Give a catalogue in which the variety also goes by one more name."""
    catalogue.variety(key)
    changed = (
        replace(v, names=(*v.names, name)) if v.key == key else v for v in catalogue.varieties
    )
    return replace(catalogue, varieties=tuple(changed))


def with_rights(catalogue: Catalogue, *, key: str, record: RightsRecord) -> Catalogue:
    """Give a catalogue in which one more look-up of rights stands with the variety."""
    catalogue.variety(key)
    changed = (
        replace(v, rights=(*v.rights, record)) if v.key == key else v for v in catalogue.varieties
    )
    return replace(catalogue, varieties=tuple(changed))


def with_stock_rights(catalogue: Catalogue, *, key: str, record: RightsRecord) -> Catalogue:
    """Give a catalogue in which one more look-up of rights stands with the rootstock."""
    catalogue.rootstock(key)
    changed = (
        replace(s, rights=(*s.rights, record)) if s.key == key else s for s in catalogue.rootstocks
    )
    return replace(catalogue, rootstocks=tuple(changed))


def join_varieties(
    catalogue: Catalogue, *, kept_key: str, joined_key: str, because: str
) -> Catalogue:
    """Say that two records are one variety; both stay as they were, so it can be undone.

    Raises Ambiguous if they are one already and NotUnderstood if they are different crops.
    """
    kept, other = catalogue.variety(kept_key), catalogue.variety(joined_key)
    if kept.key == other.key:
        raise Ambiguous(
            told(
                "“{joined_key}” and “{kept_key}” are one record already; expected two "
                "records; nothing needs joining",
                joined_key=joined_key,
                kept_key=kept_key,
            )
        )
    if kept.crop is not other.crop:
        raise NotUnderstood(
            told(
                "“{preferred_name}” is {crop} and “{preferred_name_2}” is {crop_2}; "
                "expected two names of one crop; check which is meant",
                preferred_name=kept.preferred_name,
                crop=kept.crop,
                preferred_name_2=other.preferred_name,
                crop_2=other.crop,
            )
        )
    join = NameJoin(kept_key=kept.key, joined_key=other.key, because=because)
    return replace(catalogue, joins=(*catalogue.joins, join))


def unjoin_varieties(catalogue: Catalogue, *, joined_key: str) -> Catalogue:
    """Take a joining back; raises NotUnderstood if the record was not joined to any other."""
    left = tuple(join for join in catalogue.joins if join.joined_key != joined_key)
    if len(left) == len(catalogue.joins):
        raise NotUnderstood(
            told(
                "“{joined_key}” was not joined to another record; expected a joined "
                "one; nothing needs undoing",
                joined_key=joined_key,
            )
        )
    return replace(catalogue, joins=left)


def _index(pairs: Iterable[tuple[str, str]]) -> _Index:
    grown: dict[str, dict[str, None]] = {}
    for name, key in pairs:
        grown.setdefault(name, {})[key] = None
    return MappingProxyType({name: tuple(keys) for name, keys in grown.items()})


def _fail_on_twins(varieties: tuple[Variety, ...], distinct_count: int) -> None:
    if len(varieties) != distinct_count:
        raise Ambiguous(
            told(
                "{count} varieties share {distinct_count} keys; expected one key each; "
                "join the records instead of entering one twice",
                count=len(varieties),
                distinct_count=distinct_count,
            )
        )
