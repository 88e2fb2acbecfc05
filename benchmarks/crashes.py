"""Killed without warning at 200 random moments: what was acknowledged is there, nothing is half.

    python -m benchmarks.crashes [--short] [--json FILE] [--seed N]

Forty kills of a real server with four clients, 121 of two writers in the middle of a
transaction, and 39 of a backup, a restore and a replay under way. After each the notebook is
proved with `graftwright check`. Moments are drawn from the seed.
"""

import argparse
import json
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from benchmarks.crash_clients import COMMAND, kill_server_once

_WRITERS = (sys.executable, "-m", "benchmarks.crash_writers")


@dataclass(slots=True)
class Outcome:
    """What a run of kills found. `wrong` holds a line for each fault."""

    seed: int
    server_kill_count: int = 0
    writer_kill_count: int = 0
    command_kill_count: int = 0
    acknowledged_count: int = 0
    wrong: list[str] = field(default_factory=list)
    took_s: float = 0.0

    @property
    def kill_count(self) -> int:
        """How often something was killed."""
        return self.server_kill_count + self.writer_kill_count + self.command_kill_count


def run(
    folder: Path, *, seed: int, servers: int, writers: int, commands: int, progress: bool = False
) -> Outcome:
    """Kill so often of each sort; `commands` is for each of backup, restore and replay."""
    outcome, rng, begun = Outcome(seed=seed), random.Random(seed), time.monotonic()
    kill_servers(folder / "served", rng, servers, outcome, progress=progress)
    kill_writers(folder / "written", rng, writers, outcome)
    _say(progress, f"{writers} writers killed")
    kill_commands(folder / "written", rng, commands, outcome)
    outcome.took_s = round(time.monotonic() - begun, 1)
    return outcome


def kill_servers(
    notebook: Path, rng: random.Random, count: int, outcome: Outcome, *, progress: bool = False
) -> None:
    """Kill a server so often; each start reads what the kill before it left."""
    acknowledged: set[str] = set()
    for number in range(count):
        answered = kill_server_once(notebook, rng)
        acknowledged |= answered.ids
        outcome.wrong += [f"server {number}: {one}" for one in answered.faults]
        outcome.server_kill_count += 1
        lost = acknowledged - entry_ids(notebook)
        outcome.wrong += [f"server {number}: {one} is gone" for one in sorted(lost)]
        outcome.wrong += [f"server {number}: {one}" for one in _check(notebook)]
        _say(progress, f"server {number + 1} of {count}: {len(acknowledged)} acknowledged")
    outcome.acknowledged_count += len(acknowledged)


def kill_writers(notebook: Path, rng: random.Random, count: int, outcome: Outcome) -> None:
    """Kill two writers so often in the middle of what they do."""
    done = subprocess.run(
        [*_WRITERS, str(notebook), str(rng.randrange(10**6)), str(count)],
        capture_output=True,
        text=True,
    )
    if done.returncode:
        outcome.wrong.append(f"writers: {done.stderr[-300:]}")
        return
    found = json.loads(done.stdout)
    outcome.writer_kill_count += count
    outcome.acknowledged_count += found["acknowledged_count"]
    outcome.wrong += found["wrong"]


def kill_commands(notebook: Path, rng: random.Random, count: int, outcome: Outcome) -> None:
    """Kill a backup, a restore and a replay so often each, at any moment of their way."""
    backups, restored = notebook.parent / "backups", notebook.parent / "restored"
    here = ["--notebook", str(notebook)]
    before = entry_ids(notebook)
    backup_s = _time([*COMMAND, "backup", str(backups), *here])
    (good,) = _good(backups)
    restore_s = _time([*COMMAND, "restore", str(good), "--notebook", str(restored / "whole")])
    replay_s = _time([*COMMAND, "replay", *here])
    for number in range(count):
        _kill([*COMMAND, "backup", str(backups), *here], rng.uniform(0.2, backup_s))
        for file in _good(backups):
            outcome.wrong += _read_back(file, restored / f"back-{number}-{file.name}", before)
        there = restored / f"there-{number}"
        _kill([*COMMAND, "restore", str(good), "--notebook", str(there)], _at(rng, restore_s))
        if there.exists() and entry_ids(there) != before:
            outcome.wrong.append(f"restore {number}: there in part")
        _kill([*COMMAND, "replay", *here], _at(rng, replay_s))
        outcome.wrong += [f"replay {number}: {one}" for one in _check(notebook)]
        outcome.command_kill_count += 3
    if entry_ids(notebook) != before:
        outcome.wrong.append("commands: the record is another than before")


def entry_ids(notebook: Path) -> set[str]:
    """Return the ids of the entries in a notebook's database, read without the program."""
    with sqlite3.connect(notebook / "notebook.sqlite3") as plain:
        rows = plain.execute("SELECT entry_id FROM store_writtenentry").fetchall()
    return {f"{i[:8]}-{i[8:12]}-{i[12:16]}-{i[16:20]}-{i[20:]}" for (i,) in rows}


def _at(rng: random.Random, whole_s: float) -> float:
    return rng.uniform(whole_s / 4, whole_s)


def _time(command: list[str]) -> float:
    begun = time.monotonic()
    subprocess.run(command, check=True, capture_output=True)
    return time.monotonic() - begun


def _kill(command: list[str], after_s: float) -> None:
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        running.wait(timeout=after_s)
    except subprocess.TimeoutExpired:
        running.send_signal(signal.SIGKILL)
        running.wait()


def _good(backups: Path) -> list[Path]:
    return [file for file in sorted(backups.glob("notebook-*Z.jsonl")) if file.is_file()]


def _read_back(file: Path, into: Path, right: set[str]) -> list[str]:
    """Return what is wrong with a copy that bears a good one's name."""
    done = subprocess.run(
        [*COMMAND, "restore", str(file), "--notebook", str(into)], capture_output=True, text=True
    )
    if done.returncode or entry_ids(into) != right:
        return [f"{file.name} is called good and is not: {done.stderr[-200:]}"]
    return []


def _check(notebook: Path) -> list[str]:
    done = subprocess.run(
        [*COMMAND, "check", "--notebook", str(notebook)], capture_output=True, text=True
    )
    return [] if done.returncode == 0 else [done.stdout[:300] + done.stderr[-300:]]


def _say(progress: bool, words: str) -> None:
    if progress:
        print(f"{datetime.now():%H:%M:%S} {words}", file=sys.stderr)  # noqa: DTZ005 (for a person)


def main(arguments: list[str] | None = None, *, runs: Callable[..., Outcome] = run) -> int:
    """Kill 200 times and print what came of it; 1 if anything was lost or half."""
    parser = argparse.ArgumentParser(prog="crashes", description=__doc__)
    parser.add_argument("--short", action="store_true", help="twelve kills in place of 200")
    parser.add_argument("--json", type=Path, metavar="FILE")
    parser.add_argument("--seed", type=int, default=2009)
    asked = parser.parse_args(arguments)
    counts = (3, 6, 1) if asked.short else (40, 121, 13)
    with TemporaryDirectory(prefix="graftwright-") as scratch:
        outcome = runs(
            Path(scratch),
            seed=asked.seed,
            servers=counts[0],
            writers=counts[1],
            commands=counts[2],
            progress=True,
        )
    text = json.dumps({"kill_count": outcome.kill_count, **asdict(outcome)}, indent=1)
    if asked.json:
        asked.json.write_text(text + "\n", encoding="utf-8")
    print(text)
    return 1 if outcome.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
