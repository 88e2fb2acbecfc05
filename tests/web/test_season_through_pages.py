"""A whole season of the invented nursery, played through the pages and kept in a second ledger.

The ledger is a plain table that the script fills as a person would on paper, tree by tree; it knows
nothing of entries or replay. At the end the notebook must say the same of every tree.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from gettext import NullTranslations
from uuid import UUID

import pytest
from django.test import Client

from graftwright.demo import DEFAULT_DAY, demo_workbook, entries_until
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.entries import Written
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.season.job import Job
from graftwright.store.append import add_written
from graftwright.store.models import WrittenEntry
from graftwright.store.read import all_written, read_notebook, standings_that_differ
from graftwright.web import language as of_pages
from graftwright.web.spreadsheet.entering import enter_reading
from graftwright.web.today.jobs import days_jobs, key_of

RUN_SIZE, RUN_COUNT = 60, 3
BY_PAGES = {
    *("AutopsyMade", "BenchDayClosed", "BindingLoosened", "BindingOff", "BudsMoved"),
    *("BundleChecked", "BundleMoved", "Caned", "CertaintyJudged", "DamageNoted", "EvidenceNoted"),
    *("EntryCorrected", "EntryWithdrawn", "FruitedAs", "Graded", "GrowthMeasured"),
    *("HardeningBegun", "HealthNoted", "JobGiven", "JobPutOff", "LabelsCounted"),
    *("LimbGirthMeasured", "LimbRemoved"),
    *("NameDecided", "NoteWritten", "PartJudged", "PermissionRecorded", "PlaceLimitsSet"),
    *("PlaceWatered", "Planted", "PottedOn", "PracticeSet", "PromiseMade", "PromiseWithdrawn"),
    *("RainMeasured", "RescuePlanned", "Reworked", "RunGrafted", "ScionDied", "ShootsThinned"),
    *("StockCarriedOver", "StockCutBack", "StockDied", "StockShootKept", "StockShootsOff"),
    *("StocksArrived", "StocksChecked", "StocksLost", "StocksMeasured", "TakeJudged"),
    *("TreeAllocated", "TreeHandedOver", "TreeMoved", "TreeSeen", "UnionBroke", "VarietyAdded"),
    "WoodCut",
}
"""What a season asks to be written; each must have been written by a page of the program."""


@dataclass
class Line:
    """A tree in the second ledger."""

    scion: str = "waiting"
    stock: str = "alive"
    place: str = ""
    growth_mm: float = 0.0
    pot_litres: float = 0.0
    caned: bool = False
    shoots: int = 0
    bound: bool = True
    budded: bool = False
    gone_to: str = ""
    carried: bool = False
    broken: bool = False
    seen_on: date | None = None


@dataclass
class Hand:
    """Somebody with a browser, and the paper ledger beside it."""

    client: Client
    settings: object
    ledger: dict[str, Line] = field(default_factory=dict)
    day: date = DEFAULT_DAY

    def on(self, day: date) -> None:
        self.day = day
        self.settings.STAND_ON = day  # type: ignore[attr-defined]

    def notebook(self) -> Notebook:
        return read_notebook()

    def post(self, address: str, data: dict[str, object]) -> str:
        answer = self.client.post(address, data)
        body = answer.content.decode()
        assert answer.status_code in (200, 302), (address, answer.status_code, body[-3000:])
        return body

    def write(self, code: str, deed: str, **data: object) -> None:
        data.setdefault("happened_on", f"{self.day}")
        sent = {f"{deed}-{name}": value for name, value in data.items()}
        answer = self.client.post(f"/trees/{code}/write/{deed}", sent)
        assert answer.status_code == 302, (code, deed, answer.content.decode()[-3000:])

    def sheet(self, what: str, codes: Sequence[str], **data: object) -> None:
        whole = {"happened_on": f"{self.day}", "trees": " ".join(codes), **data}
        answer = self.client.post(f"/results/{what}", whole)
        assert answer.status_code == 302, (what, answer.content.decode()[-3000:])

    def jobs(self, name: str) -> Iterator[Job]:
        """Yield the day's jobs of a name, one after the other, as the list stands each time."""
        done: set[str] = set()
        while True:
            found = [j for j in days_jobs().jobs if j.name == name and key_of(j) not in done]
            if not found:
                return
            done.add(key_of(found[0]))
            yield found[0]

    def tick(self, name: str, *, but: Sequence[str] = ()) -> tuple[str, ...]:
        """Tick every job of a name on the list, and return the codes ticked."""
        ticked: list[str] = []
        for job in self.jobs(name):
            left = [code for code in job.codes if code in but]
            if len(left) < len(job.codes):
                self.post("/today/tick", {"job": key_of(job), "but": left, "who": "IN"})
                ticked += [code for code in job.codes if code not in but]
        assert ticked, f"no job called {name} on {self.day}"
        return tuple(ticked)

    def mine(self, codes: Sequence[str]) -> list[Line]:
        return [self.ledger[code] for code in codes if code in self.ledger]

    def alive(self) -> list[str]:
        return [
            code
            for code, line in self.ledger.items()
            if line.scion != "dead" and line.stock == "alive" and not line.broken
        ]


