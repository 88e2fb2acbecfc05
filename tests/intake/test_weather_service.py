"""Days of weather from a file and from a service answering on this machine."""

import json
import threading
from collections.abc import Iterator
from datetime import date
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from graftwright.errors import DamagedFile, OutOfRange
from graftwright.intake.weather_http import WeatherOnWeb, weather_service
from graftwright.intake.weather_service import NoWeather, WeatherDay, WeatherFile, WhereAsked
from graftwright.intake.weather_setting import weather_setting

HERE = WhereAsked(latitude_deg=54.2, longitude_deg=-2.3)
SPAN = {"first_on": date(2009, 4, 1), "last_on": date(2009, 4, 3)}
GOOD = {
    "daily": {
        "date": ["2009-03-31", "2009-04-01", "2009-04-02"],
        "low_c": [1, -2.5, None],
        "high_c": [9, 8.0, 11],
    }
}


class _Answering(BaseHTTPRequestHandler):
    body: bytes = b""
    status: int = 200
    asked: str = ""

    def do_GET(self) -> None:
        type(self).asked = self.path
        self.send_response(self.status)
        if self.status == 302:
            self.send_header("Location", "http://127.0.0.1:9/")
        self.end_headers()
        self.wfile.write(self.body)

    def log_message(self, *_args: object) -> None:
        pass


@pytest.fixture
def address() -> Iterator[str]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), _Answering)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    _Answering.status = 200
    yield f"http://127.0.0.1:{server.server_port}/days?unit=celsius"
    server.shutdown()
    server.server_close()


def test_the_spot_and_the_days_are_asked_for_and_days_outside_left_out(address: str) -> None:
    _Answering.body = json.dumps(GOOD).encode()
    days = WeatherOnWeb(base_url=address).days(HERE, **SPAN)
    assert days == (
        WeatherDay(on=date(2009, 4, 1), low_c=-2.5, high_c=8.0),
        WeatherDay(on=date(2009, 4, 2), low_c=None, high_c=11.0),
    )
    asked = parse_qs(urlsplit(_Answering.asked).query)
    assert asked["latitude"] == ["54.20"]
    assert (asked["start_date"], asked["unit"]) == (["2009-04-01"], ["celsius"])


def test_field_names_come_from_the_environment(address: str) -> None:
    _Answering.body = json.dumps({"t": {"d": ["2009-04-02"], "n": ["3"], "x": ["1"]}}).encode()
    setting = weather_setting(
        {
            "GRAFTWRIGHT_WEATHER_URL": address,
            "GRAFTWRIGHT_WEATHER_DATES": "t.d",
            "GRAFTWRIGHT_WEATHER_LOWS": "t.n",
            "GRAFTWRIGHT_WEATHER_HIGHS": "t.x",
        }
    )
    (day,) = weather_service(setting).days(HERE, **SPAN)
    assert (day.low_c, day.high_c) == (1.0, 3.0)
    assert setting.name == "127.0.0.1"


@pytest.mark.parametrize(
    ("body", "status", "words"),
    [
        (b"<html>", 200, "not JSON"),
        (b"[]", 200, "no list at daily.date"),
        (b'{"daily": {"date": ["2009-04-01"], "low_c": [], "high_c": [1]}}', 200, "as many"),
        (b'{"daily": {"date": ["yesterday"], "low_c": [1], "high_c": [2]}}', 200, "yesterday"),
        (b'{"daily": {"date": ["2009-04-01"], "low_c": [451], "high_c": [2]}}', 200, "451"),
        (b'{"daily": {"date": ["2009-04-01"], "low_c": [NaN], "high_c": [2]}}', 200, "nan"),
        (b"x" * (2 * 1024 * 1024 + 9), 200, "more than 2 MB"),
        (b"", 500, "did not answer"),
        (b"", 302, "did not answer"),
    ],
)
def test_a_bad_answer_is_refused_in_words(
    address: str, body: bytes, status: int, words: str
) -> None:
    _Answering.body, _Answering.status = body, status
    with pytest.raises(DamagedFile, match=words):
        WeatherOnWeb(base_url=address, timeout_s=3.0).days(HERE, **SPAN)


def test_nobody_there_is_said_and_no_other_kind_of_address_is_opened() -> None:
    with pytest.raises(DamagedFile, match="did not answer"):
        WeatherOnWeb(base_url="http://127.0.0.1:9/", timeout_s=1.0).days(HERE, **SPAN)
    with pytest.raises(OutOfRange, match="https://"):
        WeatherOnWeb(base_url="file:///days.json")
    with pytest.raises(OutOfRange, match="latitude"):
        WhereAsked(latitude_deg=99.0, longitude_deg=0.0)


def test_a_file_gives_its_days_and_a_bad_one_says_what_was_expected(tmp_path: Path) -> None:
    file = tmp_path / "days.csv"
    file.write_text("date,low_c,high_c\n2009-04-01,2,9\n2009-04-09,1,5\n2009-04-02,,7\n")
    days = WeatherFile(path=file).days(HERE, **SPAN)
    assert [(day.on.day, day.low_c) for day in days] == [(1, 2.0), (2, None)]
    file.write_text("day,cold\n2009-04-01,2\n")
    with pytest.raises(DamagedFile, match="a day as 2009-04-18"):
        WeatherFile(path=file).days(HERE, **SPAN)
    with pytest.raises(DamagedFile, match="cannot be read"):
        WeatherFile(path=tmp_path / "none.csv").days(HERE, **SPAN)


def test_without_a_setting_there_is_no_source_and_nothing_fails() -> None:
    service = weather_service(weather_setting({}))
    assert service == NoWeather()
    assert service.days(HERE, **SPAN) == ()
