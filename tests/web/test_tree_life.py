"""The life of a tree in the pages: putting off, walking, watering, second chance, autumn, trace."""

import csv
import re
from datetime import date
from io import StringIO

import pytest
from django.test import Client

from graftwright.notebook.entries import (
    BudsMoved,
    Certainty,
    GrowthMeasured,
    Health,
    HealthNoted,
    HowSure,
    JobPutOff,
    NurseryDescribed,
    PromiseMade,
    Scion,
    ScionDied,
    StickMeasured,
    TakeJudged,
    TreeMoved,
    WoodCut,
)
from graftwright.store.append import write, write_many
from graftwright.store.codes import next_codes
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.web.today.jobs import days_jobs, key_of

from .small_notebook import Small, graft, write_small

SUMMER = date(2009, 6, 10)
HTMX = {"HX-Request": "true"}


@pytest.fixture
def small(db: None, settings: object) -> Small:
    settings.STAND_ON = SUMMER  # type: ignore[attr-defined]
    codes = write_small()
    write(NurseryDescribed(happened_on=date(2009, 1, 1), name="Yard", latitude_deg=54.2))
    return codes


@pytest.fixture
def growing(small: Small) -> tuple[str, ...]:
    codes = graft(small, 5)
    write(BudsMoved(happened_on=date(2009, 4, 20), tree_codes=codes))
    write(TakeJudged(happened_on=date(2009, 5, 1), tree_codes=codes, scion=Scion.GROWING))
    write(GrowthMeasured(happened_on=date(2009, 6, 9), tree_codes=codes, growth_mm=260.0))
    return codes


def _key(name: str) -> str:
    return next(key_of(job) for job in days_jobs().jobs if job.name == name)


def _names() -> set[str]:
    return {job.name for job in days_jobs().jobs}


# --- not now, and by somebody else -------------------------------------------------------------


def test_a_job_is_put_off_with_a_reason_and_comes_back_on_its_day(
    client_here: Client, growing: tuple[str, ...], settings: object
) -> None:
    data = {"job": _key("cane"), "until_on": "2009-06-13", "reason": "no canes left"}
    client_here.post("/today/put-off", data)
    assert "cane" not in _names()
    page = client_here.get("/").content.decode()
    assert "no canes left" in page
    settings.STAND_ON = date(2009, 6, 13)  # type: ignore[attr-defined]
    assert "cane" in _names()


