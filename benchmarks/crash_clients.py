"""A real server with several clients writing, killed whole; and what had been acknowledged."""

import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from urllib.parse import urlencode
from uuid import uuid4

COMMAND = (sys.executable, "-m", "graftwright.cli.main")
_READY_WITHIN_S = 60.0
_FORM = {"Content-Type": "application/x-www-form-urlencoded"}
_KEPT = {"kept", "kept and flagged", "already here"}


@dataclass(slots=True)
class Acknowledged:
    """The ids of entries for which an answer had come."""

    ids: set[str] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def add(self, entry_id: str) -> None:
        """Note one that was answered for."""
        with self.lock:
            self.ids.add(entry_id)


class Client:
    """A phone that writes one entry or form after another for as long as somebody answers."""

    def __init__(self, port: int, name: str, acknowledged: Acknowledged) -> None:
        self._http = HTTPConnection("127.0.0.1", port, timeout=30)
        self._name = name
        self._acknowledged = acknowledged
        self._token = self._cookie = ""
        self._codes: list[str] = []

    def run(self, write: Callable[["Client"], None]) -> None:
        """Write until the server is gone."""
        try:
            answer = self._http
            answer.request("GET", "/sync/hello")
            found = answer.getresponse()
            self._cookie = (found.getheader("Set-Cookie") or "").partition(";")[0]
            self._token = json.loads(found.read())["token"]
            while True:
                write(self)
        except (OSError, HTTPException):
            return
        except (AssertionError, ValueError, KeyError) as fault:
            self._acknowledged.faults.append(repr(fault))

    def bring_entry(self) -> None:
        """Bring a promise as an entry of the phone's own."""
        if not self._codes:
            asked = urlencode({"device": self._name, "count": 40})
            self._codes = json.loads(self._post("/sync/codes", asked, _FORM))["codes"]
        entry_id, now = str(uuid4()), datetime.now(UTC)
        entry: dict[str, object] = {
            "happened_on": now.date().isoformat(),
            "code": self._codes.pop(),
            "who": "Harrow Fold",
            "variety": "Discovery",
            "stock": "M26",
            "wanted_count": 2,
        }
        line = {
            "entry_id": entry_id,
            "written_at": now.isoformat(),
            "kind": "PromiseMade",
            "entry": entry,
        }
        answer = self._post_json("/sync/entries", {"device": self._name, "entries": [line]})
        for one in json.loads(answer)["answers"]:
            if one["answer"] in _KEPT:
                self._acknowledged.add(one["entry_id"])

    def send_form(self) -> None:
        """Send the form of a promise as the queue does."""
        sending_id, now_ms = str(uuid4()), str(round(time.time() * 1000))
        form = {
            "who": "The school",
            "wanted_count": "3",
            "variety": "James Grieve",
            "stock": "M26",
            "sureness_percent": "90",
            "priority": "2",
        }
        heads = {
            **_FORM,
            "X-Sending-Id": sending_id,
            "X-Made-At": now_ms,
            "X-Phone-Now": now_ms,
            "X-Known-Offset": "",
            "X-Zone-Minutes": "0",
            "X-Device": self._name,
        }
        answer = self._post("/promises/make", urlencode(form), heads)
        if json.loads(answer)["answer"] in _KEPT:
            self._acknowledged.add(sending_id)

    def _post_json(self, address: str, body: dict[str, object]) -> bytes:
        return self._post(address, json.dumps(body), {"Content-Type": "application/json"})

    def _post(self, address: str, body: str, heads: dict[str, str]) -> bytes:
        heads = {**heads, "Cookie": self._cookie, "X-CSRFToken": self._token}
        self._http.request("POST", address, body, heads)
        answer = self._http.getresponse()
        content = answer.read()
        if answer.status == 503:  # busy: not acknowledged, sent again later
            raise HTTPException("busy")
        if answer.status != 200:
            raise AssertionError(f"{address} answered {answer.status}: {content[:300]!r}")
        return content


def kill_server_once(folder: Path, rng: random.Random) -> Acknowledged:
    """Serve a notebook, let four clients write, kill all of it; return what was acknowledged."""
    port = _free_port()
    server = start_server(folder, port)
    acknowledged = Acknowledged()
    writers = [Client.bring_entry, Client.bring_entry, Client.send_form, Client.send_form]
    threads = [
        threading.Thread(
            target=Client(port, f"phone 00{number:02x}", acknowledged).run, args=(write,)
        )
        for number, write in enumerate(writers)
    ]
    try:
        for thread in threads:
            thread.start()
        begun = time.monotonic()
        while not acknowledged.ids and time.monotonic() - begun < _READY_WITHIN_S:
            time.sleep(0.002)
        time.sleep(rng.uniform(0.0, 1.0))
    finally:
        os.killpg(server.pid, signal.SIGKILL)
        server.wait()
    for thread in threads:
        thread.join(timeout=40)
    return acknowledged


def start_server(folder: Path, port: int, *words: str) -> "subprocess.Popen[bytes]":
    """Start `graftwright serve` in a process group of its own and wait until it answers."""
    server = subprocess.Popen(
        [*COMMAND, "serve", "--port", str(port), "--notebook", str(folder), *words],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    begun = time.monotonic()
    while time.monotonic() - begun < _READY_WITHIN_S:
        try:
            http = HTTPConnection("127.0.0.1", port, timeout=10)
            http.request("GET", "/sync/hello")
            if http.getresponse().status == 200:
                return server
        except OSError:
            time.sleep(0.05)
    os.killpg(server.pid, signal.SIGKILL)
    raise AssertionError("the server did not answer within a minute")


def _free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port: int = taken.getsockname()[1]
    return port
