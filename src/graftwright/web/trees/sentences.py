"""Entries as sentences: what was written down, in the words of the page."""

from collections.abc import Callable

from graftwright.notebook import entries as e
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.written import kind_of
from graftwright.web.templatetags.trade import day as day_words
from graftwright.web.templatetags.trade import day_of_year
from graftwright.web.trees.naming import place_name, trees_words
from graftwright.web.trees.sentences_later import evidence_and_jobs, later_life
from graftwright.web.trees.sentences_planting import spots_and_names


def sentence_of(entry: Entry, notebook: Notebook) -> str:
    """Return an entry as one sentence with a full stop.

    A kind without its own words is shown by its stored name, so that nothing is ever hidden.
    """
    for telling in _TELLINGS:
        if words := telling(entry, notebook):
            return f"{words[0].upper()}{words[1:].rstrip('.')}."
    return f"{kind_of(entry)}: not understood by this copy."


def _care(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.BudsMoved():
            return f"buds moved on {trees_words(entry.tree_codes)}"
        case e.BindingLoosened():
            return f"binding loosened on {trees_words(entry.tree_codes)}"
        case e.BindingOff():
            return f"binding taken off {trees_words(entry.tree_codes)}"
        case e.StockShootsOff():
            return f"stock shoots rubbed off {trees_words(entry.tree_codes)}"
        case e.ShootsThinned():
            return f"{trees_words(entry.tree_codes)} thinned to {_shoots(entry.to_count)}"
        case e.Caned():
            return f"{trees_words(entry.tree_codes)} caned and tied"
        case e.PottedOn():
            return f"{trees_words(entry.tree_codes)} potted on into {entry.pot_litres:g} litres"
        case e.TreeMoved():
            where = f", {entry.position}" if entry.position else ""
            place = place_name(entry.place_code, notebook)
            return f"{trees_words(entry.tree_codes)} moved to {place}{where}"
        case e.TreeSeen():
            place = f" at {place_name(entry.place_code, notebook)}" if entry.place_code else ""
            return f"{trees_words(entry.tree_codes)} seen{place}"
        case _:
            return ""


def _shoots(count: int) -> str:
    return "one shoot" if count == 1 else f"{count} shoots"


def _judged(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.TakeJudged():
            judged = f"scion {entry.scion}, stock {entry.stock}"
            return f"{trees_words(entry.tree_codes)} judged: {judged}{_more(entry.words)}"
        case e.GrowthMeasured():
            return f"{entry.growth_mm:g} mm of new growth on {trees_words(entry.tree_codes)}"
        case e.Graded():
            height = f", {entry.height_m:g} m high" if entry.height_m is not None else ""
            fit = "fit to hand over" if entry.ready else "not yet fit to hand over"
            return f"{trees_words(entry.tree_codes)} graded {fit}{height}"
        case e.DamageNoted():
            words = _more(entry.words)
            return f"damage on {trees_words(entry.tree_codes)}: {entry.cause}{words}"
        case e.ScionDied():
            words = _more(entry.words)
            return f"scion died on {trees_words(entry.tree_codes)}: {entry.cause}{words}"
        case e.StockDied():
            words = _more(entry.words)
            return f"stock died under {trees_words(entry.tree_codes)}: {entry.cause}{words}"
        case e.UnionBroke():
            return f"union broke on {trees_words(entry.tree_codes)}: {entry.cause}"
        case _:
            return ""


def _given(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.TreeAllocated():
            if not entry.promise_code:
                return f"{trees_words(entry.tree_codes)} freed again"
            who = _who(entry.promise_code, notebook)
            return f"{trees_words(entry.tree_codes)} set aside for {who}"
        case e.TreeHandedOver():
            who = entry.to_whom or _who(entry.promise_code, notebook)
            return f"{trees_words(entry.tree_codes)} handed over to {who}"
        case e.Planted():
            where = f" at {entry.where}" if entry.where else " out"
            height = entry.union_height_mm
            union = f", union {height:g} mm above the soil" if height is not None else ""
            return f"{trees_words(entry.tree_codes)} planted{where}{union}"
        case e.PromiseMade():
            wanted = f"{entry.wanted_count} {entry.variety} on {entry.stock}"
            return f"promised to {entry.who}: {wanted}"
        case e.PromiseChanged():
            return f"promise {entry.code} changed"
        case e.PromiseWithdrawn():
            return f"promise {entry.code} withdrawn{_more(entry.reason)}"
        case _:
            return ""


def _who(promise_code: str, notebook: Notebook) -> str:
    promise = notebook.promises.get(promise_code)
    return promise.who if promise else promise_code or "somebody"


def _bench(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.RunGrafted():
            return _run(entry, notebook)
        case e.LabelsCounted():
            counts = f"{entry.used_count} used, {entry.left_over_count} left over"
            return f"labels of bundle {entry.bundle_code} counted: {counts}"
        case e.BenchDayPlanned():
            on = day_words(entry.bench_on)
            return f"{on} kept free for the bench, {entry.free_h:g} hours"
        case e.BenchDayClosed():
            return f"bench day of {day_words(entry.bench_on)} closed{_more(entry.words)}"
        case e.PlaceEntered():
            room = f", room for {entry.capacity_count}" if entry.capacity_count else ""
            return f"place {entry.name} written down: {entry.place_kind}{room}"
        case e.TemperaturesAdded() | e.HourlyTemperaturesAdded():
            return (
                f"temperatures added from {day_of_year(entry.first_on)} on"
                if isinstance(entry, e.TemperaturesAdded)
                else "hourly temperatures added"
            )
        case _:
            return ""


def _run(run: e.RunGrafted, notebook: Notebook) -> str:
    lot = notebook.lots.get(run.lot_code)
    on = f"{lot.stock if lot else 'stock'}, lot {run.lot_code}"
    variety = notebook.variety_of_bundle(run.bundle_code)
    by = f" by {run.grafter}" if run.grafter else ""
    spoilt = f"; {run.spoilt_count} spoilt" if run.spoilt_count else ""
    count = "1 graft" if len(run.tree_codes) == 1 else f"{len(run.tree_codes)} grafts"
    return (
        f"{count} of {variety}, bundle {run.bundle_code}, on {on}{by}: {run.method}, "
        f"{run.binding}{spoilt}"
    )


def _wood(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.MotherTreeEntered():
            site = f" at {entry.site}" if entry.site else ""
            return f"mother tree of {entry.variety} written down{site}, {entry.certainty}"
        case e.CertaintyJudged():
            return f"name judged {entry.certainty}{_more(entry.evidence)}"
        case e.NameDecided():
            return f"name decided: {entry.variety}{_more(entry.evidence)}"
        case e.PermissionRecorded():
            given = "allowed" if entry.granted else "refused"
            return f"{entry.owner} {given} the cutting{_more(entry.words)}"
        case e.HealthNoted():
            return f"health noted: {entry.health}{_more(entry.words)}"
        case e.ShootsMeasured():
            return f"shoots measured: {entry.shoot_length_mm:g} mm long"
        case e.WoodCut():
            source = entry.mother_tree_code or entry.from_whom
            start = f" from {source}" if source else ""
            return f"{_sticks(len(entry.sticks))} of {entry.variety} cut{start}"
        case e.SticksMeasured():
            return f"{_sticks(len(entry.sticks))} measured"
        case e.BundleChecked():
            return f"bundle {entry.code} found {entry.condition}{_more(entry.words)}"
        case e.BundleMoved():
            place = place_name(entry.place_code, notebook)
            return f"bundle {entry.code} moved to {place}"
        case e.BundleDiscarded():
            return f"rest of bundle {entry.code} thrown out{_more(entry.reason)}"
        case _:
            return ""


def _sticks(count: int) -> str:
    return "1 stick" if count == 1 else f"{count} sticks" if count else "a bundle"


def _stocks(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.StocksOffered():
            size = entry.lot_size_count
            return f"{entry.grade.stock} offered by {entry.supplier} in bundles of {size}"
        case e.StocksAsked():
            return f"{entry.asked_count} stocks ordered, lot {entry.code}"
        case e.StocksConfirmed():
            return f"{entry.confirmed_count} stocks confirmed, lot {entry.code}"
        case e.StocksArrived():
            how = "carried over" if entry.carried_over else "arrived"
            return f"{entry.arrived_count} stocks {how}, lot {entry.code}"
        case e.StocksMeasured():
            return f"{len(entry.diameters_mm)} stocks measured, lot {entry.code}"
        case e.StocksChecked():
            return f"lot {entry.code} looked at: {entry.waking}{_more(entry.words)}"
        case e.StocksLost():
            return f"{entry.lost_count} stocks lost of lot {entry.code}{_more(entry.reason)}"
        case _:
            return ""


def _anything(entry: Entry, _notebook: Notebook) -> str:
    match entry:
        case e.NoteWritten():
            return f"note: {entry.words}"
        case e.PhotoAdded():
            return f"photo added{_more(entry.words)}"
        case e.EntryCorrected():
            return f"entry corrected{_more(entry.reason)}"
        case e.EntryWithdrawn():
            return f"entry withdrawn{_more(entry.reason)}"
        case e.ClashSettled():
            return f"clash settled{_more(entry.words)}"
        case e.PracticeSet():
            return f"own practice: {entry.practice} is {entry.value}{_more(entry.words)}"
        case e.NurseryDescribed():
            return "the nursery described"
        case e.MaterialCounted():
            return f"{entry.in_hand:g} {entry.unit} of {entry.material} counted"
        case e.EarlierResultsCounted():
            passed = f"{entry.taken_count} of {entry.grafted_count} took"
            return f"{entry.season}, {entry.variety} on {entry.stock}: {passed}"
        case _:
            return ""


def _more(words: str) -> str:
    return f"; {words}" if words else ""


_TELLINGS: tuple[Callable[[Entry, Notebook], str], ...] = (
    *(
        _care,
        _judged,
        _given,
        later_life,
        _bench,
        _wood,
        _stocks,
        evidence_and_jobs,
        spots_and_names,
    ),
    _anything,
)
