"""Ten thousand malformed forms, files and bodies: no fault, no refusal that stored something.

python -m benchmarks.malformed [--cases N] [--seed N] [--json FILE]
"""

import argparse
import json
import os
import random
import sys
import time
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory


def main(arguments: list[str] | None = None) -> int:
    """Send them all to a small notebook and print what came of it; 1 at any fault."""
    parser = argparse.ArgumentParser(prog="malformed", description=__doc__)
    parser.add_argument("--cases", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=2009)
    parser.add_argument("--json", type=Path, metavar="FILE")
    asked = parser.parse_args(arguments)
    with TemporaryDirectory(prefix="graftwright-") as scratch:
        os.environ |= {"GRAFTWRIGHT_NOTEBOOK": scratch, "GRAFTWRIGHT_DAY": "2009-02-17"}
        import_module("graftwright.cli.folder").open_notebook()
        found = _send(asked.cases, random.Random(asked.seed))
    text = json.dumps({"seed": asked.seed, **found}, indent=1, ensure_ascii=False)
    if asked.json:
        asked.json.write_text(text + "\n", encoding="utf-8")
    print(text)
    return 1 if found["faults"] else 0


def _send(case_count: int, rng: random.Random) -> dict[str, object]:
    begun = time.monotonic()
    vars(import_module("graftwright.web.api.rate"))["CALLS_PER_S"] = 1e9
    nursery = import_module("benchmarks.malformed_nursery").nursery()
    for _ in range(case_count):
        nursery.case(rng)
    wrong = [one.what for one in import_module("graftwright.store.checking").findings()]
    told = nursery.told
    return {
        "case_count": sum(told.tried.values()),
        "form_count": len(nursery.forms),
        "tried": told.tried,
        "statuses": told.statuses,
        "faults": sorted({*told.faults, *wrong}),
        "took_s": round(time.monotonic() - begun),
    }


if __name__ == "__main__":
    sys.exit(main())
