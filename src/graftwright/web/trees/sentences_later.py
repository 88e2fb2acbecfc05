"""Sentences of a tree's later life, of evidence and rescue, and of the day's jobs themselves."""

from graftwright.notebook import entries as e
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.tongue import joined, say, told
from graftwright.web.templatetags.trade import day as day_words
from graftwright.web.trees.naming import place_name, trees_words


def later_life(entry: Entry, notebook: Notebook) -> str:
    """Return what happened to a tree later on; empty for any other entry."""
    match entry:
        case e.AutopsyMade():
            signs = joined((*entry.signs, *([entry.words] if entry.words else [])), "; ")
            return told(
                "{trees_words} opened: {signs}",
                trees_words=trees_words(entry.tree_codes),
                signs=signs or say("nothing noted"),
            )
        case e.Reworked():
            variety = notebook.variety_of_bundle(entry.bundle_code)
            by = told(" by {grafter}", grafter=entry.grafter) if entry.grafter else ""
            rests = (
                told("; the bud rests until {breaks_in}", breaks_in=entry.breaks_in)
                if entry.breaks_in
                else ""
            )
            again = told(
                "{trees_words} worked again with {variety}",
                trees_words=trees_words(entry.tree_codes),
                variety=variety,
            )
            return told(
                "{again}, bundle {bundle_code}{by}: {method}{rests}",
                again=again,
                bundle_code=entry.bundle_code,
                by=by,
                method=entry.method,
                rests=rests,
            )
        case e.VarietyAdded():
            variety = notebook.variety_of_bundle(entry.bundle_code)
            limb = f", {entry.limb}" if entry.limb else ""
            where = told(
                "{height_mm:g} mm up, facing {bearing_deg:g} degrees{limb}",
                height_mm=entry.height_mm,
                bearing_deg=entry.bearing_deg,
                limb=limb,
            )
            return told(
                "{variety} added to {trees_words}, {where}",
                variety=variety,
                trees_words=trees_words(entry.tree_codes),
                where=where,
            )
        case _:
            return _parts_and_fruit(entry)


def _parts_and_fruit(entry: Entry) -> str:
    match entry:
        case e.PartJudged():
            which = told(
                "graft {part_number} on {trees_words}",
                part_number=entry.part_number,
                trees_words=trees_words(entry.tree_codes),
            )
            return told(
                "{which} judged {scion}{more}",
                which=which,
                scion=entry.scion,
                more=_more(entry.words),
            )
        case e.LimbGirthMeasured():
            which = (
                told("graft {part_number}", part_number=entry.part_number)
                if entry.part_number
                else say("its first variety")
            )
            girth = told(
                "limb of {which} {girth_mm:g} mm round", which=which, girth_mm=entry.girth_mm
            )
            return told(
                "{girth} on {trees_words}", girth=girth, trees_words=trees_words(entry.tree_codes)
            )
        case e.LimbRemoved():
            return told(
                "{limb} cut off {trees_words}, with its grafts",
                limb=entry.limb,
                trees_words=trees_words(entry.tree_codes),
            )
        case e.FruitedAs():
            what = entry.variety or say("a variety not known")
            sure = f", {say(entry.how_sure)}" if entry.how_sure else ""
            return told(
                "{trees_words} fruited as {what}{sure}{more}",
                trees_words=trees_words(entry.tree_codes),
                what=what,
                sure=sure,
                more=_more(entry.words),
            )
        case _:
            return _stock_cared_for(entry)


def _stock_cared_for(entry: Entry) -> str:
    match entry:
        case e.StockCarriedOver():
            return told(
                "stock of {trees_words} carried over into lot {lot_code}",
                trees_words=trees_words(entry.tree_codes),
                lot_code=entry.lot_code,
            )
        case e.StockShootKept():
            return told(
                "stock shoots of {trees_words} pinched, the best one kept",
                trees_words=trees_words(entry.tree_codes),
            )
        case e.StockCutBack():
            return told(
                "{trees_words} cut back to the bud", trees_words=trees_words(entry.tree_codes)
            )
        case e.HardeningBegun():
            return told(
                "{trees_words} put out by day to harden off",
                trees_words=trees_words(entry.tree_codes),
            )
        case _:
            return ""


def evidence_and_jobs(entry: Entry, notebook: Notebook) -> str:
    """Return evidence, a rescue, a place's limits or watering, or a job arranged."""
    match entry:
        case e.EvidenceNoted():
            return f"{entry.evidence}: {entry.words}{_speaks(entry)}"
        case e.RescuePlanned():
            wanted = told(
                "{wanted_count} living copies at {sureness_fraction:.0%} sureness",
                wanted_count=entry.wanted_count,
                sureness_fraction=entry.sureness_fraction,
            )
            until = told("to be reached until {day_words}", day_words=day_words(entry.access_until))
            return told(
                "rescue planned: {wanted}, {until}{more}",
                wanted=wanted,
                until=until,
                more=_more(entry.words),
            )
        case e.PlaceLimitsSet():
            low = (
                say("no lower")
                if entry.low_c is None
                else told("{low_c:g} °C as lowest", low_c=entry.low_c)
            )
            high = (
                say("no upper limit")
                if entry.high_c is None
                else told("{high_c:g} °C as highest", high_c=entry.high_c)
            )
            return told(
                "limits of {place_name}: {low}, {high}",
                place_name=place_name(entry.place_code, notebook),
                low=low,
                high=high,
            )
        case _:
            return _water_and_jobs(entry, notebook)


def _water_and_jobs(entry: Entry, notebook: Notebook) -> str:
    match entry:
        case e.PlaceWatered():
            much = told(" with {litres:g} litres", litres=entry.litres) if entry.litres else ""
            return told(
                "{place_name} watered{much}",
                place_name=place_name(entry.place_code, notebook),
                much=much,
            )
        case e.RainMeasured():
            return told("{rain_mm:g} mm of rain", rain_mm=entry.rain_mm)
        case e.JobPutOff():
            until = day_words(entry.until_on)
            return told(
                "put off until {until}: {job}{more}",
                until=until,
                job=_job(entry, notebook),
                more=_more(entry.reason),
            )
        case e.JobGiven():
            whom = (
                told("given to {to_whom}", to_whom=entry.to_whom)
                if entry.to_whom
                else say("given to nobody again")
            )
            return f"{whom}: {_job(entry, notebook)}"
        case _:
            return ""


def _job(entry: e.JobPutOff | e.JobGiven, notebook: Notebook) -> str:
    at = (
        told(" at {place_name}", place_name=place_name(entry.place_code, notebook))
        if entry.place_code
        else ""
    )
    return f"{entry.job}{at}"


def _speaks(entry: e.EvidenceNoted) -> str:
    if not entry.speaks_for:
        return say("; speaks for no name")
    return told(
        "; speaks {what} {speaks_for}",
        what=say("against") if entry.is_against else say("for"),
        speaks_for=entry.speaks_for,
    )


def _more(words: str) -> str:
    return f"; {words}" if words else ""
