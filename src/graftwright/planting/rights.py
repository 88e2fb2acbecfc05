"""Whether a variety or stock may be ordered: what was looked up, and what must be asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.planting.naming import folded_name
from graftwright.planting.reports import RightsRecord, RightsStatus
from graftwright.planting.rootstock import Rootstock
from graftwright.planting.variety import Variety
from graftwright.tongue import marked, say, told

# Plant Varieties Act 1997, Part I: thirty years for trees, which regulations may lengthen.
_USUAL_TERM_YEARS = 30
_ASK = marked("Ask the plant variety rights office of the country.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Licence:
    """The right-holder's leave as it was given, or the grafter's own decision to go on without.

    An override is kept like a licence, with its words, so that it can be read later.
    """

    plant_key: str
    country: str
    words: str
    recorded_on: date
    is_override: bool = False

    def __post_init__(self) -> None:
        if not self.words.strip():
            raise OutOfRange(
                say("a licence without words; expected what was allowed and by whom; write it down")
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class RightsVerdict:
    """What stands in the way of ordering a variety in one country; no legal verdict.

    `must_ask` is True where nothing is known or a look-up is contradicted; "not known" is never
    "free".
    """

    plant_key: str
    country: str
    status: RightsStatus
    may_be_ordered: bool
    must_ask: bool
    sentence: str
    records: tuple[RightsRecord, ...]


def rights_verdict(
    plant: Variety | Rootstock, *, country: str, today: date, licences: Sequence[Licence] = ()
) -> RightsVerdict:
    """Say whether a variety or a rootstock may enter an order, from the look-ups kept with it.

    For a rootstock, ordering means raising it: a bought one may be grafted on. A protected plant
    may not without a recorded licence or override; one of which nothing is
    known may, but prompts to ask. A protection whose end has passed counts as ended.

    Source
    ------
    PlantVarietiesAct1997 for the usual term, quoted as a hint only.
    """
    records = tuple(r for r in plant.rights if folded_name(r.country) == folded_name(country))
    status = _status(records, today)
    leave = [
        one
        for one in licences
        if one.plant_key == plant.key and folded_name(one.country) == folded_name(country)
    ]
    is_protected = status is RightsStatus.PROTECTED
    return RightsVerdict(
        plant_key=plant.key,
        country=country,
        status=status,
        may_be_ordered=not is_protected or bool(leave),
        must_ask=status is RightsStatus.NOT_KNOWN or (is_protected and not leave),
        sentence=_sentence(plant, country, status, records, leave, today),
        records=records,
    )


def _status(records: Sequence[RightsRecord], today: date) -> RightsStatus:
    """Any standing protection outweighs the rest; an ended one outweighs silence."""
    found = {_status_on(record, today) for record in records}
    for status in (RightsStatus.PROTECTED, RightsStatus.EXPIRED, RightsStatus.NEVER_GRANTED):
        if status in found:
            return status
    return RightsStatus.NOT_KNOWN


def _status_on(record: RightsRecord, today: date) -> RightsStatus:
    is_protected = record.status is RightsStatus.PROTECTED
    if is_protected and record.ends_on is not None and record.ends_on < today:
        return RightsStatus.EXPIRED
    return record.status


def _sentence(
    plant: Variety | Rootstock,
    country: str,
    status: RightsStatus,
    records: Sequence[RightsRecord],
    leave: Sequence[Licence],
    today: date,
) -> str:
    head = told(
        "{preferred_name}, breeders' rights in {country}: {status}.",
        preferred_name=plant.preferred_name,
        country=country,
        status=status,
    )
    if status is RightsStatus.NOT_KNOWN:
        return told("{head}{age_hint} {ASK}", head=head, age_hint=_age_hint(plant, today), ASK=_ASK)
    latest = max(records, key=lambda record: record.checked_on)
    read = told(
        " Read on {isoformat} in {source}.",
        isoformat=latest.checked_on.isoformat(),
        source=latest.source,
    )
    if status is not RightsStatus.PROTECTED:
        return f"{head}{read}"
    if not leave:
        return told(
            "{head}{read} No licence is written down: not to be ordered. {ASK}",
            head=head,
            read=read,
            ASK=_ASK,
        )
    kind = say("Own decision") if leave[-1].is_override else say("Licence")
    return told(
        "{head}{read} {kind} of {isoformat}: {words}",
        head=head,
        read=read,
        kind=kind,
        isoformat=leave[-1].recorded_on.isoformat(),
        words=leave[-1].words,
    )


def _age_hint(plant: Variety | Rootstock, today: date) -> str:
    year = plant.introduced_year if isinstance(plant, Variety) else None
    if year is None or today.year - year <= _USUAL_TERM_YEARS:
        return ""
    return told(
        " It is given as of {year}; rights on trees usually run "
        "{USUAL_TERM_YEARS} years (Plant Varieties Act 1997), but a sport or a "
        "name may have its own.",
        year=year,
        USUAL_TERM_YEARS=_USUAL_TERM_YEARS,
    )
