"""An open weather service that answers with JSON: its address and field names are settings."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from http.client import HTTPException
from urllib.error import URLError
from urllib.parse import parse_qsl, urlencode, urlsplit, urlunsplit
from urllib.request import HTTPRedirectHandler, Request, build_opener

from graftwright.errors import DamagedFile, OutOfRange
from graftwright.intake.weather_service import (
    MOST_BYTES,
    NoWeather,
    WeatherDay,
    WeatherFields,
    WeatherFile,
    WeatherService,
    WhereAsked,
    day_of,
    within,
)
from graftwright.intake.weather_setting import WeatherSetting
from graftwright.tongue import marked, say, told

_TIMEOUT_S = 8.0
_MOST_DAYS = 400
_WITHOUT = marked("type the temperatures in, or bring a file")


class _NoRedirects(HTTPRedirectHandler):
    """A source is the address that was set, and no other that it points to."""

    def redirect_request(self, *_args: object, **_names: object) -> None:
        """Follow nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherOnWeb:
    """A service that takes the spot and two days in its address and answers with JSON, no key."""

    base_url: str
    fields: WeatherFields = field(default_factory=WeatherFields)
    timeout_s: float = _TIMEOUT_S

    def __post_init__(self) -> None:
        parts = urlsplit(self.base_url)
        if parts.scheme not in ("https", "http") or not parts.hostname:
            raise OutOfRange(
                told(
                    "found the weather address {base_url!r}; one that begins with https:// "
                    "was expected",
                    base_url=self.base_url,
                )
            )

    def days(self, where: WhereAsked, *, first_on: date, last_on: date) -> tuple[WeatherDay, ...]:
        """Return the days that the service knows within the span."""
        if (last_on - first_on).days > _MOST_DAYS:
            raise OutOfRange(
                told(
                    "more than {MOST_DAYS} days were asked for; ask for fewer at a time",
                    MOST_DAYS=_MOST_DAYS,
                )
            )
        name = urlsplit(self.base_url).hostname or say("the weather source")
        answer = self._answer(self._address(where, first_on, last_on), name)
        columns = [
            _column(answer, path, name)
            for path in (self.fields.dates, self.fields.lows, self.fields.highs)
        ]
        if len({len(column) for column in columns}) != 1:
            raise DamagedFile(
                told(
                    "{name} sent {listed} days, lowest and highest; as many of each were "
                    "expected; {WITHOUT}",
                    name=name,
                    listed=" , ".join(str(len(one)) for one in columns),
                    WITHOUT=_WITHOUT,
                )
            )
        found = [day_of(cells, name) for cells in zip(*columns, strict=True)]
        return within(found, first_on=first_on, last_on=last_on)

    def _address(self, where: WhereAsked, first_on: date, last_on: date) -> str:
        parts, names = urlsplit(self.base_url), self.fields
        asked = [
            *parse_qsl(parts.query),
            (names.latitude, f"{where.latitude_deg:.2f}"),
            (names.longitude, f"{where.longitude_deg:.2f}"),
            (names.first_on, first_on.isoformat()),
            (names.last_on, last_on.isoformat()),
        ]
        return urlunsplit(parts._replace(query=urlencode(asked), fragment=""))

    def _answer(self, address: str, name: str) -> object:
        request = Request(address, headers={"Accept": "application/json"})
        try:
            with build_opener(_NoRedirects).open(request, timeout=self.timeout_s) as response:
                body = response.read(MOST_BYTES + 1)
        except (URLError, OSError, HTTPException) as wrong:
            raise DamagedFile(
                told(
                    "{name} did not answer ({wrong}); try later, or {WITHOUT}",
                    name=name,
                    wrong=wrong,
                    WITHOUT=_WITHOUT,
                )
            ) from (wrong)
        if len(body) > MOST_BYTES:
            raise DamagedFile(
                told(
                    "{name} sent more than 2 MB; a few days were expected; {WITHOUT}",
                    name=name,
                    WITHOUT=_WITHOUT,
                )
            )
        try:
            return json.loads(body)
        except (ValueError, RecursionError) as wrong:
            raise DamagedFile(
                told(
                    "{name} sent something that is not JSON; check the address; {WITHOUT}",
                    name=name,
                    WITHOUT=_WITHOUT,
                )
            ) from wrong


def _column(answer: object, path: str, name: str) -> list[object]:
    part = answer
    for step in path.split("."):
        part = part.get(step) if isinstance(part, Mapping) else None
    if not isinstance(part, list):
        raise DamagedFile(
            told(
                "{name} sent no list at {path}; check the names of the fields; {WITHOUT}",
                name=name,
                path=path,
                WITHOUT=_WITHOUT,
            )
        )
    return part


def weather_service(setting: WeatherSetting) -> WeatherService:
    """Return the source that is set: the web's, a file, or none."""
    if setting.base_url:
        return WeatherOnWeb(base_url=setting.base_url, fields=setting.fields)
    if setting.file is not None:
        return WeatherFile(path=setting.file)
    return NoWeather()
