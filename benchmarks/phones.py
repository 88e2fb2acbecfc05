"""Eight phones at once bring what they wrote down: entries a second, and that none is lost.

    python -m benchmarks.phones [--size 10000] [--phones 8] [--seconds 10]

The real server is started on a folder of its own, on an invented nursery of the size asked for.
Each phone sends queues of a stated length one after another, as its pages do; then every entry that
was answered as kept is looked for in the record, and what stands is held against the record.
"""

import argparse
import json
import os
import subprocess
import sys
import threading
import time
from http.client import HTTPConnection
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from uuid import uuid4

from benchmarks.figures import Figure, as_json, table
from benchmarks.invented_years import LAST_DAY, InventedYears
from graftwright.cli.folder import open_notebook

_QUEUES = (1, 10, 50)
_PORT = 8931
_TO_REACH_PER_S = 200.0


class Phone(threading.Thread):
    """One phone: its own connection and cookie, queue after queue until the time is over."""

    def __init__(self, number: int, codes: list[str], queue_count: int, until: float) -> None:
        super().__init__()
        self._name, self._codes = f"phone {number:04x}", codes
        self._queue_count, self._until = queue_count, until
        self.kept_ids: list[str] = []
        self.answers_ms: list[float] = []
        self.refused_words = ""

    def run(self) -> None:
        """Send until the time is over."""
        connection = HTTPConnection("127.0.0.1", _PORT, timeout=60)
        connection.request("GET", "/sync/hello")
        hello = connection.getresponse()
        cookie = str(hello.headers["Set-Cookie"]).split(";")[0]
        token = str(json.loads(hello.read())["token"])
        sent_count = 0
        while time.perf_counter() < self._until:
            lines = [self._line(sent_count + place) for place in range(self._queue_count)]
            sent_count += self._queue_count
            self._send(connection, lines, cookie, token)

    def _line(self, number: int) -> dict[str, object]:
        now = time.time()
        entry = {
            "happened_on": LAST_DAY.isoformat(),
            "tree_codes": [self._codes[number % len(self._codes)]],
        }
        kind = "TreeSeen"
        if number % 2:
            kind = "TakeJudged"
            entry |= {"scion": "growing", "stock": "alive"}
        at = time.strftime("%Y-%m-%dT%H:%M:%S+00:00", time.gmtime(now))
        return {"entry_id": str(uuid4()), "written_at": at, "kind": kind, "entry": entry}

    def _send(
        self, connection: HTTPConnection, lines: list[dict[str, object]], cookie: str, token: str
    ) -> None:
        body = {
            "device": self._name,
            "entries": lines,
            "phone_now_ms": int(1000 * time.time()),
        }
        heads = {"Content-Type": "application/json", "Cookie": cookie, "X-CSRFToken": token}
        started = time.perf_counter()
        connection.request("POST", "/sync/entries", json.dumps(body), heads)
        answer = connection.getresponse()
        text = answer.read()
        self.answers_ms.append(1000.0 * (time.perf_counter() - started))
        if answer.status != 200:
            raise SystemExit(f"/sync/entries answered {answer.status}: {text[:300]!r}")
        for one in json.loads(text)["answers"]:
            if one["answer"].startswith("kept"):
                self.kept_ids.append(one["entry_id"])
            else:
                self.refused_words = one["words"]


def figures(size: int, *, phones_count: int, seconds: float) -> list[Figure]:
    """Measure queues of each length against one running server."""
    with TemporaryDirectory(prefix="graftwright-") as name:
        os.environ["GRAFTWRIGHT_NOTEBOOK"] = name
        os.environ["GRAFTWRIGHT_DAY"] = LAST_DAY.isoformat()
        open_notebook()
        codes = _filled(size)
        server = _server(Path(name))
        try:
            return [
                _queues(
                    codes, queue_count, phones_count=phones_count, seconds=seconds, pid=server.pid
                )
                for queue_count in _QUEUES
            ]
        finally:
            server.terminate()
            server.wait(timeout=20)


def _filled(size: int) -> list[str]:
    from benchmarks.bulk_rows import write_in_bulk  # noqa: PLC0415 (after Django is set up)
    from graftwright.store.models import Standing  # noqa: PLC0415

    write_in_bulk(InventedYears(size).written())
    trees = Standing.objects.filter(kind="tree", season__gte=LAST_DAY.year - 2)
    return list(trees.order_by("key").values_list("key", flat=True))


def _server(folder: Path) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "graftwright.cli.main", "serve", "--port", str(_PORT)]
    command += ["--notebook", str(folder), "--day", LAST_DAY.isoformat()]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    for _ in range(300):
        try:
            connection = HTTPConnection("127.0.0.1", _PORT, timeout=5)
            connection.request("GET", "/sync/hello")
            if connection.getresponse().status == 200:
                return server
        except OSError:
            time.sleep(0.1)
    raise SystemExit("the server did not answer within 30 s")


def _queues(
    codes: list[str], queue_count: int, *, phones_count: int, seconds: float, pid: int
) -> Figure:
    from graftwright.store.models import WrittenEntry  # noqa: PLC0415
    from graftwright.store.read import standings_that_differ  # noqa: PLC0415

    started, cpu_s = time.perf_counter(), _cpu_s(pid)
    phones = [
        Phone(number, codes[number::phones_count], queue_count, started + seconds)
        for number in range(1, phones_count + 1)
    ]
    for one in phones:
        one.start()
    for one in phones:
        one.join()
    taken_s, cpu_s = time.perf_counter() - started, _cpu_s(pid) - cpu_s
    kept = [entry_id for one in phones for entry_id in one.kept_ids]
    here = {str(one) for one in WrittenEntry.objects.values_list("entry_id", flat=True)}
    if lost := set(kept) - here:
        raise SystemExit(f"{len(lost)} entries were answered as kept and are not in the record")
    if refused := next((one.refused_words for one in phones if one.refused_words), ""):
        raise SystemExit(f"an entry was refused: {refused}")
    if wrong := standings_that_differ():
        raise SystemExit(f"{len(wrong)} things do not stand as the record says: {wrong[:3]}")
    answers = [one for phone in phones for one in phone.answers_ms]
    return Figure(
        what=f"{phones_count} phones, queues of {queue_count}: entries a second, none lost",
        measured=len(kept) / taken_s,
        unit="/s",
        baseline=_TO_REACH_PER_S,
        baseline_words=f"figure to reach; an answer takes {median(answers):.0f} ms (middle), "
        f"an entry {1000.0 * cpu_s / len(kept):.1f} ms of processor time",
    )


def _cpu_s(pid: int) -> float:
    """Processor time of a process and those it started, where the system tells."""
    found = 0.0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rpartition(")")[2].split()
        except OSError:
            continue  # it ended meanwhile
        if pid in (int(fields[1]), int(stat.parent.name)):
            found += (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    return found


def main(arguments: list[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="benchmarks.phones", description=__doc__)
    parser.add_argument("--size", type=int, default=10_000, help="entries there before")
    parser.add_argument("--phones", type=int, default=8)
    parser.add_argument("--seconds", type=float, default=10.0, help="time for each queue length")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    asked = parser.parse_args(arguments)
    found = figures(asked.size, phones_count=asked.phones, seconds=asked.seconds)
    print(as_json(found) if asked.json else table(found))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
