"""What was written about spots, names and rights, as sentences."""

from graftwright.notebook import entries as e
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.tongue import say, told
from graftwright.web.templatetags.trade import day as day_words


def spots_and_names(entry: Entry, _notebook: Notebook) -> str:
    """Return the words of an entry about a spot, a name or rights; empty for any other."""
    match entry:
        case e.SpotDescribed():
            return _spot(entry)
        case e.NamesJoined():
            return told(
                "the name {joined} joined to {kept}{more}",
                joined=entry.joined,
                kept=entry.kept,
                more=_more(entry.because),
            )
        case e.NamesParted():
            return told(
                "the name {joined} stands for itself again{more}",
                joined=entry.joined,
                more=_more(entry.because),
            )
        case e.RightsRecorded():
            return _rights(entry)
        case e.LeaveRecorded():
            whose = say("own decision") if entry.is_override else say("leave")
            return told(
                "{whose} for {plant} in {country}: {words}",
                whose=whose,
                plant=entry.plant,
                country=entry.country,
                words=entry.words,
            )
        case _:
            return ""


def _spot(spot: e.SpotDescribed) -> str:
    room = told(
        "{space_m:g} m of room, {crop}, {form}",
        space_m=spot.space_m,
        crop=spot.crop,
        form=spot.form,
    )
    wanted = (
        told("; wanted: {varieties}", varieties=", ".join(spot.wanted_varieties))
        if spot.wanted_varieties
        else ""
    )
    return told(
        "spot “{spot_name}” described: {room}{wanted}",
        spot_name=spot.spot_name,
        room=room,
        wanted=wanted,
    )


def _rights(found: e.RightsRecorded) -> str:
    holder = told(", holder {holder}", holder=found.holder) if found.holder else ""
    until = told(", until {day_words}", day_words=day_words(found.ends_on)) if found.ends_on else ""
    return told(
        "rights on {plant} looked up: {status} in {country}{holder}{until}; read in {looked_up_in}",
        plant=found.plant,
        status=found.status,
        country=found.country,
        holder=holder,
        until=until,
        looked_up_in=found.looked_up_in,
    )


def _more(words: str) -> str:
    return f"; {words}" if words else ""
