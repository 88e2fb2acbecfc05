"""The bench with wet hands and no signal, in a real browser: few presses, and nothing lost."""

import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright
from pytest_django.live_server_helper import LiveServer

from graftwright.notebook.entries import (
    LabelsCounted,
    RunGrafted,
    StockGrade,
    StocksArrived,
    WoodCut,
)
from graftwright.notebook.entries.wood import StickMeasured
from graftwright.store.append import write, write_many
from graftwright.store.codes import next_codes
from graftwright.store.labels import print_labels
from graftwright.store.models import WrittenEntry
from graftwright.store.read import read_notebook, standings_that_differ
from graftwright.web.sync import bench_data as bench_data_module
from graftwright.web.winter import Winter

from .conftest import DEMO_DAY
from .in_browser import ARGUMENTS, AXE, CHROMIUM, NEEDS_BROWSER, RULES
from .offline_browser import answer_in_turn, wait_until, written
from .sample_plan import SAMPLE
from .small_notebook import Small, write_small

_NOTHING_WAITS = "() => phoneQueue.all().then((all) => all.every((i) => i.state !== 'waiting'))"
_VARIETIES = ("Discovery", "James Grieve", "Keswick Codlin", "Annie Elizabeth", "Newton Wonder")

pytestmark = NEEDS_BROWSER


@pytest.fixture(autouse=True)
def _one_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    answer_in_turn(monkeypatch)


