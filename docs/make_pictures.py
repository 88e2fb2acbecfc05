"""Make the pictures of the documents from the invented nursery, so that they never go stale.

Run from the project's root after `make test` has set things up:
    .venv/bin/python docs/make_pictures.py
Chromium must be installed.
"""

import os
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import Page, sync_playwright

_PICTURES = Path(__file__).parent / "pictures"
_PORT = 8137
_SHOTS = (
    # file, address, day, width, height
    ("plan-wide.png", "/plan/", "2009-02-17", 1280, 1000),
    ("today-phone.png", "/", "2008-05-20", 390, 844),
    ("lessons-wide.png", "/lessons/", "2009-02-17", 1280, 1000),
    ("under-cover-wide.png", "/cover/", "2008-04-10", 1280, 1000),
    ("labels-wide.png", "/paper/labels", "2009-02-17", 1280, 1000),
    ("exchange-phone.png", "/exchange/", "2009-02-17", 390, 844),
)
_PAPERS = (
    # file, address, day: the first page of a paper
    ("season-report.png", "/paper/season-report-2008.pdf", "2009-02-17"),
    ("run-sheet.png", "/paper/run-sheets.pdf", "2009-02-17"),
    ("cut-sheet.png", "/paper/cut-sheet.pdf", "2009-02-17"),
)
_CHROMIUM = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]  # fmt: skip


def main() -> None:
    """Serve the demo on each day that a picture needs and take the pictures."""
    _PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=os.environ.get("CHROMIUM", "/usr/bin/chromium"), args=_CHROMIUM
        )
        for day in dict.fromkeys(shot[2] for shot in _SHOTS):
            with _served(Path(folder) / day, day):
                for name, address, of_day, width, height in _SHOTS:
                    if of_day == day:
                        page = browser.new_page(viewport={"width": width, "height": height})
                        _take(page, address, _PICTURES / name)
                        page.close()
                for name, address, of_day in _PAPERS:
                    if of_day == day:
                        _take_paper(address, _PICTURES / name)
        browser.close()


def _take(page: Page, address: str, path: Path) -> None:
    page.goto(f"http://127.0.0.1:{_PORT}{address}", wait_until="networkidle")
    page.screenshot(path=path)
    _save_small(Image.open(path), path)


def _take_paper(address: str, path: Path) -> None:
    with urllib.request.urlopen(f"http://127.0.0.1:{_PORT}{address}", timeout=120) as answer:
        first = pypdfium2.PdfDocument(answer.read())[0]
    _save_small(first.render(scale=1.4).to_pil(), path)


def _save_small(picture: Image.Image, path: Path) -> None:
    # few colours are enough for ink on paper, and keep the pictures small
    picture.convert("RGB").quantize(64).save(path, optimize=True)
    print(path)


class _served:
    """The demo's pages served while the block runs."""

    def __init__(self, notebook: Path, day: str) -> None:
        self._common = ["--notebook", str(notebook), "--day", day]
        self._papers = str(notebook.with_suffix(".papers"))

    def __enter__(self) -> None:
        command = [sys.executable, "-m", "graftwright.cli.main"]
        subprocess.run(
            [*command, "demo", *self._common, "--papers", self._papers, "--no-serve"],
            check=True, stdout=subprocess.DEVNULL,
        )  # fmt: skip
        self._server = subprocess.Popen([*command, "serve", *self._common, "--port", str(_PORT)])
        for _ in range(100):
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{_PORT}/", timeout=5).close()
            except OSError:
                time.sleep(0.2)
            else:
                return
        raise RuntimeError("the pages did not come up within twenty seconds")

    def __exit__(self, *_: object) -> None:
        self._server.terminate()
        self._server.wait()


if __name__ == "__main__":
    main()
