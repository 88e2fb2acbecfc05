"""Which source of weather is set, as the environment says it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from graftwright.intake.weather_service import WeatherFields
from graftwright.tongue import say

URL = "GRAFTWRIGHT_WEATHER_URL"
FILE = "GRAFTWRIGHT_WEATHER_FILE"
_FIELDS = {
    "GRAFTWRIGHT_WEATHER_LATITUDE": "latitude",
    "GRAFTWRIGHT_WEATHER_LONGITUDE": "longitude",
    "GRAFTWRIGHT_WEATHER_FIRST_DAY": "first_on",
    "GRAFTWRIGHT_WEATHER_LAST_DAY": "last_on",
    "GRAFTWRIGHT_WEATHER_DATES": "dates",
    "GRAFTWRIGHT_WEATHER_LOWS": "lows",
    "GRAFTWRIGHT_WEATHER_HIGHS": "highs",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherSetting:
    """An address and its field names, or a file, or neither."""

    base_url: str = ""
    file: Path | None = None
    fields: WeatherFields = field(default_factory=WeatherFields)

    @property
    def name(self) -> str:
        """What the source is called on a page; empty if there is none."""
        if self.base_url:
            return urlsplit(self.base_url).hostname or say("the address set")
        return self.file.name if self.file else ""


def weather_setting(environment: Mapping[str, str]) -> WeatherSetting:
    """Return what the environment says; parameters sent each time stand in the address itself."""
    named = {part: environment[name] for name, part in _FIELDS.items() if environment.get(name)}
    file = environment.get(FILE, "")
    return WeatherSetting(
        base_url=environment.get(URL, ""),
        file=Path(file).expanduser() if file else None,
        fields=WeatherFields(**named),
    )
