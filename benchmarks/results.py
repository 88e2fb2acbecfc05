"""The results kept from run to run: each part's figures, with the day, the machine and the time."""

import json
import os
import platform
import sys
from collections.abc import Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from typing import Any

from benchmarks.figures import Figure

_LIBRARIES = ("django", "numpy", "scipy", "highspy", "reportlab")
Kept = dict[str, dict[str, Any]]


def read_results(path: Path) -> Kept:
    """Return what is kept, by the name of the part; nothing where no file is."""
    if not path.exists():
        return {}
    kept: Kept = json.loads(path.read_text(encoding="utf-8"))
    return kept


def keep(
    path: Path, name: str, rows: Sequence[dict[str, Any]], *, took_s: float, failed: str = ""
) -> None:
    """Put a part's figures in place of those kept before, whole or not at all."""
    kept = read_results(path)
    kept[name] = {
        "machine": machine(),
        "load": round(os.getloadavg()[0], 1) if hasattr(os, "getloadavg") else None,
        "measured_at": datetime.now(UTC).isoformat(timespec="minutes"),
        "took_s": round(took_s),
        "failed": failed,
        "figures": list(rows),
    }
    fresh = path.with_suffix(".new")
    fresh.write_text(json.dumps(dict(sorted(kept.items())), indent=1) + "\n", encoding="utf-8")
    fresh.replace(path)


def figures_of(kept: Kept, name: str) -> list[Figure]:
    """Return the figures kept of a part."""
    return [Figure(**row) for row in kept.get(name, {}).get("figures", ())]


def as_rows(figures: Sequence[Figure]) -> list[dict[str, Any]]:
    """Return figures as they are kept."""
    return [asdict(one) for one in figures]


def machine() -> str:
    """Say what the machine is, without its name or any place on it."""
    libraries = ", ".join(f"{name} {version(name)}" for name in _LIBRARIES)
    python = ".".join(map(str, sys.version_info[:3]))
    return (
        f"{_processor()}, {os.cpu_count()} cores, {_memory()}{platform.system()}, "
        f"Python {python}, {libraries}"
    )


def _processor() -> str:
    try:
        text = Path("/proc/cpuinfo").read_text(encoding="utf-8")
        return next(s.split(":")[1].strip() for s in text.splitlines() if s.startswith("model n"))
    except (OSError, StopIteration):
        return platform.processor() or platform.machine()


def _memory() -> str:
    try:
        size = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, OSError, ValueError):
        return ""
    return f"{size / 2**30:.0f} GiB of memory, "
