"""What the settings become on a network, as Django's own deployment check judges it."""

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured

from graftwright.web.people.quiet import without_secrets
from graftwright.web.reach import reach_from


def _run(folder: Path, code: list[str], said: Mapping[str, str]) -> str:
    # the browser's tests set a word for this process that no deployment has
    left_out = ("GRAFTWRIGHT", "DJANGO_ALLOW_ASYNC_UNSAFE")
    clean = {name: value for name, value in os.environ.items() if not name.startswith(left_out)}
    done = subprocess.run(
        [sys.executable, *code],
        env={
            **clean,
            "GRAFTWRIGHT_NOTEBOOK": str(folder),
            "DJANGO_SETTINGS_MODULE": "graftwright.web.settings",
            **said,
        },
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return f"{done.returncode} {done.stdout}{done.stderr}"


@pytest.mark.parametrize(
    "said",
    [
        {"GRAFTWRIGHT_HOSTS": "trees.example.org", "GRAFTWRIGHT_BEHIND_PROXY": "1"},
        {"GRAFTWRIGHT_HOSTS": "nursery.local,192.168.1.20", "GRAFTWRIGHT_ENCRYPTED": "1"},
    ],
)
def test_the_deployment_check_finds_nothing(tmp_path: Path, said: dict[str, str]) -> None:
    asked = ["-m", "django", "check", "--deploy", "--fail-level", "WARNING"]
    found = _run(tmp_path, asked, said)
    assert found.startswith("0 "), found
    assert "no issues" in found


_SHOW = """
from django.conf import settings as s
print(s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME,
      s.SECURE_SSL_REDIRECT, s.NEEDS_ACCOUNT, s.ALLOWED_HOSTS)
"""


def test_cookies_are_for_https_alone_where_there_is_https(tmp_path: Path) -> None:
    said = {"GRAFTWRIGHT_HOSTS": "trees.example.org", "GRAFTWRIGHT_BEHIND_PROXY": "1"}
    assert _run(tmp_path, ["-c", _SHOW], said).split()[:7] == [
        *("0", "True", "True", "__Host-signed-in", "__Host-form", "True", "True")
    ]


def test_without_a_word_the_pages_are_this_machines_alone(tmp_path: Path) -> None:
    shown = _run(tmp_path, ["-c", _SHOW], {})
    assert shown.split()[:7] == ["0", "False", "False", "sessionid", "csrftoken", "False", "False"]
    assert "[" + "'127.0.0.1', 'localhost', '[::1]', 'testserver']" in shown


@pytest.mark.parametrize(
    "said",
    [
        {"GRAFTWRIGHT_HOSTS": "*"},
        {"GRAFTWRIGHT_HOSTS": "https://trees.example.org"},
        {"GRAFTWRIGHT_HOSTS": "trees.example.org:8000"},
        {"GRAFTWRIGHT_HOSTS": "a, b c"},
        {"GRAFTWRIGHT_BEHIND_PROXY": "1"},
        {"GRAFTWRIGHT_HOSTS": "a.example", "GRAFTWRIGHT_BEHIND_PROXY": "perhaps"},
        {"GRAFTWRIGHT_ADDRESS": "trees.example.org"},
        {"GRAFTWRIGHT_ADDRESS": "https://" + "t" * 60},
    ],
)
def test_nonsense_in_the_environment_is_refused(said: dict[str, str]) -> None:
    with pytest.raises(ImproperlyConfigured, match="GRAFTWRIGHT"):
        reach_from(said)


def test_only_the_names_said_are_answered_to() -> None:
    reach = reach_from({"GRAFTWRIGHT_HOSTS": " nursery.local , 192.168.1.20,[fd00::1]"})
    assert reach.hosts == [
        *("127.0.0.1", "localhost", "[::1]", "nursery.local", "192.168.1.20", "[fd00::1]")
    ]
    assert reach.needs_account
    assert not reach.is_encrypted


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("Not Found: /pair/abc-DEF_1/", "Not Found: /pair/.../"),
        ("Forbidden: /feed/s3cr3t/calendar.ics", "Forbidden: /feed/.../calendar.ics"),
        ("GET '/pair/abc'", "GET '/pair/...'"),
        ("Not Found: /trees/22223/", "Not Found: /trees/22223/"),
    ],
)
def test_a_line_of_the_log_leaves_the_secret_out(line: str, expected: str) -> None:
    assert without_secrets(line) == expected
