"""A real server: where it listens, whom it lets in, and what it writes to its log."""

import http.client
import os
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlencode

import pytest

_COMMAND = [sys.executable, "-m", "graftwright.cli.main"]
_PASSWORD = "nine quinces on a sill"
_HOST = "127.0.0.1"


def _environment(folder: Path, **said: str) -> dict[str, str]:
    clean = {name: value for name, value in os.environ.items() if "GRAFTWRIGHT" not in name}
    return {**clean, "GRAFTWRIGHT_NOTEBOOK": str(folder), **said}


def _run(folder: Path, *words: str, typed: str = "", **said: str) -> tuple[int, str]:
    done = subprocess.run(
        [*_COMMAND, *words],
        env=_environment(folder, **said),
        input=typed,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    return done.returncode, done.stdout + done.stderr


@pytest.fixture(scope="module")
def notebook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A notebook with one organiser, made by the command."""
    folder = tmp_path_factory.mktemp("served")
    words = ("people", "add", "Rowan", "--initials", "RN", "--role", "organiser")
    code, said = _run(folder, *words, typed=f"{_PASSWORD}\n")
    assert code == 0, said
    assert _PASSWORD not in said
    return folder


def _free_port() -> int:
    with socket.socket() as asked:
        asked.bind((_HOST, 0))
        return int(asked.getsockname()[1])


@contextmanager
def _served(folder: Path, *words: str, log: Path, **said: str) -> Iterator[int]:
    port = _free_port()
    with log.open("wb") as out:
        server = subprocess.Popen(
            [*_COMMAND, "serve", "--port", str(port), *words],
            env=_environment(folder, **said),
            stdout=out,
            stderr=out,
            start_new_session=True,
        )
        try:
            _wait_for(port, server)
            yield port
        finally:
            os.killpg(server.pid, signal.SIGTERM)
            server.wait(timeout=20)


def _wait_for(port: int, server: "subprocess.Popen[bytes]") -> None:
    for _ in range(300):
        assert server.poll() is None, "the server stopped by itself"
        with socket.socket() as asked:
            if asked.connect_ex((_HOST, port)) == 0:
                return
        time.sleep(0.1)
    raise AssertionError("no answer within half a minute")


def _other_address() -> str:
    """Return an address of this machine that is not loopback; nothing if it has none."""
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            asked.connect(("192.0.2.1", 9))
            return str(asked.getsockname()[0])
    except OSError:
        return ""


class _Visitor:
    """A browser of few words: it keeps cookies and sends the token of a form."""

    def __init__(self, port: int, *, host: str = _HOST, tls: ssl.SSLContext | None = None) -> None:
        self._port, self._host, self._tls = port, host, tls
        self.cookies: dict[str, str] = {}
        self.set_cookies: list[str] = []

    def ask(
        self, path: str, said: dict[str, str] | None = None, **headers: str
    ) -> tuple[int, dict[str, str], str]:
        connection: http.client.HTTPConnection
        if self._tls:
            connection = http.client.HTTPSConnection(
                self._host, self._port, timeout=60, context=self._tls
            )
        else:
            connection = http.client.HTTPConnection(self._host, self._port, timeout=60)
        sent = {"Cookie": "; ".join(f"{n}={v}" for n, v in self.cookies.items()), **headers}
        body = None
        if said is not None:
            body = urlencode(said)
            sent["Content-Type"] = "application/x-www-form-urlencoded"
            scheme = "https" if self._tls else "http"
            sent.setdefault("Referer", f"{scheme}://{self._host}:{self._port}/")
        connection.request("GET" if body is None else "POST", path, body, sent)
        answer = connection.getresponse()
        text = answer.read().decode("utf-8", "replace")
        for line in answer.headers.get_all("Set-Cookie") or []:
            self.set_cookies.append(line)
            name, value = line.split(";")[0].split("=", 1)
            self.cookies[name] = value
        connection.close()
        return answer.status, {n.casefold(): v for n, v in answer.headers.items()}, text

    def fill_in(self, page: str, to: str, **said: str) -> tuple[int, dict[str, str], str]:
        token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', self.ask(page)[2])
        assert token
        return self.ask(to, {"csrfmiddlewaretoken": token[1], **said})


def _sign_in(visitor: _Visitor, password: str = _PASSWORD) -> int:
    return visitor.fill_in("/sign-in/", "/sign-in/", name="rowan", password=password)[0]


def test_it_listens_to_this_machine_alone_unless_asked(tmp_path: Path) -> None:
    other = _other_address()
    if not other or other.startswith("127."):
        pytest.skip("this machine has no other address to try")
    with _served(tmp_path / "notebook", log=tmp_path / "log") as port:
        assert _Visitor(port).ask("/")[0] == 200
        with socket.socket() as asked:
            asked.settimeout(5)
            assert asked.connect_ex((other, port)) != 0


def test_it_serves_no_network_without_an_organiser_and_says_the_way_out(tmp_path: Path) -> None:
    code, said = _run(tmp_path / "notebook", "serve", "--network", "--unencrypted")
    assert code == 2
    assert "graftwright people add" in said


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (("--network",), "--unencrypted"),
        (("--network", "nursery.local", "--unencrypted"), "--name"),
        (("--network", "--certificate", "none.pem"), "go together"),
        (("--network", "--certificate", "none.pem", "--key", "none.pem"), "no file"),
        (("--unencrypted",), "belong to --network"),
    ],
)
def test_what_does_not_go_together_is_refused(
    notebook: Path, words: tuple[str, ...], reason: str
) -> None:
    code, said = _run(notebook, "serve", *words)
    assert code == 2
    assert reason in said


def test_the_command_keeps_people_and_never_takes_a_password_as_an_argument(
    tmp_path: Path,
) -> None:
    folder = tmp_path / "notebook"
    add = ("people", "add", "Wren", "--initials", "wr")
    assert _run(folder, *add, typed="short\n")[0] == 2
    assert _run(folder, *add, typed=f"{_PASSWORD}\n")[0] == 0
    assert _run(folder, "people", "role", "wren", "organiser")[0] == 0
    code, said = _run(folder, "people", "close", "wren")
    assert (code, "only organiser" in said) == (2, True)
    assert _run(folder, "people", "password", "wren", typed="another of the kind\n")[0] == 0
    assert "organiser" in _run(folder, "people", "list")[1]


def test_on_the_network_it_asks_for_an_account_answers_to_its_names_and_logs_no_secret(
    notebook: Path, tmp_path: Path
) -> None:
    log = tmp_path / "log"
    with _served(notebook, "--network", _HOST, "--unencrypted", log=log) as port:
        visitor = _Visitor(port)
        assert visitor.ask("/promises/")[0] == 302
        assert visitor.ask("/", Host="elsewhere.example")[0] == 400
        assert _sign_in(_Visitor(port), "a wrong password") == 422
        assert _sign_in(visitor) == 302
        assert visitor.ask("/promises/")[0] == 200
        link = visitor.fill_in("/me/", "/me/phone")[2]
        secret = re.search(r"/pair/([\w-]+)/", link)
        assert secret
        _Visitor(port).ask(f"/pair/{secret[1]}/", {})  # a form without its token: it is logged
        phone = _Visitor(port)
        assert phone.fill_in(f"/pair/{secret[1]}/", f"/pair/{secret[1]}/")[0] == 302
        assert _Visitor(port).ask(f"/pair/{secret[1]}/")[0] == 404  # used up: it is logged
        token = visitor.fill_in("/exchange/", "/exchange/token", name="a scale")[2]
        shown = re.search(r'class="secret"><code>([^<]+)', token)
        assert shown
        calendar = visitor.fill_in("/exchange/", "/exchange/calendar", name="wall")[2]
        feed = re.search(r"/feed/([\w-]+)/", calendar)
        assert feed
        program = _Visitor(port)
        assert program.ask("/api/entries", Authorization=f"Bearer {shown[1]}")[0] == 200
        assert program.ask(f"/feed/{feed[1]}x/calendar.ics")[0] == 404
    said = log.read_text(encoding="utf-8")
    assert "/pair/.../" in said  # it was logged, and without the secret
    secrets = [
        _PASSWORD,
        "a wrong password",
        secret[1],
        shown[1],
        feed[1],
        (notebook / "secret-key").read_text(encoding="ascii").strip(),
        *visitor.cookies.values(),
        *phone.cookies.values(),
    ]
    assert [one for one in secrets if one and one in said] == []


def test_over_https_cookies_are_for_https_alone(notebook: Path, tmp_path: Path) -> None:
    certificate, key = tmp_path / "certificate.pem", tmp_path / "key.pem"
    made = ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"]
    made += ["-nodes", "-days", "1", "-subj", "/CN=nursery"]
    made += ["-addext", f"subjectAltName=IP:{_HOST}"]
    try:
        subprocess.run(
            [*made, "-keyout", str(key), "-out", str(certificate)], check=True, capture_output=True
        )
    except FileNotFoundError:
        pytest.skip("openssl is not here to make a certificate")
    words = ("--network", _HOST, "--certificate", str(certificate), "--key", str(key))
    with _served(notebook, *words, log=tmp_path / "log") as port:
        visitor = _Visitor(port, tls=ssl.create_default_context(cafile=str(certificate)))
        assert _sign_in(visitor) == 302
        status, headers, _ = visitor.ask("/")
        assert status == 200
        assert "max-age=" in headers["strict-transport-security"]
    signed_in = [one for one in visitor.set_cookies if one.startswith("__Host-signed-in=")]
    assert signed_in
    assert all(
        "Secure" in one for one in visitor.set_cookies if not one.split(";")[0].endswith('=""')
    )
    assert all("HttpOnly" in one for one in visitor.set_cookies)
