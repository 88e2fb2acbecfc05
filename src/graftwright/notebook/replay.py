"""Entries replayed: from everything that was written to everything as it stands.

A thing's state depends on the entries about that thing alone, so that a late entry from a phone
costs a replay of its own things and not of the notebook; `replay` does the same for all of them.
"""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence

from graftwright.notebook.amended import effective
from graftwright.notebook.clash import Clash
from graftwright.notebook.clashes import clashes_at, doubted_things
from graftwright.notebook.entries import (
    BENCH_DAYS_KEY,
    FORECASTS_KEY,
    NAMES_KEY,
    NURSERY_KEY,
    RESULTS_KEY,
    TEMPERATURES_KEY,
    ClashSettled,
    CodesHandedOut,
    EntryCorrected,
    EntryWithdrawn,
    MotherTreeEntered,
    NotUnderstoodEntry,
    PlaceEntered,
    PlaceLimitsSet,
    PlaceWatered,
    PromiseMade,
    RunGrafted,
    SpotDescribed,
    StocksArrived,
    StocksAsked,
    StocksOffered,
    TreeMoved,
    TreeSeen,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook, Thing
from graftwright.notebook.settled import as_settled
from graftwright.notebook.standing import (
    BenchDays,
    EarlierResults,
    ForecastBook,
    NamesAndRights,
    Nursery,
)
from graftwright.notebook.standing.bundle import fold_bundle, fold_mother_tree
from graftwright.notebook.standing.forecasts import fold_forecasts
from graftwright.notebook.standing.place import (
    fold_bench_days,
    fold_hours,
    fold_nursery,
    fold_place,
    fold_results,
    fold_temperatures,
)
from graftwright.notebook.standing.promise import fold_promise
from graftwright.notebook.standing.spot import fold_names, fold_spot
from graftwright.notebook.standing.stock_lot import fold_stock_lot
from graftwright.notebook.standing.tree_story import fold_tree
from graftwright.tongue import ENGLISH, speaking

_Fold = Callable[[str, Sequence[Written]], Thing | None]
# how each kind of thing is folded, and by which entries one comes to be
_CODED: dict[str, _Fold] = {
    "tree": fold_tree,
    "bundle": fold_bundle,
    "lot": fold_stock_lot,
    "place": fold_place,
    "mother tree": fold_mother_tree,
    "promise": fold_promise,
    "spot": fold_spot,
}
_MADE_BY: dict[type[Entry], str] = {
    RunGrafted: "tree",
    WoodCut: "bundle",
    StocksOffered: "lot",
    StocksArrived: "lot",
    StocksAsked: "lot",
    PlaceEntered: "place",
    MotherTreeEntered: "mother tree",
    PromiseMade: "promise",
    SpotDescribed: "spot",
}

_ALONE: dict[str, tuple[str, Callable[[Sequence[Written]], Thing], Thing]] = {
    NURSERY_KEY: ("nursery", fold_nursery, Nursery()),
    RESULTS_KEY: ("results", fold_results, EarlierResults()),
    BENCH_DAYS_KEY: ("bench days", fold_bench_days, BenchDays()),
    FORECASTS_KEY: ("forecasts", fold_forecasts, ForecastBook()),
    NAMES_KEY: ("names and rights", fold_names, NamesAndRights()),  # not said
}

_CHANGES_A_PLACE = (
    ClashSettled,
    EntryCorrected,
    EntryWithdrawn,
    NotUnderstoodEntry,
    PlaceEntered,
    PlaceLimitsSet,
    PlaceWatered,
)


def things_at(key: str, counted: Sequence[Written]) -> dict[str, Thing]:
    """Return what stands at a key, by kind of thing, from the counting entries about it.

    Two copies that gave one code to two kinds of thing leave both standing; nothing is dropped.
    What contradicts itself and is not settled stands among the doubts.
    """
    story = as_settled(key, counted)
    # what stands is kept, so it is in English whoever writes; `retold` says it to a reader
    with speaking(None, language=ENGLISH):
        things = _folded(key, story)
        clashes = clashes_at(key, story, things)
        return doubted_things(things, clashes) if clashes else things


def clashes_in(key: str, counted: Sequence[Written]) -> list[Clash]:
    """Return the clashes at a key that are not settled, from the counting entries about it.

    Their words are English, as the doubts they stand among are; `doubt_words` says them.
    """
    story = as_settled(key, counted)
    with speaking(None, language=ENGLISH):
        return clashes_at(key, story, _folded(key, story))


def _folded(key: str, counted: Sequence[Written]) -> dict[str, Thing]:
    if key in _ALONE:
        kind, fold, nothing = _ALONE[key]
        thing = fold(counted)
        return {kind: thing} if thing != nothing else {}
    if key.startswith(TEMPERATURES_KEY):
        place_code = key.removeprefix(TEMPERATURES_KEY)
        series = fold_temperatures(place_code, counted)
        hours = fold_hours(place_code, counted)
        known: dict[str, Thing | None] = {"temperatures": series, "hours": hours}
        return {kind: thing for kind, thing in known.items() if thing is not None}
    kinds = {_MADE_BY.get(type(one.entry)) for one in counted}
    found = {kind: fold_at(key, counted) for kind, fold_at in _CODED.items() if kind in kinds}
    return {kind: thing for kind, thing in found.items() if thing is not None}


def leaves_alone(entry: Entry, key: str, *, standing: Collection[str]) -> bool:
    """Return whether an entry changes nothing at a key where things of these kinds stand.

    Trees come to a place and are seen there by the thousand; the place itself stays as it is, and
    its story need not be read.
    """
    if set(standing) != {"place"} or isinstance(entry, _CHANGES_A_PLACE):
        return False
    made = (getattr(entry, "code", ""), *getattr(entry, "tree_codes", ()))
    return isinstance(entry, TreeMoved | TreeSeen) or key not in made


def entries_by_key(counted: Iterable[Written]) -> dict[str, list[Written]]:
    """Return the counting entries of each key they concern, in the order given."""
    by_key: dict[str, list[Written]] = {}
    for one in counted:
        for key in one.entry.concerns():
            by_key.setdefault(key, []).append(one)
    return by_key


def things_of(written: Iterable[Written]) -> Iterator[tuple[str, str, Thing]]:
    """Yield key, kind and thing of all that stands after these entries, whatever their order.

    Each story is let go once it is folded, so that a long record needs no room beside itself.
    """
    stories = entries_by_key(effective(written))
    for key in list(stories):
        for kind, thing in things_at(key, stories.pop(key)).items():
            yield key, kind, thing


def replay(written: Iterable[Written]) -> Notebook:
    """Return the notebook that these entries make, whatever order they come in."""
    counted = effective(written)
    found: dict[str, dict[str, Thing]] = {}
    for key, about in entries_by_key(counted).items():
        for kind, thing in things_at(key, about).items():
            found.setdefault(kind, {})[key] = thing
    return assembled(
        found,
        code_blocks=[one.entry for one in counted if isinstance(one.entry, CodesHandedOut)],
        not_understood=[one.entry for one in counted if isinstance(one.entry, NotUnderstoodEntry)],
    )


def assembled(
    found: dict[str, dict[str, Thing]],
    *,
    code_blocks: Iterable[CodesHandedOut] = (),
    not_understood: Iterable[NotUnderstoodEntry] = (),
) -> Notebook:
    """Return a Notebook from things by kind and key."""
    temperatures, hours = (
        {key.removeprefix(TEMPERATURES_KEY): thing for key, thing in found.get(kind, {}).items()}
        for kind in ("temperatures", "hours")
    )
    whole: dict[str, object] = {
        "trees": found.get("tree", {}),
        "bundles": found.get("bundle", {}),
        "lots": found.get("lot", {}),
        "places": found.get("place", {}),
        "mother_trees": found.get("mother tree", {}),
        "promises": found.get("promise", {}),
        "spots": found.get("spot", {}),
        "temperatures": temperatures,
        "hours": hours,
        "code_blocks": tuple(code_blocks),
        "not_understood": tuple(not_understood),
    }
    for key, (kind, _, _) in _ALONE.items():
        if thing := found.get(kind, {}).get(key):
            whole[kind.replace(" ", "_")] = thing
    return Notebook(**whole)  # type: ignore[arg-type]
