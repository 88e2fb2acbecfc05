"""Sentences of a tree's later life, of evidence and rescue, and of the day's jobs themselves."""

from graftwright.notebook import entries as e
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.tongue import say
from graftwright.web.templatetags.trade import day as day_words
from graftwright.web.trees.naming import place_name, trees_words


def later_life(entry: Entry, notebook: Notebook) -> str:
    """Return what happened to a tree later on; empty for any other entry."""
    match entry:
        case e.AutopsyMade():
            signs = "; ".join((*entry.signs, *([entry.words] if entry.words else [])))
            return f"{trees_words(entry.tree_codes)} opened: {signs or 'nothing noted'}"
        case e.Reworked():
            variety = notebook.variety_of_bundle(entry.bundle_code)
            by = f" by {entry.grafter}" if entry.grafter else ""
            rests = f"; the bud rests until {entry.breaks_in}" if entry.breaks_in else ""
            again = f"{trees_words(entry.tree_codes)} worked again with {variety}"
            return f"{again}, bundle {entry.bundle_code}{by}: {entry.method}{rests}"
        case e.VarietyAdded():
            variety = notebook.variety_of_bundle(entry.bundle_code)
            limb = f", {entry.limb}" if entry.limb else ""
            where = f"{entry.height_mm:g} mm up, facing {entry.bearing_deg:g} degrees{limb}"
            return f"{variety} added to {trees_words(entry.tree_codes)}, {where}"
        case e.PartJudged():
            which = f"graft {entry.part_number} on {trees_words(entry.tree_codes)}"
            return f"{which} judged {entry.scion}{_more(entry.words)}"
        case e.LimbGirthMeasured():
            which = f"graft {entry.part_number}" if entry.part_number else "its first variety"
            girth = f"limb of {which} {entry.girth_mm:g} mm round"
            return f"{girth} on {trees_words(entry.tree_codes)}"
        case e.LimbRemoved():
            return f"{entry.limb} cut off {trees_words(entry.tree_codes)}, with its grafts"
        case e.FruitedAs():
            what = entry.variety or "a variety not known"
            sure = f", {say(entry.how_sure)}" if entry.how_sure else ""
            return f"{trees_words(entry.tree_codes)} fruited as {what}{sure}{_more(entry.words)}"
        case _:
            return _stock_cared_for(entry)


def _stock_cared_for(entry: Entry) -> str:
    match entry:
        case e.StockCarriedOver():
            return (
                f"stock of {trees_words(entry.tree_codes)} carried over into lot {entry.lot_code}"
            )
        case e.StockShootKept():
            return f"stock shoots of {trees_words(entry.tree_codes)} pinched, the best one kept"
        case e.StockCutBack():
            return f"{trees_words(entry.tree_codes)} cut back to the bud"
        case e.HardeningBegun():
            return f"{trees_words(entry.tree_codes)} put out by day to harden off"
        case _:
            return ""


def evidence_and_jobs(entry: Entry, notebook: Notebook) -> str:
    """Return evidence, a rescue, a place's limits or watering, or a job arranged."""
    match entry:
        case e.EvidenceNoted():
            return f"{entry.evidence}: {entry.words}{_speaks(entry)}"
        case e.RescuePlanned():
            wanted = f"{entry.wanted_count} living copies at {entry.sureness_fraction:.0%} sureness"
            until = f"to be reached until {day_words(entry.access_until)}"
            return f"rescue planned: {wanted}, {until}{_more(entry.words)}"
        case e.PlaceLimitsSet():
            low = "no lower" if entry.low_c is None else f"{entry.low_c:g} °C as lowest"
            high = "no upper limit" if entry.high_c is None else f"{entry.high_c:g} °C as highest"
            return f"limits of {place_name(entry.place_code, notebook)}: {low}, {high}"
        case e.PlaceWatered():
            much = f" with {entry.litres:g} litres" if entry.litres else ""
            return f"{place_name(entry.place_code, notebook)} watered{much}"
        case e.RainMeasured():
            return f"{entry.rain_mm:g} mm of rain"
        case e.JobPutOff():
            until = day_words(entry.until_on)
            return f"put off until {until}: {_job(entry, notebook)}{_more(entry.reason)}"
        case e.JobGiven():
            whom = f"given to {entry.to_whom}" if entry.to_whom else "given to nobody again"
            return f"{whom}: {_job(entry, notebook)}"
        case _:
            return ""


def _job(entry: e.JobPutOff | e.JobGiven, notebook: Notebook) -> str:
    at = f" at {place_name(entry.place_code, notebook)}" if entry.place_code else ""
    return f"{entry.job}{at}"


def _speaks(entry: e.EvidenceNoted) -> str:
    if not entry.speaks_for:
        return "; speaks for no name"
    return f"; speaks {'against' if entry.is_against else 'for'} {entry.speaks_for}"


def _more(words: str) -> str:
    return f"; {words}" if words else ""
