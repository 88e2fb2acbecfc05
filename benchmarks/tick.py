"""The time a tick on the day's list takes, beside the same tick with nothing kept from before.

    python -m benchmarks.tick

The invented nursery stands on 20 May 2008, 129 grafts in leaf. Each job of the list that a tick
completes is ticked and taken back, kept and anew in turn; the middle of each is given.
"""

import argparse
import os
import sys
import time
from statistics import median
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from benchmarks.figures import Figure, as_json, table
from graftwright.cli.folder import open_notebook

if TYPE_CHECKING:
    from django.test import Client

DAY = "2008-05-20"
_TIMES = 5


def figures() -> list[Figure]:
    """Measure ticks on a notebook of its own."""
    with TemporaryDirectory(prefix="graftwright-") as name:
        os.environ["GRAFTWRIGHT_NOTEBOOK"], os.environ["GRAFTWRIGHT_DAY"] = name, DAY
        open_notebook()
        kept_ms, anew_ms = _measured()
    return [
        Figure(
            what=f"tick on the day's list ({len(kept_ms)} ticks, longest {max(kept_ms):.0f} ms)",
            measured=median(kept_ms),
            unit="ms",
            baseline=median(anew_ms),
            baseline_words="the same with plan, weather and notebook worked out anew, same run",
        )
    ]


def _measured() -> tuple[list[float], list[float]]:
    # The store may be loaded only after Django is set up on the folder.
    from datetime import date  # noqa: PLC0415

    from django.test import Client  # noqa: PLC0415

    from graftwright.demo import entries_until  # noqa: PLC0415
    from graftwright.store import read  # noqa: PLC0415
    from graftwright.store.append import write_many  # noqa: PLC0415
    from graftwright.web.today import kept  # noqa: PLC0415
    from graftwright.web.winter import winters_kept  # noqa: PLC0415

    write_many(entries_until(date.fromisoformat(DAY)), written_by="demo")
    client, kept_ms, anew_ms = Client(), [], []
    client.get("/")
    for turn in range(2 * _TIMES):
        job = _next_job(turn // 2)
        is_anew = turn % 2 == 1
        if is_anew:
            winters_kept.forget()
            for one in (kept._last_ground, read._last_read):
                one.clear()
        started = time.perf_counter()
        answer = client.post("/today/tick", {"job": job}, headers={"HX-Request": "true"})
        (anew_ms if is_anew else kept_ms).append(1000.0 * (time.perf_counter() - started))
        if answer.status_code != 200:
            raise SystemExit(f"a tick answered {answer.status_code}; expected 200")
        _take_back(client)
    return kept_ms, anew_ms


def _next_job(number: int) -> str:
    """The key of a job that a tick completes; each kind in its turn."""
    from graftwright.web.today.jobs import days_jobs, key_of  # noqa: PLC0415
    from graftwright.web.today.ticks import tick_of  # noqa: PLC0415

    jobs = [job for job in days_jobs().jobs if tick_of(job)]
    return key_of(jobs[number % len(jobs)])


def _take_back(client: "Client") -> None:
    from graftwright.store.models import WrittenEntry  # noqa: PLC0415

    last = WrittenEntry.objects.order_by("-sequence").first()
    if last is not None:
        client.post(f"/today/{last.entry_id}/take-back")


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    found = figures()
    sys.stdout.write(as_json(found) if parser.parse_args().json else table(found))


if __name__ == "__main__":
    main()