@pytest.fixture(scope="module")
def driver() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def browser(driver: Playwright) -> Iterator[Browser]:
    started = driver.chromium.launch(executable_path=str(CHROMIUM), args=ARGUMENTS)
    yield started
    started.close()


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A phone that was never here before."""
    opened = browser.new_context(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    opened.set_default_timeout(15_000)
    yield opened
    opened.close()


@pytest.fixture
def five_runs(transactional_db: None, monkeypatch: pytest.MonkeyPatch) -> tuple[str, ...]:
    """Five bundles on one lot of 70 stocks, a run of twelve planned from each, labels printed."""
    codes = next_codes(6, today=DEMO_DAY)
    grade = StockGrade(stock="M26", low_mm=7.0, high_mm=9.0)
    write(StocksArrived(happened_on=DEMO_DAY, code=codes[5], arrived_count=70, grade=grade))
    stick = StickMeasured(number=1, length_mm=400.0, base_mm=8.5, tip_mm=6.5, bud_count=9)
    sticks = tuple(replace(stick, number=number) for number in range(1, 11))
    write_many(
        WoodCut(happened_on=DEMO_DAY, code=code, variety=variety, sticks=sticks)
        for code, variety in zip(codes, _VARIETIES, strict=False)
    )
    plan = replace(SAMPLE, season=2009, runs=_runs(codes), joins=_joins(codes))
    print_labels(plan, today=DEMO_DAY)

    def winter_with_the_plan() -> Winter:
        left = tuple(run for run in plan.runs if not _is_made(run.bundle_code))
        return Winter(notebook=read_notebook(), plan=replace(plan, runs=left))

    monkeypatch.setattr(bench_data_module, "this_winter", winter_with_the_plan)
    return codes


def _runs(codes):
    return tuple(
        replace(
            SAMPLE.runs[0],
            number=number + 1,
            bundle_code=code,
            lot_code=codes[5],
            promise_code="",
            place_code="",
            variety=variety,
            stock="M26",
            join_numbers=tuple(range(12)),
        )
        for number, (code, variety) in enumerate(zip(codes, _VARIETIES, strict=False))
    )


def _joins(codes):
    return tuple(
        replace(
            SAMPLE.joins[0],
            number=12 * place + number + 1,
            run_number=place + 1,
            bundle_code=code,
            lot_code=codes[5],
            promise_code="",
        )
        for place, code in enumerate(codes[:5])
        for number in range(12)
    )


def _is_made(bundle_code: str) -> bool:
    return any(run.bundle_code == bundle_code for run in _made())


def _made() -> list[RunGrafted]:
    return [one.entry for one in written("RunGrafted") if isinstance(one.entry, RunGrafted)]


def _open_bench(page: Page, server: LiveServer) -> None:
    """Open the bench with signal and wait until all it needs is on the phone."""
    page.goto(f"{server.url}/bench/run")
    page.locator("#bench-run[data-ready=fresh]").wait_for()
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    kept = "caches.open('pages').then((c) => c.match('/bench/run')).then((r) => Boolean(r))"
    page.wait_for_function(f"() => {kept}")


def _press(page: Page, words: str) -> int:
    page.get_by_role("button", name=words).first.click()
    return 1


def _waiting(page: Page) -> list[dict[str, object]]:
    found = page.evaluate("phoneQueue.all()")
    return [one for one in found if one["state"] in ("waiting", "trying")]


def test_sixty_grafts_in_five_runs_take_fewer_than_twenty_presses(
    context: BrowserContext, live_server: LiveServer, five_runs: tuple[str, ...]
) -> None:
    page = context.new_page()
    _open_bench(page, live_server)
    presses = 0
    for place, variety in enumerate(_VARIETIES):
        expect(page.locator("#bench-head")).to_contain_text(variety)
        presses += _press(page, "All 12 done")
        expect(page.locator("#bench-head")).to_contain_text("Count the labels")
        presses += _press(page, "12 used, 0 left over")
        expect(page.locator("#bench-run")).to_contain_text(f"{place + 1} done today")
    assert presses == 10
    wait_until(lambda: len(_made()) == 5 and len(written("LabelsCounted")) == 5)
    codes = [code for run in _made() for code in run.tree_codes]
    assert len(codes) == len(set(codes)) == len(read_notebook().trees) == 60
    assert [run.bundle_code for run in _made()] == list(five_runs[:5])
    assert standings_that_differ() == []


def test_a_whole_day_without_signal_is_sent_in_order_when_it_is_back(
    context: BrowserContext, live_server: LiveServer, five_runs: tuple[str, ...]
) -> None:
    page = context.new_page()
    _open_bench(page, live_server)
    before = WrittenEntry.objects.count()
    context.set_offline(True)
    page.reload()
    expect(page.get_by_text("No signal: the page as of")).to_be_visible()
    for _ in range(2):
        _press(page, "All 12 done")
        _press(page, "12 used, 0 left over")
    _press(page, "One graft more")
    _press(page, "A cut was spoilt")
    expect(page.locator("#queue-line")).to_contain_text("4 not yet sent")
    assert WrittenEntry.objects.count() == before
    context.set_offline(False)
    wait_until(lambda: len(written("LabelsCounted")) == 2)
    kinds = [row.kind for row in WrittenEntry.objects.order_by("sequence")[before:]]
    assert [kind for kind in kinds if kind != "CodesHandedOut"] == [
        *("RunGrafted", "LabelsCounted", "RunGrafted", "LabelsCounted")
    ]
    expect(page.locator("#queue-line")).to_be_hidden(timeout=20_000)
    expect(page.locator(".bench-number")).to_contain_text("1 of 12")
    expect(page.get_by_role("button", name="Spoilt: 1, one more")).to_be_visible()


def test_undo_takes_the_last_act_back_with_or_without_signal(
    context: BrowserContext, live_server: LiveServer, five_runs: tuple[str, ...]
) -> None:
    page = context.new_page()
    _open_bench(page, live_server)
    context.set_offline(True)
    _press(page, "All 12 done")
    expect(page.locator("#bench-head")).to_contain_text("Count the labels")
    _press(page, "Undo: 12 grafts")
    expect(page.locator("#bench-head")).to_contain_text("Discovery")
    expect(page.locator("#bench-run")).to_contain_text("0 done today")
    context.set_offline(False)
    wait_until(lambda: len(written("EntryWithdrawn")) == 1)
    assert read_notebook().trees == {}
    assert len(_made()) == 1  # nothing is rubbed out


def test_another_bundle_is_not_opened_before_the_labels_are_counted(
    context: BrowserContext, live_server: LiveServer, five_runs: tuple[str, ...]
) -> None:
    page = context.new_page()
    _open_bench(page, live_server)
    _press(page, "All 12 done")
    expect(page.locator("#bench-head")).to_contain_text("Count the labels")
    page.get_by_text("runs to do").click()
    page.get_by_role("button", name="Newton Wonder").click()
    expect(page.locator("#bench-head")).to_contain_text("Count the labels")
    page.get_by_text("Another number").click()
    page.get_by_label("Labels used").fill("11")
    page.get_by_label("Left over").fill("1")
    _press(page, "Labels counted")
    expect(page.locator("#bench-head")).to_contain_text("Newton Wonder")
    wait_until(lambda: len(written("LabelsCounted")) == 1)
    (counted,) = [one.entry for one in written("LabelsCounted")]
    assert isinstance(counted, LabelsCounted)
    assert (counted.used_count, counted.left_over_count) == (11, 1)


def test_a_graft_of_three_parts_is_made_without_signal(
    context: BrowserContext, live_server: LiveServer, five_runs: tuple[str, ...]
) -> None:
    page = context.new_page()
    _open_bench(page, live_server)
    own, between = five_runs[:2]
    context.set_offline(True)
    page.get_by_text("Change this run").click()
    page.get_by_label("Interstem").select_option(own)
    _press(page, "All 12 done")
    expect(page.get_by_role("alert")).to_contain_text("of another bundle than the variety")
    page.get_by_label("Interstem").select_option(between)
    expect(page.locator(".bench-now")).to_contain_text("M26 – James Grieve – Discovery")
    _press(page, "All 12 done")
    context.set_offline(False)
    wait_until(lambda: len(_made()) == 1)
    notebook = read_notebook()
    tree = notebook.trees[_made()[0].tree_codes[0]]
    assert notebook.chain_of(tree) == ("M26", "James Grieve", "Discovery")


def test_without_printed_labels_the_codes_come_from_the_phone_s_own_block(
    context: BrowserContext, live_server: LiveServer, small: Small
) -> None:
    page = context.new_page()
    _open_bench(page, live_server)
    own = page.evaluate("phoneQueue.kept('codes')")
    context.set_offline(True)
    page.get_by_text("runs to do").click()
    _press(page, "A run that is not planned")
    page.get_by_text("Change this run").click()
    page.get_by_label("Bundle").select_option(small.bundle)
    page.get_by_label("Stock lot").select_option(small.lot)
    for _ in range(2):
        _press(page, "One graft more")
    expect(page.locator(".bench-label")).to_contain_text(f"write on the next {own[2]}")
    _press(page, "Write down 2 grafts")
    context.set_offline(False)
    wait_until(lambda: len(_made()) == 1)
    assert _made()[0].tree_codes == tuple(own[:2])


@pytest.fixture
def small(transactional_db: None) -> Small:
    return write_small()


@contextmanager
def _phone_with_a_disk(driver: Playwright, folder: Path) -> Iterator[tuple[BrowserContext, int]]:
    """A browser of its own whose profile stays; it is killed when the block ends."""
    (folder / "DevToolsActivePort").unlink(missing_ok=True)
    process = subprocess.Popen(
        [str(CHROMIUM), *ARGUMENTS, "--headless=new", "--remote-debugging-port=0",
         f"--user-data-dir={folder}", "about:blank"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    try:
        wait_until(lambda: (folder / "DevToolsActivePort").exists())
        port = (folder / "DevToolsActivePort").read_text(encoding="ascii").splitlines()[0]
        connected = driver.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        yield connected.contexts[0], process.pid
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def test_a_browser_killed_in_the_middle_of_a_run_without_signal_loses_nothing(
    driver: Playwright, live_server: LiveServer, five_runs: tuple[str, ...], tmp_path: Path
) -> None:
    with _phone_with_a_disk(driver, tmp_path) as (context, _):
        page = context.new_page()
        _open_bench(page, live_server)
        context.set_offline(True)
        _press(page, "All 12 done")
        _press(page, "12 used, 0 left over")
        for _ in range(7):
            _press(page, "One graft more")
        expect(page.locator(".bench-number")).to_contain_text("7 of 12")
    assert _made() == []
    with _phone_with_a_disk(driver, tmp_path) as (context, _):
        page = context.new_page()
        context.set_offline(True)
        page.goto(f"{live_server.url}/bench/run")
        expect(page.locator("#queue-line")).to_contain_text("2 not yet sent")
        expect(page.locator("#bench-head")).to_contain_text("James Grieve")
        expect(page.locator(".bench-number")).to_contain_text("7 of 12")
        context.set_offline(False)
        wait_until(lambda: len(written("LabelsCounted")) == 1)
    assert [len(run.tree_codes) for run in _made()] == [12]


def test_a_browser_killed_while_it_sends_sends_again_and_counts_once(
    driver: Playwright, live_server: LiveServer, five_runs: tuple[str, ...], tmp_path: Path
) -> None:
    with _phone_with_a_disk(driver, tmp_path) as (context, _):
        # the program takes it in, and its answer never reaches the phone
        context.add_init_script(
            "const ask = fetch; self.fetch = async (address, asking) => {"
            " const answer = await ask(address, asking);"
            " if (String(address).includes('/sync/entries')) throw new Error('cut off');"
            " return answer; };"
        )
        page = context.new_page()
        _open_bench(page, live_server)
        _press(page, "All 12 done")
        wait_until(lambda: len(_made()) == 1)
    with _phone_with_a_disk(driver, tmp_path) as (context, _):
        page = context.new_page()
        page.goto(f"{live_server.url}/bench/run")
        page.wait_for_function(
            "() => phoneQueue.all().then((a) => a.every((i) => i.state !== 'waiting'))"
        )
        expect(page.locator("#bench-run")).to_contain_text("1 done today")
    assert len(_made()) == 1
    assert len(read_notebook().trees) == 12


def test_a_refused_run_stays_on_the_phone_with_its_reason_and_goes_back_to_the_bench(
    context: BrowserContext, live_server: LiveServer, five_runs: tuple[str, ...]
) -> None:
    page = context.new_page()
    _open_bench(page, live_server)
    context.set_offline(True)
    _press(page, "All 12 done")
    expect(page.locator("#queue-line")).to_contain_text("1 not yet sent")
    ready = tuple(page.evaluate("phoneQueue.all()")[0]["line"]["entry"]["tree_codes"])
    write(
        RunGrafted(
            happened_on=DEMO_DAY,
            tree_codes=ready[:1],
            bundle_code=five_runs[0],
            lot_code=five_runs[5],
        )
    )
    context.set_offline(False)
    expect(page.locator("#queue-line")).to_contain_text("1 was refused", timeout=20_000)
    page.get_by_role("link", name="See why").click()
    expect(page.locator("#queue-list")).to_contain_text("none is given twice")
    _press(page, "Take it back to the bench")
    page.locator("#bench-run[data-ready]").wait_for()
    expect(page.locator(".bench-number")).to_contain_text("12")
    page.get_by_text("Change this run").click()
    assert page.get_by_label("Codes, if other labels").input_value().split() == list(ready)


def test_a_phone_whose_clock_is_an_hour_out_is_put_right(
    context: BrowserContext, live_server: LiveServer, five_runs: tuple[str, ...]
) -> None:
    context.add_init_script(
        "const real = Date.now; Date.now = () => real() + 3600000;"
        "const Old = Date; Date = class extends Old {"
        " constructor(...a) { super(...(a.length ? a : [Old.now()])); } };"
    )
    page = context.new_page()
    _open_bench(page, live_server)
    began = datetime.now(UTC)
    _press(page, "All 12 done")
    wait_until(lambda: len(_made()) == 1)
    (run,) = written("RunGrafted")
    assert run.entry.happened_at is not None
    assert abs(run.entry.happened_at - began) < timedelta(minutes=1)
    assert "clock +60 min" in run.device
    expect(page.locator("#queue-line")).to_contain_text("kept and flagged")


@pytest.mark.parametrize("width", [390, 1280])
def test_the_phone_s_pages_are_clean_big_and_no_wider_than_the_window(
    browser: Browser, live_server: LiveServer, five_runs: tuple[str, ...], width: int
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 844}, reduced_motion="reduce")
    page = context.new_page()
    for address in ("/bench/run", "/sync/"):
        page.goto(f"{live_server.url}{address}")
        if address == "/bench/run":
            page.locator("#bench-run[data-ready=fresh]").wait_for()
        for opener in page.locator("main details").all():
            opener.evaluate("one => { one.open = true }")
        page.evaluate(AXE)
        found = page.evaluate(f"axe.run(document, {{runOnly: {RULES}}})")
        assert [(one["id"], one["nodes"][0]["html"][:120]) for one in found["violations"]] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        for button in page.locator("main .deed:visible").all():
            box = button.bounding_box()
            assert box
            assert box["height"] >= 56, button.text_content()
    context.close()


def test_the_address_of_the_server_is_this_machine_s_own(live_server: LiveServer) -> None:
    """The tests above lean on it: browsers take this machine for a secured address."""
    assert urlsplit(live_server.url).hostname in ("localhost", "127.0.0.1")
    assert date(2009, 2, 17) == DEMO_DAY
