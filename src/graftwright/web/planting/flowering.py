"""Who flowers when and who serves whom, as a chart, a table and words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache

from graftwright.errors import GraftwrightError, NoPlan
from graftwright.intake.bloom_teacher import shipped_bloom_teacher
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.entries import SpotDescribed
from graftwright.notebook.notebook import Notebook
from graftwright.planting import (
    Catalogue,
    Crop,
    FloweringPlace,
    FloweringSprings,
    FruitSetting,
    PartnerStrength,
    PartnerVerdict,
    PlantedTree,
    PlantingReport,
    PollenMatch,
    fewest_additions,
    partners,
    planting_report,
)
from graftwright.planting.bloom import ENGLAND
from graftwright.season.flowering_days import FloweringHere, flowering_here, frost_on_flowers
from graftwright.season.standing_names import names_written
from graftwright.season.weather import Weather, weather_of
from graftwright.tongue import language, marked, say, told
from graftwright.web.planting.flowering_chart import (
    HALF_YEAR_DAYS,
    ROW,
    FloweringRow,
    MonthTick,
    chart,
    day_words,
    with_service,
)
from graftwright.web.planting.names import keys_of
from graftwright.web.standing_on import today
from graftwright.web.templatetags.trade import listed

_MATCH_WORDS = {
    PollenMatch.FULL: marked("full: no S-allele shared"),
    PollenMatch.HALF: marked("half: one S-allele shared"),
    PollenMatch.NONE: marked("none: the same S-alleles"),
    PollenMatch.UNKNOWN: marked("not known for both"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PartnerRow:
    """What one variety's pollen does for another."""

    receiver: str
    giver: str
    strength: str
    pollen: str
    days: str
    springs: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """The fewest varieties to add, in words, and their names for the list."""

    words: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringShown:
    """The chart with its table, the partners and the whole planting in words.

    `springs_words` and `frosts` are empty where the days come from lists.
    """

    place: str
    springs_words: str
    frosts: tuple[str, ...]
    rows: tuple[FloweringRow, ...]
    ticks: tuple[MonthTick, ...]
    height: int
    partners: tuple[PartnerRow, ...]
    report: PlantingReport
    additions: Addition
    is_worry_small: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """The flowering of the place: from its own springs where there are enough, else from lists."""

    place: FloweringPlace
    springs: FloweringSprings | None
    springs_words: str
    weather: Weather | None
    is_south: bool


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
    place = _place(notebook, crop, full_flower_on)
    report = planting_report(
        trees,
        catalogue=catalogue,
        has_many_trees_near=described.has_many_trees_near,
        springs=place.springs,
    )
    rows, ticks = chart(
        own,
        near,
        catalogue=catalogue,
        place=place.place,
        springs=place.springs,
        is_south=place.is_south,
    )
    return FloweringShown(
        place=place.place.name,
        springs_words=place.springs_words,
        frosts=tuple(_frosts(own, catalogue, place)) if crop is Crop.APPLE else (),
        rows=with_service(rows, report, catalogue),
        ticks=ticks,
        height=ROW * len(rows) + 24,
        partners=_partner_rows(own, near, catalogue, place.springs),
        report=report,
        additions=_additions(trees, report, crop, notebook, catalogue, place.springs),
        is_worry_small=described.has_many_trees_near,
    )


def _place(notebook: Notebook, crop: Crop, full_flower_on: date | None) -> _Place:
    latitude_deg = notebook.nursery.latitude_deg
    is_south = latitude_deg is not None and latitude_deg < 0.0
    asked = _Asked(notebook=notebook, day=today(), crop=crop)
    weather, here = _springs(asked) if full_flower_on is None else (None, None)
    if here is None:
        place = _listed_place(full_flower_on, is_south=is_south)
        return _Place(place=place, springs=None, springs_words="", weather=None, is_south=is_south)
    return _Place(
        place=FloweringPlace(
            name=say("the middle one of this place’s springs"),
            golden_delicious_doy=here.full_flower_doy,
        ),
        springs=here.springs,
        springs_words=_springs_words(here, is_south=is_south),
        weather=weather,
        is_south=is_south,
    )


def _springs_words(here: FloweringHere, *, is_south: bool) -> str:
    first, last = (day_words(doy, is_south=is_south) for doy in here.full_flower_span_doy)
    return told(
        "{here_words}. In these springs Golden Delicious came to full flower "
        "between {first} and {last}",
        here_words=here.words,
        first=first,
        last=last,
    )


def _listed_place(full_flower_on: date | None, *, is_south: bool) -> FloweringPlace:
    if full_flower_on is None:
        name = say("an average spring in England")
        south = told("{name}, turned by half a year", name=name) if is_south else name
        return replace(ENGLAND, name=south)
    doy = float(full_flower_on.timetuple().tm_yday)
    if is_south:
        doy = (doy - HALF_YEAR_DAYS - 1.0) % 365.0 + 1.0
    return FloweringPlace(name=say("the day given for this place"), golden_delicious_doy=doy)


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What the springs of a place are worked out from, told apart by the notebook's identity."""

    notebook: Notebook
    day: date
    crop: Crop
    spoken: str = field(default_factory=language)

    def _key(self) -> tuple[int, date, Crop, str]:
        return id(self.notebook), self.day, self.crop, self.spoken

    def __hash__(self) -> int:
        return hash(self._key())

    def __eq__(self, other: object) -> bool:
        # As in `winter`: the store hands out the same notebook until an entry is added.
        return isinstance(other, _Asked) and self._key() == other._key()


