"""What was written about spots, names and rights, as sentences."""

from graftwright.notebook import entries as e
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.web.templatetags.trade import day as day_words


def spots_and_names(entry: Entry, _notebook: Notebook) -> str:
    """Return the words of an entry about a spot, a name or rights; empty for any other."""
    match entry:
        case e.SpotDescribed():
            return _spot(entry)
        case e.NamesJoined():
            return f"the name {entry.joined} joined to {entry.kept}{_more(entry.because)}"
        case e.NamesParted():
            return f"the name {entry.joined} stands for itself again{_more(entry.because)}"
        case e.RightsRecorded():
            return _rights(entry)
        case e.LeaveRecorded():
            whose = "own decision" if entry.is_override else "leave"
            return f"{whose} for {entry.plant} in {entry.country}: {entry.words}"
        case _:
            return ""


def _spot(spot: e.SpotDescribed) -> str:
    room = f"{spot.space_m:g} m of room, {spot.crop}, {spot.form}"
    wanted = f"; wanted: {', '.join(spot.wanted_varieties)}" if spot.wanted_varieties else ""
    return f"spot “{spot.spot_name}” described: {room}{wanted}"


def _rights(found: e.RightsRecorded) -> str:
    holder = f", holder {found.holder}" if found.holder else ""
    until = f", until {day_words(found.ends_on)}" if found.ends_on else ""
    return (
        f"rights on {found.plant} looked up: {found.status} in {found.country}{holder}{until}; "
        f"read in {found.looked_up_in}"
    )


def _more(words: str) -> str:
    return f"; {words}" if words else ""