@pytest.fixture
def hand(db: None, settings: object) -> Hand:
    start = datetime(2009, 2, 17, tzinfo=UTC)
    lived = [
        Written(entry_id=UUID(int=n + 1), written_at=start + timedelta(milliseconds=n), entry=one)
        for n, one in enumerate(entries_until(DEFAULT_DAY))
    ]
    add_written(lived, check=False)
    enter_reading(read_workbook(demo_workbook(), name="winter.xlsx"), today=DEFAULT_DAY)
    return Hand(client=Client(), settings=settings)


class Loud(NullTranslations):
    """A language in which every message is its English between two signs nobody writes."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"


def test_a_season_through_the_pages_agrees_with_a_ledger_kept_by_hand(
    hand: Hand, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(of_pages, "catalogue_of", lambda _code: Loud())
    hand.client.cookies["language"] = "de"
    hand.on(DEFAULT_DAY)
    before = WrittenEntry.objects.count()
    wood, lots = _winter(hand)
    _bench(hand, wood, lots)
    _spring(hand)
    _early_summer(hand)
    _late_summer(hand)
    _autumn(hand)
    _next_spring(hand)
    notebook = hand.notebook()
    assert len(notebook.trees) >= 300
    assert _differences(hand, notebook) == []
    assert standings_that_differ() == []
    assert replay(all_written()) == notebook
    later = WrittenEntry.objects.order_by("sequence")[before:]
    written = set(later.values_list("kind", flat=True))
    assert BY_PAGES - written == set()
    # what is kept is the same in whatever language it was written
    assert [one.kind for one in later if "⟦" in f"{one.body}"] == []


def _make_room(hand: Hand, place: str, codes: Sequence[str]) -> None:
    """Find a place too small for all of them, then write its room anew."""
    notebook = hand.notebook()
    held = sum(tree.is_here and tree.place_code == place for tree in notebook.trees.values())
    capacity = notebook.places[place].capacity_count
    assert capacity is not None
    if capacity < held + len(codes):
        whole = {"happened_on": f"{hand.day}", "trees": " ".join(codes), "place": place}
        answer = hand.client.post("/results/move", whole)
        assert answer.status_code == 422
        assert f"has room for {capacity} and holds" in answer.content.decode()
    hand.write(place, "room", room_count=str(held + len(codes) + 300))
    assert hand.notebook().places[place].capacity_count == held + len(codes) + 300
    assert hand.notebook().places[place].walking_order == notebook.places[place].walking_order


def _place(notebook: Notebook, words: str) -> str:
    return next(code for code, place in notebook.places.items() if words in place.name)


def _winter(hand: Hand) -> tuple[list[str], list[str]]:
    """Wood cut from three mother trees, stocks in for it, and all that is written before."""
    notebook = hand.notebook()
    mothers = [m.code for m in notebook.mother_trees.values() if m.permission][:RUN_COUNT]
    unknown = next(m.code for m in notebook.mother_trees.values() if m.certainty == "unknown")
    hand.write(unknown, "evidence", evidence="DNA test", words="no match found")
    hand.write(
        unknown,
        "rescue",
        access_until="2009-04-01",
        wanted_count="3",
        sureness_percent="90",
    )
    hand.write(mothers[0], "health", health="clean", words="looked at in the frost")
    hand.write(mothers[0], "permission", owner="Ada Fell", granted="yes", words="take six")
    hand.write(mothers[0], "certainty", certainty="fruited and checked", evidence="seen in 2008")
    known = set(notebook.bundles)
    for mother in mothers:
        hand.write(
            mother, "cut", stick_count="12", bud_count="9", length_mm="400", base_mm="8", tip_mm="6"
        )
    bundles = [code for code in hand.notebook().bundles if code not in known]
    fridge = _place(notebook, "Fridge")
    for bundle in bundles:
        hand.write(bundle, "move", place=fridge)
    hand.write(bundles[0], "check", condition="firm")
    lots = [lot.code for lot in notebook.lots.values() if lot.in_hand_count][:RUN_COUNT]
    for lot in lots:
        hand.write(lot, "arrive", how_many=str(RUN_SIZE + 5))
    hand.write(lots[0], "check", waking="dormant", words="roots white")
    hand.write(lots[0], "lose", how_many="2", reason="mouse")
    hand.write(lots[0], "measure", diameters_mm="8 8.5 9")
    hand.write(_place(notebook, "greenhouse"), "limits", low_c="0", high_c="30")
    hand.post("/practice/set", {"practice": "cane from", "value": "180", "words": "wind"})
    promise = {
        "who": "Ferry house",
        "variety": hand.notebook().variety_of_bundle(bundles[0]),
        "stock": notebook.lots[lots[0]].stock,
        "wanted_count": "2",
        "sureness_percent": "90",
        "priority": "1",
    }
    hand.post("/promises/make", promise)
    return bundles, lots


def _bench(hand: Hand, bundles: list[str], lots: list[str]) -> None:
    hand.on(date(2009, 3, 7))
    data: dict[str, object] = {"happened_on": "2009-03-07"}
    bindings = ("stretch film", "non-stretch tape", "perishing rubber")
    known = set(hand.notebook().trees)
    for number, (bundle, lot) in enumerate(zip(bundles, lots, strict=True), 1):
        line = {
            "bundle": bundle,
            "lot": lot,
            "how_many": str(RUN_SIZE),
            "who": "TO",
            "method": "whip and tongue",
            "binding": bindings[number % 3],
        }
        data |= {f"line-{number}-{name}": value for name, value in line.items()}
    hand.post("/bench/sheet", data)
    new = [code for code in hand.notebook().trees if code not in known]
    assert len(new) == RUN_SIZE * RUN_COUNT
    hand.ledger = {code: Line() for code in new}
    for bundle in bundles:
        labels = {"bundle": bundle, "used": str(RUN_SIZE), "left_over": "0"}
        hand.post("/bench/labels", {**labels, "bench_on": "2009-03-07"})
    hand.post("/bench/close", {"bench_on": "2009-03-07", "words": "typed in from the sheet"})
    glass = _place(hand.notebook(), "greenhouse")
    hand.on(date(2009, 3, 8))
    _make_room(hand, glass, new)
    hand.sheet("move", new, place=glass)
    hand.sheet("pot", new, litres="4")
    for line in hand.mine(new):
        line.place, line.pot_litres, line.seen_on = glass, 4.0, hand.day


def _spring(hand: Hand) -> None:
    """Buds, takes judged apart for scion and stock, and two that were lost the usual ways."""
    codes = list(hand.ledger)
    slow, dead, drowned = codes[0:30:5], codes[1:40:5], codes[2:13:5]
    hand.on(date(2009, 4, 28))
    moved = hand.tick("look at waiting grafts", but=(*slow, *dead, *drowned))
    for line in hand.mine(moved):
        line.scion = "moving"
    for line in hand.mine((*slow, *dead, *drowned)):
        line.seen_on = hand.day
    hand.on(date(2009, 5, 20))
    living = [code for code in codes if code not in (*dead, *drowned, *slow)]
    hand.sheet("take", living, scion="growing", stock="alive", cause="")
    hand.sheet("take", dead, scion="dead", stock="alive", cause="no callus")
    hand.sheet("take", drowned, scion="dead", stock="dead", cause="winter wet")
    for line in hand.mine(living):
        line.scion = "growing"
    for line in hand.mine(dead):
        line.scion = "dead"
    for line in hand.mine(drowned):
        line.scion, line.stock = "dead", "dead"
    revived = dead[0]
    hand.post(f"/trees/{revived}/lives", {})
    hand.ledger[revived].scion = "waiting"
    hand.write(dead[1], "autopsy", callus_seen="no", wood_dark="yes", words="dry at the tongue")
    kept = hand.tick("keep a stock shoot")
    assert set(kept) >= set(dead[1:])
    hand.tick("pinch stock shoots")
    put_out = hand.tick("harden off")
    assert set(put_out) == set(living)


def _early_summer(hand: Hand) -> None:
    hand.on(date(2009, 5, 30))
    out = [code for code in hand.alive() if hand.ledger[code].scion == "growing"]
    standing = _place(hand.notebook(), "standing")
    _make_room(hand, standing, out)
    hand.sheet("move", out, place=standing)
    for line in hand.mine(out):
        line.place, line.seen_on = standing, hand.day
    hand.on(date(2009, 6, 13))
    hand.sheet("growth", out, growth="210")
    for line in hand.mine(out):
        line.growth_mm = 210.0
    hand.tick("rub off stock shoots")
    for line in hand.mine(hand.tick("thin to two")):
        line.shoots = 2
    hand.tick("loosen binding")
    hand.post("/today/wind", {"wind_km_h": "70"})
    assert "cane before wind" in {job.name for job in days_jobs().jobs if job.is_warning}
    for line in hand.mine(hand.tick("cane before wind")):
        line.caned = True
    broken, hurt = out[0], out[1]
    hand.write(broken, "loss", what="union", cause="wind")
    hand.ledger[broken].broken = True
    hand.write(hurt, "loss", what="damage", cause="leader lost")
    hand.ledger[hurt].caned, hand.ledger[hurt].shoots = False, 0
    hand.on(date(2009, 7, 4))
    grown = [code for code in out if code != broken]
    hand.sheet("growth", grown, growth="450")
    for line in hand.mine(grown):
        line.growth_mm = 450.0
    for line in hand.mine(hand.tick("thin to one")):
        line.shoots = 1
    job = next(hand.jobs("pot on"))
    hand.post("/today/put-off", {"job": key_of(job), "until_on": "2009-07-06", "reason": "pots"})
    assert "pot on" not in {one.name for one in days_jobs().jobs}
    hand.on(date(2009, 7, 6))
    due = [code for job in hand.jobs("pot on") for code in job.codes]
    assert set(due) >= set(grown)
    hand.sheet("pot", grown, litres="7.5")
    for line in hand.mine(grown):
        line.pot_litres = 7.5


def _late_summer(hand: Hand) -> None:
    """Watering, budding of the failed, bindings off, a walk with one missing and one moved."""
    hand.on(date(2009, 7, 20))
    hand.post("/water/rain", {"rain_mm": "3", "happened_on": "2009-07-20"})
    hand.tick("water")
    free = [c for c, line in hand.ledger.items() if line.scion == "dead" and line.stock == "alive"]
    notebook = hand.notebook()
    mother = next(m.code for m in notebook.mother_trees.values() if m.permission)
    known = set(notebook.bundles)
    hand.write(
        mother, "cut", stick_count="2", bud_count="8", length_mm="300", base_mm="6", tip_mm="4"
    )
    (budwood,) = [code for code in hand.notebook().bundles if code not in known]
    budded = free[:5]
    data = {
        "bundle": budwood,
        "method": "chip bud",
        "binding": "stretch film",
        "grafter": "IN",
        "happened_on": "2009-07-20",
        "codes": " ".join(budded),
    }
    hand.post("/second-chance/bud", {"promise": "", **{f"bud--{k}": v for k, v in data.items()}})
    for code in budded:
        old = hand.ledger[code]
        hand.ledger[code] = Line(
            place=old.place, pot_litres=old.pot_litres, budded=True, seen_on=hand.day
        )
    hand.on(date(2009, 8, 5))
    for line in hand.mine(hand.tick("look at set buds")):
        line.seen_on = hand.day
    for line in hand.mine(hand.tick("take binding off")):
        line.bound = False
    job = next(hand.jobs("measure growth"))
    hand.post("/today/give", {"job": key_of(job), "to_whom": "in"})
    hand.on(date(2009, 9, 12))
    standing, glass = _place(hand.notebook(), "standing"), _place(hand.notebook(), "greenhouse")
    there = [c for c in hand.alive() if hand.ledger[c].place == standing]
    stray = next(c for c in hand.alive() if hand.ledger[c].place == glass)
    missing, read = there[-1], [*there[:-1], stray]
    older = [
        tree.code
        for tree in hand.notebook().trees.values()
        if tree.is_here and tree.place_code == standing and tree.code not in hand.ledger
    ]
    read += older
    answer = hand.client.get(f"/walk/{standing}/end", {"codes": " ".join(read)})
    assert f'name="missing" value="{missing}"' in answer.content.decode()
    assert f'name="moved" value="{stray}"' in answer.content.decode()
    agreed = {"codes": " ".join(read), "seen": "on", "moved": [stray], "missing": [missing]}
    hand.post(f"/walk/{standing}/agree", {**agreed, "who": "IN"})
    for line in hand.mine(read):
        line.seen_on = hand.day
    hand.ledger[stray].place = standing


def _autumn(hand: Hand) -> None:
    hand.on(date(2009, 10, 24))
    free = [
        code
        for code, line in hand.ledger.items()
        if line.scion == "dead" and line.stock == "alive" and not line.budded
    ]
    notebook = hand.notebook()
    kind = Counter(notebook.stock_of(notebook.trees[code]) for code in free).most_common(1)[0][0]
    kept = [code for code in free if notebook.stock_of(notebook.trees[code]) == kind]
    data = {
        "codes": " ".join(kept),
        "low_mm": "9",
        "high_mm": "12",
        "place": _place(notebook, "standing"),
        "happened_on": "2009-10-24",
    }
    hand.post("/second-chance/keep", {f"keep-{name}": value for name, value in data.items()})
    for line in hand.mine(kept):
        line.carried = True
    hand.on(date(2009, 11, 7))
    ready = [code for code in hand.alive() if hand.ledger[code].growth_mm >= 400.0]
    hand.sheet("grade", ready, fit="yes")
    page = hand.client.get("/autumn/").content.decode()
    proposed = [code for code in ready if f'value="{code}"' in page]
    assert proposed
    hand.post("/autumn/set-aside", {"tree": proposed})
    notebook = hand.notebook()
    for promise in list(notebook.promises.values()):
        mine = [code for code in proposed if code in promise.allocated_codes]
        if mine:
            hand.post(f"/autumn/{promise.code}/hand-over", {"tree": mine})
            for line in hand.mine(mine):
                line.gone_to = promise.who
    gone = next(code for code, line in hand.ledger.items() if line.gone_to)
    hand.write(gone, "planted", where="the orchard", union_height_mm="150")
    short = next(p for p in hand.notebook().promises.values() if p.open_count > 0)
    hand.post(f"/promises/{short.code}/withdraw", {"reason": "moved away"})


def _next_spring(hand: Hand) -> None:
    """Buds cut back to and grown, a second variety, a slip corrected, a mother tree renamed."""
    hand.on(date(2010, 3, 2))
    cut_back = hand.tick("cut back to the bud")
    hand.on(date(2010, 6, 12))
    hand.sheet("growth", cut_back, growth="160")
    for line in hand.mine(cut_back):
        line.scion, line.growth_mm = "growing", 160.0
    notebook = hand.notebook()
    tree = next(c for c in hand.alive() if not hand.ledger[c].gone_to and c not in cut_back)
    bundle = next(
        b.code for b in notebook.bundles.values() if b.pieces_at_most > 3 and not b.discarded_on
    )
    for bearing, limb in (("0", "north limb"), ("180", "south limb")):
        hand.write(
            tree,
            "add-variety",
            bundle=bundle,
            height_mm="700",
            bearing=bearing,
            limb=limb,
            method="cleft",
        )
    hand.write(tree, "judge-part", part_number="1", scion="growing")
    hand.write(tree, "girth", part_number="1", girth_mm="40")
    hand.write(tree, "limb", limb="south limb")
    hand.write(tree, "fruit", variety="Discovery", how_sure="likely", words="two apples")
    hand.write(tree, "note", words="leans a little")
    mother = notebook.bundles[notebook.trees[tree].bundle_code].mother_tree_code
    rename = {"variety": "Lantern Seedling", "evidence": "fruit", "happened_on": "2010-06-12"}
    raised = sum(
        notebook.bundles[t.bundle_code].mother_tree_code == mother for t in notebook.trees.values()
    )
    seen = f"{mother}/Lantern Seedling/{raised}"
    hand.post(f"/mothers/{mother}/rename", {**rename, "seen": seen})
    assert hand.notebook().variety_of(hand.notebook().trees[tree]) == "Lantern Seedling"
    note = WrittenEntry.objects.filter(kind="NoteWritten").order_by("-sequence").first()
    assert note is not None
    mended = {"happened_on": "2010-06-12", "about_codes": tree, "words": "leans to the west"}
    hand.post(f"/trees/{tree}/{note.entry_id}/correct", mended)
    hand.post(f"/trees/{tree}/{note.entry_id}/withdraw", {"reason": "no matter"})
    hand.write(tree, "loss", what="scion", cause="animal")
    hand.ledger[tree].scion = "dead"
    doomed = next(c for c in hand.alive() if not hand.ledger[c].gone_to and c != tree)
    hand.write(doomed, "loss", what="stock", cause="poor roots")
    hand.ledger[doomed].scion, hand.ledger[doomed].stock = "dead", "dead"


def _differences(hand: Hand, notebook: Notebook) -> list[str]:
    """Return where the notebook and the ledger kept by hand say different things."""
    found = []
    for code, line in hand.ledger.items():
        tree = notebook.trees[code]
        said = {
            "scion": (str(tree.scion), line.scion),
            "stock": (str(tree.stock), line.stock),
            "place": (tree.place_code, line.place),
            "growth": (tree.growth_mm, line.growth_mm),
            "pot": (tree.pot_litres, line.pot_litres),
            "caned": (tree.caned, line.caned),
            "shoots": (tree.shoot_count, line.shoots),
            "binding": (tree.binding_on, line.bound),
            "budded": (tree.is_budded, line.budded),
            "gone": (tree.handed_over_to, line.gone_to),
            "carried": (bool(tree.carried_to), line.carried),
            "broken": (tree.union_broke_on is not None, line.broken),
            "seen": (tree.seen_on, line.seen_on),
        }
        found += [f"{code} {what}: {pair}" for what, pair in said.items() if pair[0] != pair[1]]
    return found
