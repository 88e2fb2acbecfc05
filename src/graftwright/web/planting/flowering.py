"""Who flowers when and who serves whom, as a chart, a table and words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from graftwright.errors import NoPlan
from graftwright.notebook.entries import SpotDescribed
from graftwright.notebook.notebook import Notebook
from graftwright.planting import (
    Catalogue,
    Crop,
    FloweringPlace,
    FloweringWindow,
    PartnerVerdict,
    PlantedTree,
    PlantingReport,
    PollenMatch,
    Variety,
    fewest_additions,
    flowering_window,
    partners,
    planting_report,
)
from graftwright.planting.bloom import ENGLAND
from graftwright.season.standing_names import names_written
from graftwright.web.planting.names import keys_of
from graftwright.web.templatetags.trade import day_of_year, listed

_HALF_YEAR_DAYS = 182.0
_ROW = 46
_YEAR = 2001  # any year of 365 days: only the day and month are shown
_MATCH_WORDS = {
    PollenMatch.FULL: "full: no S-allele shared",
    PollenMatch.HALF: "half: one S-allele shared",
    PollenMatch.NONE: "none: the same S-alleles",
    PollenMatch.UNKNOWN: "not known for both",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringRow:
    """One variety of the chart; places along the line as percentages."""

    name: str
    is_neighbours: bool
    days: str
    full: str
    basis: str
    words_y: int
    bar_y: int
    open_x: str = ""
    open_width: str = ""
    full_x: str = ""
    full_width: str = ""
    serves: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthTick:
    """The first of a month, or a week within it, on the chart."""

    x: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartnerRow:
    """What one variety's pollen does for another."""

    receiver: str
    giver: str
    strength: str
    pollen: str
    days: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringShown:
    """The chart with its table, the partners and the whole planting in words."""

    place: str
    rows: tuple[FloweringRow, ...]
    ticks: tuple[MonthTick, ...]
    height: int
    partners: tuple[PartnerRow, ...]
    report: PlantingReport
    additions: str
    is_worry_small: bool


def flowering_shown(
    described: SpotDescribed,
    *,
    notebook: Notebook,
    catalogue: Catalogue,
    full_flower_on: date | None = None,
) -> FloweringShown | None:
    """Return the flowering of a spot's trees; None where no variety is named.

    Raises ValidationError where a name is borne by several varieties.
    """
    crop = described.crop
    own, catalogue = keys_of(described.wanted_varieties, catalogue=catalogue, crop=crop)
    near, catalogue = keys_of(described.neighbours_varieties, catalogue=catalogue, crop=crop)
    if not own:
        return None
    trees = [PlantedTree(variety=key) for key in own]
    trees += [PlantedTree(variety=key, is_neighbours=True) for key in near]
    report = planting_report(
        trees, catalogue=catalogue, has_many_trees_near=described.has_many_trees_near
    )
    latitude_deg = notebook.nursery.latitude_deg
    is_south = latitude_deg is not None and latitude_deg < 0.0
    place = _place(full_flower_on, is_south=is_south)
    rows, ticks = _chart(own, near, catalogue, place, is_south=is_south)
    return FloweringShown(
        place=place.name,
        rows=_with_service(rows, report, catalogue),
        ticks=ticks,
        height=_ROW * len(rows) + 24,
        partners=_partner_rows(own, near, catalogue),
        report=report,
        additions=_additions(trees, report, crop, notebook, catalogue),
        is_worry_small=described.has_many_trees_near,
    )


def _place(full_flower_on: date | None, *, is_south: bool) -> FloweringPlace:
    if full_flower_on is None:
        name = "an average spring in England"
        south = f"{name}, turned by half a year" if is_south else name
        return replace(ENGLAND, name=south)
    doy = float(full_flower_on.timetuple().tm_yday)
    if is_south:
        doy = (doy - _HALF_YEAR_DAYS - 1.0) % 365.0 + 1.0
    return FloweringPlace(name="the day given for this place", golden_delicious_doy=doy)


def _chart(
    own: Sequence[str],
    near: Sequence[str],
    catalogue: Catalogue,
    place: FloweringPlace,
    *,
    is_south: bool,
) -> tuple[tuple[FloweringRow, ...], tuple[MonthTick, ...]]:
    keys = list(dict.fromkeys([*own, *near]))
    found = [(catalogue.variety(key), key not in own) for key in keys]
    windows = {v.key: flowering_window(v, catalogue=catalogue, place=place) for v, _ in found}
    span = _span(windows)
    shift_days = _HALF_YEAR_DAYS if is_south else 0.0
    rows = tuple(
        _row(variety, is_near, windows[variety.key], span, number, shift_days)
        for number, (variety, is_near) in enumerate(found)
    )
    return rows, _ticks(span, shift_days)


def _span(windows: Mapping[str, FloweringWindow | None]) -> tuple[float, float]:
    known = [window for window in windows.values() if window is not None]
    if not known:
        return 100.0, 160.0
    return min(w.open_from_doy for w in known) - 3.0, max(w.open_to_doy for w in known) + 3.0