@lru_cache(maxsize=8)
def _springs(asked: _Asked) -> tuple[Weather | None, FloweringHere | None]:
    """The flowering of every listed variety of the crop over the nursery's own springs."""
    catalogue = shipped_catalogue()
    keys = [v.key for v in catalogue.varieties if v.crop is asked.crop]
    try:
        weather = weather_of(asked.notebook, today=asked.day, normals=shipped_normals())
        here = flowering_here(
            weather, teacher=shipped_bloom_teacher(), catalogue=catalogue, keys=keys
        )
    except GraftwrightError:  # temperatures that cannot be used must not close the page
        return None, None
    return weather, here


def _frosts(own: Sequence[str], catalogue: Catalogue, place: _Place) -> Iterator[str]:
    """Say for each variety in how many springs frost met its open flowers."""
    if place.springs is None or place.weather is None:
        return
    for key in dict.fromkeys(own):
        found = place.springs.by_key.get(key)
        frost = (
            frost_on_flowers(found, years=place.springs.years, weather=place.weather)
            if found
            else None
        )
        if frost is not None:
            yield f"{catalogue.variety(key).preferred_name}: {frost.sentence}"


def _partner_rows(
    own: Sequence[str],
    near: Sequence[str],
    catalogue: Catalogue,
    springs: FloweringSprings | None,
) -> tuple[PartnerRow, ...]:
    every = tuple(dict.fromkeys([*own, *near]))
    return tuple(
        _partner_row(found, catalogue)
        for receiver in dict.fromkeys(own)
        for found in partners(receiver, others=every, catalogue=catalogue, springs=springs)
    )


def _partner_row(found: PartnerVerdict, catalogue: Catalogue) -> PartnerRow:
    is_itself = found.receiver_key == found.giver_key
    low, high = found.overlap_low_days, found.overlap_high_days
    days = (
        say("not known")
        if low is None or high is None
        else told("{low:.0f} to {high:.0f}", low=low, high=high)
    )
    return PartnerRow(
        receiver=catalogue.variety(found.receiver_key).preferred_name,
        giver=catalogue.variety(found.giver_key).preferred_name,
        strength=str(found.strength),
        pollen=say("its own pollen") if is_itself else _MATCH_WORDS[found.match],
        days=days,
        springs=_together_words(found, is_itself=is_itself),
        why=" ".join(found.reasons),
    )


def _together_words(found: PartnerVerdict, *, is_itself: bool) -> str:
    if found.springs is None or is_itself:
        return ""
    return found.springs.words


def _additions(
    trees: Sequence[PlantedTree],
    report: PlantingReport,
    crop: Crop,
    notebook: Notebook,
    catalogue: Catalogue,
    springs: FloweringSprings | None,
) -> Addition:
    """Say the fewest varieties to add: of the nursery's own first, then of all in the lists."""
    if report.sets_fruit:
        return Addition(words=say("Nothing needs adding: every tree sets alone or has a partner."))
    listed_keys = [v.key for v in catalogue.varieties if v.crop is crop and v.flowering_groups]
    sets = (
        (_own_keys(notebook, crop, catalogue), say("of what this nursery grows")),
        (listed_keys, say("of all in the lists")),
    )
    for at_least, promise in _PROMISES:
        for candidates, whose in sets:
            try:
                found = fewest_additions(
                    trees,
                    candidates=candidates,
                    catalogue=catalogue,
                    at_least=at_least,
                    springs=springs,
                )
            except NoPlan:
                continue
            if found.varieties:
                words = f"{promise}: {listed(found.varieties)}, {whose}."
                return Addition(words=words, names=found.varieties)
    return Addition(
        words=told(
            "No variety in the lists is known to serve {unserved}.", unserved=_unserved(report)
        )
    )


_PROMISES = (
    (PartnerStrength.LIKELY, marked("The fewest that make all of them set fruit")),
    (
        PartnerStrength.POSSIBLE,
        marked("None is known to make all of them set fruit; the fewest that may"),
    ),
)


def _unserved(report: PlantingReport) -> str:
    """The trees without a partner that can be counted on."""
    settled = (FruitSetting.SETS_ALONE, FruitSetting.HAS_PARTNER)
    return listed(tuple(t.variety for t in report.trees if t.setting not in settled))


def _own_keys(notebook: Notebook, crop: Crop, catalogue: Catalogue) -> tuple[str, ...]:
    keys: dict[str, None] = {}
    for name in names_written(notebook):
        found = catalogue.variety_keys_named(name)
        for key in found:
            variety = catalogue.variety(key)
            if variety.crop is crop and not variety.is_doubtful:
                keys[key] = None
    return tuple(keys)