def test_a_job_put_off_is_brought_back_at_once(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    key = _key("cane")
    client_here.post("/today/put-off", {"job": key, "until_on": "2009-06-20"})
    client_here.post("/today/bring-back", {"job": key})
    assert "cane" in _names()
    (written,) = entries_of_kind("JobPutOff")
    assert isinstance(written.entry, JobPutOff)


@pytest.mark.parametrize("until", ["2009-06-10", "2008-01-01", "soon", ""])
def test_putting_off_to_no_later_day_is_refused(
    client_here: Client, growing: tuple[str, ...], until: str
) -> None:
    data = {"job": _key("cane"), "until_on": until}
    answer = client_here.post("/today/put-off", data, headers=HTMX)
    assert "Not put off" in answer.content.decode()
    assert "cane" in _names()


def test_the_forms_of_putting_off_stand_on_a_page_without_script(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    page = client_here.get("/today/arrange", {"job": _key("cane")}).content.decode()
    assert 'action="/today/put-off"' in page
    assert 'action="/today/give"' in page
    assert "<h1" in page
    gone = client_here.get("/today/arrange", {"job": "000000000000"})
    assert gone.status_code == 302


def test_a_helper_does_a_list_without_leaving_the_page(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    client_here.post("/today/give", {"job": _key("rub off stock shoots"), "to_whom": " in "})
    page = client_here.get("/", {"who": "in"}).content.decode()
    heads = re.findall(r"<h3>([^<]+)</h3>", page)
    assert heads == ["Rub off the stock shoots of 5 trees"]
    assert "/results/" not in page.split('id="list"')[1]
    client_here.post("/today/tick", {"job": _key("rub off stock shoots"), "who": "IN"})
    (written,) = entries_of_kind("StockShootsOff")
    assert written.written_by == "IN"


def test_a_helper_nobody_gave_anything_gets_what_ticks_alone_complete(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    page = client_here.get("/", {"who": "BX"}).content.decode()
    shown = page.split('id="list"')[1]
    assert shown.count('action="/today/tick"') == len(re.findall(r"<h3>", shown)) > 0


def test_a_gale_puts_the_uncaned_trees_first(client_here: Client, growing: tuple[str, ...]) -> None:
    client_here.post("/today/wind", {"wind_km_h": "80"})
    first = days_jobs().jobs[0]
    assert (first.name, set(first.codes)) == ("cane before wind", set(growing))
    refused = client_here.post("/today/wind", {"wind_km_h": "strong"}, headers=HTMX)
    assert "Write the wind in km/h" in refused.content.decode()


# --- roll-call ---------------------------------------------------------------------------------


def test_a_walk_proposes_and_writes_nothing_until_it_is_agreed_to(
    client_here: Client, growing: tuple[str, ...], small: Small
) -> None:
    # need N48
    elsewhere, missing = growing[0], growing[4]
    write(TreeMoved(happened_on=SUMMER, tree_codes=(elsewhere,), place_code=small.shed))
    here = f"/walk/{small.greenhouse}/"
    read: list[str] = []
    for code in (growing[1], growing[2], growing[3], elsewhere):
        page = client_here.get(here, {"codes": " ".join(read), "code": code.lower()})
        assert page.status_code == 200
        read.append(code)
    assert "stands elsewhere by the notebook: Brick shed" in page.content.decode()
    end = client_here.get(f"{here}end", {"codes": " ".join(read)}).content.decode()
    assert "3 of 4 seen, 1 missing, 1 moved here" in end
    assert entries_of_kind("TreeSeen") == []
    data = {"codes": " ".join(read), "seen": "on", "moved": [elsewhere], "who": "in"}
    client_here.post(f"{here}agree", data)
    notebook = read_notebook()
    assert notebook.trees[elsewhere].place_code == small.greenhouse
    assert notebook.trees[growing[1]].seen_on == SUMMER
    assert notebook.trees[missing].is_alive
    assert entries_of_kind("TreeSeen")[0].written_by == "IN"
    assert entries_of_kind("NoteWritten") == []


def test_a_code_misread_on_a_walk_is_refused_and_what_was_read_is_kept(
    client_here: Client, growing: tuple[str, ...], small: Small
) -> None:
    answer = client_here.get(f"/walk/{small.greenhouse}/", {"codes": growing[0], "code": "K4T77"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert f'name="codes" value="{growing[0]}"' in page


def test_agreeing_to_nothing_writes_nothing(
    client_here: Client, growing: tuple[str, ...], small: Small
) -> None:
    client_here.post(f"/walk/{small.greenhouse}/agree", {"codes": growing[0]})
    assert entries_of_kind("TreeSeen") == []


# --- water -------------------------------------------------------------------------------------


def _litres(page: str) -> float:
    return float(re.findall(r'data-head="Litres a day">([\d.]+)<', page)[0])


def test_a_hot_week_raises_the_litres_on_the_sheet(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    # need N39
    cool = client_here.get("/water/", {"high_c": "16", "low_c": "8"}).content.decode()
    hot = client_here.get("/water/", {"high_c": "34", "low_c": "16"}).content.decode()
    assert _litres(hot) > _litres(cool)
    assert growing[0] not in hot


def test_a_night_warmer_than_the_day_is_refused(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    answer = client_here.get("/water/", {"high_c": "6", "low_c": "18"})
    assert answer.status_code == 422
    assert "The night is warmer" in answer.content.decode()


def test_watering_is_ticked_on_the_list(client_here: Client, small: Small) -> None:
    graft(small, 40)
    client_here.post("/today/tick", {"job": _key("water")})
    assert read_notebook().places[small.greenhouse].watered_on == SUMMER
    assert "water" not in _names()


# --- second chance -----------------------------------------------------------------------------


@pytest.fixture
def failed(small: Small, settings: object) -> tuple[str, ...]:
    """Three living stocks without a scion in July, two Discovery promised, budwood cut."""
    settings.STAND_ON = date(2009, 7, 20)  # type: ignore[attr-defined]
    trees = graft(small, 5)
    promise, budwood = next_codes(2, today=date(2009, 7, 18))
    write_many(
        [
            ScionDied(happened_on=date(2009, 5, 20), tree_codes=trees[:3]),
            PromiseMade(
                happened_on=date(2009, 1, 5),
                code=promise,
                who="The school",
                variety="Discovery",
                stock="M26",
                wanted_count=2,
            ),
            WoodCut(
                happened_on=date(2009, 7, 18),
                code=budwood,
                variety="Discovery",
                mother_tree_code=small.mother,
                sticks=(StickMeasured(number=1, length_mm=300, base_mm=6, tip_mm=4, bud_count=6),),
            ),
        ]
    )
    return (promise, budwood, *trees)


def test_failed_grafts_on_living_stocks_are_offered_to_what_is_short_and_budded(
    client_here: Client, failed: tuple[str, ...]
) -> None:
    # need N10
    promise, budwood, *trees = failed
    page = client_here.get("/second-chance/").content.decode()
    assert "3 living stocks have" in page
    assert "2 stocks to bud" in page
    assert budwood in page
    data = {
        "bundle": budwood,
        "method": "chip bud",
        "binding": "stretch film",
        "grafter": "in",
        "happened_on": "2009-07-20",
        "codes": " ".join(trees[:2]),
    }
    sent = {f"bud-{promise}-{name}": value for name, value in data.items()}
    answer = client_here.post("/second-chance/bud", {"promise": promise, **sent})
    assert answer.status_code == 302
    tree = read_notebook().trees[trees[0]]
    assert (tree.bundle_code, tree.promise_code, tree.season) == (budwood, promise, 2010)
    after = client_here.get("/second-chance/").content.decode()
    assert "1 living stock has" in after
    assert "2 buds" in after
    shown = client_here.get(f"/trees/{trees[0]}/").content.decode()
    assert "It did not take" in shown


def test_budding_more_than_the_buds_there_are_is_refused_with_the_way_out(
    client_here: Client, failed: tuple[str, ...]
) -> None:
    promise, budwood, *trees = failed
    data = {
        "bundle": budwood,
        "method": "chip bud",
        "binding": "stretch film",
        "spoilt_count": "9",
        "happened_on": "2009-07-20",
        "codes": trees[0],
    }
    sent = {f"bud-{promise}-{name}": value for name, value in data.items()}
    answer = client_here.post("/second-chance/bud", {"promise": promise, **sent})
    assert answer.status_code == 422
    assert "name a second bundle" in answer.content.decode()
    assert entries_of_kind("Reworked") == []


def test_stocks_carried_over_become_a_lot_that_the_next_order_starts_from(
    client_here: Client, failed: tuple[str, ...], small: Small
) -> None:
    # need N58
    _, _, *trees = failed
    data = {
        "codes": " ".join(trees[:3]),
        "low_mm": "9",
        "high_mm": "12",
        "place": small.greenhouse,
        "happened_on": "2009-07-20",
    }
    answer = client_here.post("/second-chance/keep", {f"keep-{k}": v for k, v in data.items()})
    assert answer.status_code == 302
    notebook = read_notebook()
    (lot,) = [one for one in notebook.lots.values() if one.carried_over]
    assert (lot.stock, lot.in_hand_count) == ("M26", 3)
    assert notebook.trees[trees[0]].carried_to == lot.code
    assert (
        "No living stock is without its scion"
        in client_here.get("/second-chance/").content.decode()
    )


# --- autumn ------------------------------------------------------------------------------------


def test_the_rule_proposes_and_a_person_sets_aside_and_hands_over(
    client_here: Client, failed: tuple[str, ...], settings: object
) -> None:
    promise, _, *trees = failed
    settings.STAND_ON = date(2009, 11, 7)  # type: ignore[attr-defined]
    alive = trees[3:]
    grow = GrowthMeasured(happened_on=date(2009, 8, 1), tree_codes=tuple(alive), growth_mm=500.0)
    write(grow)
    page = client_here.get("/autumn/").content.decode()
    assert "2 trees that have taken are" in page
    graded = {"fit": "yes", "happened_on": "2009-11-07", "trees": " ".join(alive)}
    assert client_here.post("/results/grade", graded).status_code == 302
    page = client_here.get("/autumn/").content.decode()
    assert "by priority, then day of the promise" in page
    assert entries_of_kind("TreeAllocated") == []
    client_here.post("/autumn/set-aside", {"tree": [alive[0]]})
    assert read_notebook().promises[promise].allocated_codes == (alive[0],)
    client_here.post(f"/autumn/{promise}/hand-over", {"tree": [alive[0]]})
    tree = read_notebook().trees[alive[0]]
    assert (tree.handed_over_to, tree.handed_over_on) == ("The school", date(2009, 11, 7))


def test_a_tree_the_rule_did_not_propose_is_not_set_aside_by_a_forged_form(
    client_here: Client, failed: tuple[str, ...]
) -> None:
    _, _, *trees = failed
    client_here.post("/autumn/set-aside", {"tree": [trees[4]]})
    assert entries_of_kind("TreeAllocated") == []


# --- trace -------------------------------------------------------------------------------------


def test_a_trace_names_holders_and_warns_without_judging(
    client_here: Client, growing: tuple[str, ...], small: Small
) -> None:
    # need N27
    write(HealthNoted(happened_on=SUMMER, code=small.mother, health=Health.DISEASED))
    page = client_here.get(f"/trace/{small.mother}/").content.decode()
    assert "ask the plant health authority" in page
    assert all(code in page for code in growing)
    table = client_here.get(f"/trace/{small.mother}.csv")
    assert table["Content-Type"].startswith("text/csv")
    rows = list(csv.DictReader(StringIO(table.content.decode())))
    assert {row["code"] for row in rows if row["direction"] == "to"} == set(growing)


def test_a_code_that_cannot_be_traced_is_refused_beside_the_field(
    client_here: Client, small: Small
) -> None:
    answer = client_here.get("/trace/", {"code": small.greenhouse})
    assert answer.status_code == 422
    assert "is no tree, bundle, mother tree or lot" in answer.content.decode()
    assert client_here.get(f"/trace/{small.greenhouse}/").status_code == 404
    assert client_here.get("/trace/", {"code": small.mother}).status_code == 302


# --- practice ----------------------------------------------------------------------------------


def test_ones_own_rule_replaces_the_usual_is_named_and_is_taken_back(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    # need N59
    data = {"practice": "cane from", "value": "300", "words": "a walled yard"}
    client_here.post("/practice/set", data)
    assert "cane" not in _names()
    client_here.post("/practice/set", {**data, "value": "50 mm"})
    job = next(job for job in days_jobs().jobs if job.name == "cane")
    assert "your own practice: a walled yard" in job.why
    page = client_here.get("/practice/").content.decode()
    assert "Cane from: 50 mm" in page
    assert "nothing to compare" in page
    client_here.post("/practice/set", {"practice": "cane from", "value": ""})
    job = next(job for job in days_jobs().jobs if job.name == "cane")
    assert "your own practice" not in job.why


def test_ones_own_rule_is_compared_only_where_both_are_counted(
    client_here: Client, growing: tuple[str, ...], small: Small, settings: object
) -> None:
    settings.STAND_ON = date(2010, 2, 1)  # type: ignore[attr-defined]
    client_here.post("/practice/set", {"practice": "cane from", "value": "50"})
    settings.STAND_ON = date(2010, 7, 1)  # type: ignore[attr-defined]
    more = graft(small, 4, happened_on=date(2010, 3, 1))
    write(GrowthMeasured(happened_on=date(2010, 6, 9), tree_codes=more[:3], growth_mm=200.0))
    write(ScionDied(happened_on=date(2010, 6, 9), tree_codes=more[3:]))
    page = client_here.get("/practice/").content.decode()
    assert "With yours 3 of 4 took, with the usual 5 of 5." in page
    assert "do not say that the rule did it" in page


@pytest.mark.parametrize(
    ("practice", "value"),
    [("cane from", "tall"), ("no such rule", "3"), ("who gets trees first", "me")],
)
def test_a_rule_that_makes_no_sense_is_refused(
    client_here: Client, small: Small, practice: str, value: str
) -> None:
    answer = client_here.post("/practice/set", {"practice": practice, "value": value})
    assert answer.status_code == 422
    assert entries_of_kind("PracticeSet") == []


# --- the tree's own page, and its mother's -----------------------------------------------------


def _write(client: Client, code: str, deed: str, **data: str) -> int:
    sent = {f"{deed}-happened_on": "2009-06-10"}
    sent |= {f"{deed}-{name}": value for name, value in data.items()}
    status: int = client.post(f"/trees/{code}/write/{deed}", sent).status_code
    return status


def test_several_varieties_stand_on_one_tree_with_height_and_bearing(
    client_here: Client, growing: tuple[str, ...], small: Small
) -> None:
    # need N42
    tree = growing[0]
    for bearing, height in (("90", "900"), ("270", "1200")):
        assert (
            _write(
                client_here,
                tree,
                "add-variety",
                bundle=small.other_bundle,
                height_mm=height,
                bearing=bearing,
                limb="west limb" if bearing == "270" else "east limb",
                method="cleft",
                happened_on="2009-06-10",
            )
            == 302
        )
    page = client_here.get(f"/trees/{tree}/").content.decode()
    assert "Varieties on it" in page
    assert "1200 mm" in page
    assert "<svg" in page.split('id="limbs"')[1]
    assert _write(client_here, tree, "limb", limb="West limb", happened_on="2009-06-10") == 302
    assert [part.is_there for part in read_notebook().trees[tree].parts] == [True, False]


def _two_varieties(client: Client, small: Small, tree: str, *heights: str) -> None:
    for height, limb in zip(heights, ("low", "high"), strict=True):
        data = {"bundle": small.bundle, "height_mm": height, "bearing": "45", "limb": limb}
        assert _write(client, tree, "add-variety", method="whip", grafter="AB", **data) == 302


def test_a_graft_is_found_again_by_its_height_and_direction(
    client_here: Client, small: Small, growing: tuple[str, ...]
) -> None:
    tree = growing[0]
    _two_varieties(client_here, small, tree, "500", "900")
    measured = {"height_mm": "88 cm", "bearing": "45", "scion": "growing"}
    assert _write(client_here, tree, "judge-part", **measured) == 302
    assert [str(p.scion) for p in read_notebook().trees[tree].parts] == ["waiting", "growing"]
    nowhere = {**measured, "bearing": "180"}
    assert _write(client_here, tree, "judge-part", **nowhere) == 422
    assert _write(client_here, tree, "judge-part", scion="growing") == 422
    assert _write(client_here, tree, "judge-part", part_number="1", scion="dead") == 302
    assert [str(p.scion) for p in read_notebook().trees[tree].parts] == ["dead", "growing"]


def test_of_two_grafts_that_may_be_meant_the_nearest_is_offered_first(
    client_here: Client, small: Small, growing: tuple[str, ...]
) -> None:
    tree = growing[0]
    _two_varieties(client_here, small, tree, "500", "530")
    data = {"height_mm": "525", "bearing": "45", "scion": "growing", "happened_on": "2009-06-10"}
    answer = client_here.post(
        f"/trees/{tree}/write/judge-part", {f"judge-part-{k}": v for k, v in data.items()}
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "2 grafts may be meant, the nearest first" in page
    offered = page[page.index('name="judge-part-part_number"') :]
    assert offered.index('value="2"') < offered.index('value="1"')
    assert [str(p.scion) for p in read_notebook().trees[tree].parts] == ["waiting", "waiting"]


def test_girths_measured_name_the_limb_to_check(
    client_here: Client, small: Small, growing: tuple[str, ...]
) -> None:
    tree = growing[0]
    assert _write(client_here, tree, "girth", part_number="0", girth_mm="90") == 404
    _two_varieties(client_here, small, tree, "500", "900")
    for part, girth in (("0", "90"), ("1", "92"), ("2", "15 cm")):
        assert _write(client_here, tree, "girth", part_number=part, girth_mm=girth) == 302
    page = client_here.get(f"/trees/{tree}/").content.decode()
    section = page[page.index('id="balance"') :]
    assert "Check high" in section
    assert "150" in section
    assert _write(client_here, tree, "girth", part_number="3", girth_mm="90") == 422


def test_who_names_a_variety_by_its_fruit_says_how_sure_that_is(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    tree = growing[0]
    assert _write(client_here, tree, "fruit", variety="Bramley") == 422
    assert _write(client_here, tree, "fruit", words="red, nobody knew it") == 302
    assert _write(client_here, tree, "fruit", variety="Bramley", how_sure="a guess") == 302
    standing = read_notebook().trees[tree]
    assert (standing.fruited_as, standing.fruited_sure) == ("Bramley", HowSure.GUESS)
    page = client_here.get(f"/trees/{tree}/").content.decode()
    assert "fruited as Bramley, a guess" in page
    assert "looked at again before anything is renamed" in page
    assert _write(client_here, tree, "fruit", variety="Bramley", how_sure="certain") == 302
    assert "sisters may be wrong" in client_here.get(f"/trees/{tree}/").content.decode()


def test_evidence_and_a_rescue_stand_on_the_mother_trees_page(
    client_here: Client, small: Small, settings: object
) -> None:
    # needs N26 and N46
    settings.STAND_ON = date(2009, 10, 20)  # type: ignore[attr-defined]
    assert (
        _write(
            client_here,
            small.mother,
            "evidence",
            evidence="DNA test",
            words="no match among 600",
            happened_on="2009-10-20",
        )
        == 302
    )
    assert (
        _write(
            client_here,
            small.mother,
            "rescue",
            access_until="2009-11-17",
            wanted_count="3",
            sureness_percent="95",
            words="house sold",
            happened_on="2009-10-20",
        )
        == 302
    )
    page = client_here.get(f"/trees/{small.mother}/").content.decode()
    assert "no match among 600" in page
    assert "Not safe yet" in page
    assert "17 November 2009" in page
    assert read_notebook().mother_trees[small.mother].certainty is Certainty.DNA


def test_a_failed_graft_is_opened_and_says_what_was_seen(
    client_here: Client, growing: tuple[str, ...]
) -> None:
    tree = growing[0]
    write(ScionDied(happened_on=SUMMER, tree_codes=(tree,)))
    assert (
        _write(
            client_here,
            tree,
            "autopsy",
            callus_seen="no",
            upside_down="yes",
            happened_on="2009-06-10",
        )
        == 302
    )
    assert "No callus; scion upside down" in client_here.get(f"/trees/{tree}/").content.decode()


# --- results sheet -----------------------------------------------------------------------------


def test_a_long_sheet_says_how_many_follow_and_leads_to_them(
    client_here: Client, small: Small, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("graftwright.web.bench.results._MOST_TREES", 3)
    trees = graft(small, 5)
    page = client_here.get("/results/", {"what": "pot", "place": small.greenhouse})
    text = page.content.decode()
    assert "2 more follow on the next sheet" in text
    onward = re.findall(r'name="onward" value="([^"]+)"', text)[0].replace("&amp;", "&")
    on_sheet = re.findall(r'name="trees" value="([^"]+)"', text)[0]
    data = {"litres": "4", "happened_on": "2009-06-10", "trees": on_sheet, "onward": onward}
    answer = client_here.post("/results/pot", data)
    assert answer.status_code == 302
    rest = client_here.get(answer["Location"]).content.decode()
    left = set(trees) - set(on_sheet.split())
    assert re.findall(r'name="trees" value="([^"]+)"', rest)[0].split() == sorted(
        left, key=rest.index
    )


def test_a_sheet_never_leads_out_of_the_program(client_here: Client, small: Small) -> None:
    trees = graft(small, 2)
    data = {
        "litres": "4",
        "happened_on": "2009-06-10",
        "trees": " ".join(trees),
        "onward": "https://example.org/",
    }
    assert client_here.post("/results/pot", data)["Location"] == "/"