def _row(
    variety: Variety,
    is_near: bool,
    window: FloweringWindow | None,
    span: tuple[float, float],
    number: int,
    shift_days: float,
) -> FloweringRow:
    row = FloweringRow(
        name=variety.preferred_name,
        is_neighbours=is_near,
        days="not known",
        full="not known",
        basis="no source" if window is None else str(window.basis),
        words_y=_ROW * number + 16,
        bar_y=_ROW * number + 24,
    )
    if window is None:
        return row
    open_days = (window.open_from_doy, window.open_to_doy)
    full_days = (window.full_from_doy, window.full_to_doy)
    return replace(
        row,
        days=_days_words(*open_days, shift_days),
        full=_days_words(*full_days, shift_days),
        open_x=_share(open_days[0], span),
        open_width=_share(open_days[1] - open_days[0] + span[0], span),
        full_x=_share(full_days[0], span),
        full_width=_share(full_days[1] - full_days[0] + span[0], span),
    )


def _share(doy: float, span: tuple[float, float]) -> str:
    return f"{(doy - span[0]) / (span[1] - span[0]) * 100.0:.2f}%"


def _day(doy: float, shift_days: float) -> date:
    days = round((doy - 1.0 + shift_days) % 365.0) % 365
    return date(_YEAR, 1, 1) + timedelta(days=days)


def _days_words(first: float, last: float, shift_days: float) -> str:
    return f"{day_of_year(_day(first, shift_days))} to {day_of_year(_day(last, shift_days))}"


def _ticks(span: tuple[float, float], shift_days: float) -> tuple[MonthTick, ...]:
    """The first of each month within the span, and its fifteenth."""
    found = []
    for doy in range(int(span[0]) + 1, int(span[1]) + 1):
        day = _day(float(doy), shift_days)
        if day.day in (1, 15):
            words = f"{day.day} {day:%b}"
            found.append(MonthTick(x=_share(float(doy), span), words=words))
    return tuple(found)


def _with_service(
    rows: Sequence[FloweringRow], report: PlantingReport, catalogue: Catalogue
) -> tuple[FloweringRow, ...]:
    serves: dict[str, list[str]] = {}
    for tree in report.trees:
        for found in tree.partners:
            if found.strength != "none":
                name = catalogue.variety(found.giver_key).preferred_name
                serves.setdefault(name, []).append(f"{tree.variety} ({found.strength})")
    return tuple(
        replace(row, serves=listed(tuple(dict.fromkeys(serves.get(row.name, []))))) for row in rows
    )


def _partner_rows(
    own: Sequence[str], near: Sequence[str], catalogue: Catalogue
) -> tuple[PartnerRow, ...]:
    every = tuple(dict.fromkeys([*own, *near]))
    return tuple(
        _partner_row(found, catalogue)
        for receiver in dict.fromkeys(own)
        for found in partners(receiver, others=every, catalogue=catalogue)
    )


def _partner_row(found: PartnerVerdict, catalogue: Catalogue) -> PartnerRow:
    is_itself = found.receiver_key == found.giver_key
    low, high = found.overlap_low_days, found.overlap_high_days
    days = "not known" if low is None or high is None else f"{low:.0f} to {high:.0f}"
    return PartnerRow(
        receiver=catalogue.variety(found.receiver_key).preferred_name,
        giver=catalogue.variety(found.giver_key).preferred_name,
        strength=str(found.strength),
        pollen="its own pollen" if is_itself else _MATCH_WORDS[found.match],
        days=days,
        why=" ".join(found.reasons),
    )


def _additions(
    trees: Sequence[PlantedTree],
    report: PlantingReport,
    crop: Crop,
    notebook: Notebook,
    catalogue: Catalogue,
) -> str:
    """Say the fewest varieties to add: of the nursery's own first, then of all in the lists."""
    if report.sets_fruit:
        return "Nothing needs adding: every tree sets fruit alone or has a partner."
    listed_keys = [v.key for v in catalogue.varieties if v.crop is crop and v.flowering_groups]
    for candidates, whose in (
        (_own_keys(notebook, crop, catalogue), "of what this nursery grows"),
        (listed_keys, "of all in the lists"),
    ):
        try:
            found = fewest_additions(trees, candidates=candidates, catalogue=catalogue)
        except NoPlan:
            continue
        if found.varieties:
            return (
                f"The fewest that make all of them set fruit: {listed(found.varieties)}, {whose}."
            )
    return "No variety in the lists is known to serve them: too little is known of their flowers."


def _own_keys(notebook: Notebook, crop: Crop, catalogue: Catalogue) -> tuple[str, ...]:
    keys: dict[str, None] = {}
    for name in names_written(notebook):
        found = catalogue.variety_keys_named(name)
        for key in found:
            variety = catalogue.variety(key)
            if variety.crop is crop and not variety.is_doubtful:
                keys[key] = None
    return tuple(keys)
