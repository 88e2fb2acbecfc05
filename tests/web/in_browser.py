"""What every test in a browser needs: Chromium, how it starts, and how pages are judged."""

import os
from pathlib import Path

import pytest

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = [
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
]
NEEDS_BROWSER = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        not CHROMIUM.exists() and not os.environ.get("CI"), reason="Chromium is not here"
    ),
]
AXE = (Path(__file__).parent / "vendor" / "axe.min.js").read_text(encoding="utf-8")
RULES = "['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice']"
