"""The bench: a run, its labels, a paper sheet typed in, and results for many trees."""

from dataclasses import replace
from datetime import date

import pytest
from django.test import Client

from graftwright.notebook.entries import (
    BenchDayClosed,
    Graded,
    GrowthMeasured,
    LabelsCounted,
    RunGrafted,
    Scion,
    StockDied,
    StockState,
    TakeJudged,
)
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write
from graftwright.store.labels import print_labels
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.web.winter import this_winter

from .conftest import DEMO_DAY
from .sample_plan import SAMPLE
from .small_notebook import Small, graft, write_small

MAY = date(2009, 5, 20)


@pytest.fixture
def small(db: None) -> Small:
    return write_small()


def _run(small: Small, **changed: str) -> dict[str, str]:
    good = {
        "bundle": small.bundle,
        "lot": small.lot,
        "how_many": "4",
        "method": "whip and tongue",
        "binding": "stretch film",
        "who": "TO",
        "place": small.greenhouse,
    }
    return {**good, **changed}


def _printed(small: Small, count: int) -> tuple[str, ...]:
    """Return the codes of labels printed for grafts of the bundle on the lot."""
    joins = tuple(
        replace(
            SAMPLE.joins[0],
            number=number,
            bundle_code=small.bundle,
            lot_code=small.lot,
            promise_code="",
        )
        for number in range(1, count + 1)
    )
    return print_labels(replace(SAMPLE, season=2009, joins=joins), today=DEMO_DAY)


def _runs() -> list[RunGrafted]:
    return [one.entry for one in entries_of_kind("RunGrafted") if isinstance(one.entry, RunGrafted)]


def test_a_graft_of_three_parts_is_written_down_and_its_chain_named(
    client_here: Client, small: Small
) -> None:
    data = _run(small, interstem=small.other_bundle, how_many="2")
    page = client_here.post("/bench/", data, follow=True).content.decode()
    (run,) = _runs()
    assert run.interstem_bundle_code == small.other_bundle
    notebook = read_notebook()
    tree = notebook.trees[run.tree_codes[0]]
    chain = " – ".join(
        (
            notebook.stock_of(tree),
            notebook.variety_of_bundle(small.other_bundle),
            notebook.variety_of(tree),
        )
    )
    assert chain.count(" – ") == 2
    assert f"Three parts from the root up: {chain}." in page
    assert notebook.bundles[small.other_bundle].used_count == 2
    assert notebook.bundles[small.bundle].used_count == 2
    shown = client_here.get("/bench/", {**data, "step": "1"}).content.decode()
    assert "two unions" in shown


def test_the_piece_between_is_of_another_known_bundle(client_here: Client, small: Small) -> None:
    for interstem, words in ((small.bundle, "another bundle"), (small.lot, "No bundle has")):
        answer = client_here.post("/bench/", _run(small, interstem=interstem))
        assert answer.status_code == 422
        assert words in answer.content.decode()
    assert _runs() == []


def test_an_empty_notebook_has_a_bench_all_the_same(client_here: Client) -> None:
    page = client_here.get("/bench/").content.decode()
    assert "No run is planned" in page
    assert "Cut away from the hand that holds" in page


def test_a_run_gives_every_graft_its_label_in_working_order(
    client_here: Client, small: Small
) -> None:
    labels = _printed(small, 6)
    shown = client_here.get("/bench/count", {**_run(small), "step": "1"}).content.decode()
    assert [code for code in labels if code in shown] == list(labels[:5])
    assert client_here.post("/bench/", _run(small, spoilt="1")).status_code == 302
    (run,) = _runs()
    assert run.tree_codes == labels[:4]
    assert (run.spoilt_count, run.grafter, run.place_code) == (1, "TO", small.greenhouse)
    client_here.post("/bench/", _run(small, how_many="2"))
    assert _runs()[1].tree_codes == labels[4:]


def test_a_label_goes_only_on_a_graft_of_its_own_bundle_and_lot(
    client_here: Client, small: Small
) -> None:
    labels = _printed(small, 3)
    client_here.post("/bench/", _run(small, bundle=small.other_bundle, how_many="2"))
    assert not set(_runs()[0].tree_codes) & set(labels)
    client_here.post("/bench/", _run(small, how_many="5", open_anyway="on"))
    assert _runs()[1].tree_codes[:3] == labels
    assert len({code for run in _runs() for code in run.tree_codes}) == 7


def test_labels_keep_to_their_names_when_a_run_changes_the_plan(
    client_here: Client, winter: Notebook
) -> None:
    plan = this_winter().plan
    assert plan is not None
    codes = print_labels(plan, today=DEMO_DAY)
    printed = dict(zip(codes, plan.joins, strict=True))
    # a lot that is still on its way cannot be grafted on
    workable = [r for r in plan.runs if winter.lots[r.lot_code].in_hand_count >= r.graft_count]
    for run in workable[:4]:
        usual = {"method": "whip and tongue", "binding": "stretch film", "open_anyway": "on"}
        named = {"bundle": run.bundle_code, "lot": run.lot_code, "promise": run.promise_code}
        data = {**usual, **named, "how_many": str(run.graft_count)}
        assert client_here.post("/bench/", data).status_code == 302
    made = [(code, run) for run in _runs() for code in run.tree_codes]
    assert len(made) == sum(run.graft_count for run in workable[:4])
    for code, run in made:
        assert (printed[code].bundle_code, printed[code].lot_code) == (
            run.bundle_code,
            run.lot_code,
        )


def test_count_buttons_work_without_a_script_and_keep_what_was_typed(
    client_here: Client, small: Small
) -> None:
    page = client_here.get("/bench/", {**_run(small, who="HQ"), "step": "5"}).content.decode()
    assert 'name="how_many" value="9"' in page
    assert 'value="HQ"' in page
    least = client_here.get("/bench/", {**_run(small, how_many="1"), "step": "-1"})
    assert 'name="how_many" value="1"' in least.content.decode()
    assert client_here.get("/bench/", {"how_many": "x", "step": "y"}).status_code == 200


def test_looking_at_the_bench_writes_nothing(client_here: Client, small: Small) -> None:
    before = len(entries_of_kind("CodesHandedOut"))
    client_here.get("/bench/")
    client_here.get("/bench/count", {**_run(small), "step": "5"})
    assert len(entries_of_kind("CodesHandedOut")) == before


def test_a_planned_run_is_taken_with_one_tap_and_gets_its_own_labels(
    client_here: Client, winter: Notebook
) -> None:
    plan = this_winter().plan
    assert plan is not None
    labels = print_labels(plan, today=DEMO_DAY)
    second = plan.runs[1]
    page = client_here.get("/bench/", {"run": second.number}).content.decode()
    assert f'value="{second.bundle_code}"' in page
    assert f'name="how_many" value="{second.graft_count}"' in page
    start = len(plan.runs[0].join_numbers)
    assert all(code in page for code in labels[start : start + second.graft_count])
    assert labels[0] not in page


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("bundle", "K4T76", "No bundle has the code K4T76"),
        ("bundle", "", "Type or scan the code"),
        ("bundle", "K4T", "has 3 characters"),
        ("lot", "K4T76", "No stock lot has the code"),
        ("promise", "K4T76", "No promise has the code"),
        ("how_many", "0", "At least 1"),
        ("how_many", "lots", "whole number"),
        ("codes", "K4T76", "1 codes for 4 grafts"),
    ],
)
def test_a_bad_run_is_refused_beside_its_field_and_kept(
    client_here: Client, small: Small, field: str, value: str, words: str
) -> None:
    answer = client_here.post("/bench/", _run(small, **{field: value}))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page.split(f'id="id_{field}_error"')[1].split("</ul>")[0]
    assert 'value="TO"' in page
    assert _runs() == []


def test_more_grafts_than_stocks_are_refused_with_the_way_out(
    client_here: Client, small: Small
) -> None:
    answer = client_here.post("/bench/", _run(small, how_many="61"))
    assert answer.status_code == 422
    assert "60 stocks in hand, 61" in answer.content.decode()
    assert _runs() == []


def test_the_next_bundle_opens_only_once_the_labels_are_counted(
    client_here: Client, small: Small
) -> None:
    client_here.post("/bench/", _run(small))
    held = client_here.post("/bench/", _run(small, bundle=small.other_bundle))
    assert held.status_code == 422
    assert f"Count the labels of bundle {small.bundle} first" in held.content.decode()
    client_here.post("/bench/labels", {"used": "4", "left_over": "1"})
    (counted,) = entries_of_kind("LabelsCounted")
    assert isinstance(counted.entry, LabelsCounted)
    assert (counted.entry.used_count, counted.entry.left_over_count) == (4, 1)
    opened = client_here.post("/bench/", _run(small, bundle=small.other_bundle))
    assert opened.status_code == 302


def test_the_same_bundle_goes_on_without_counting(client_here: Client, small: Small) -> None:
    client_here.post("/bench/", _run(small))
    assert client_here.post("/bench/", _run(small)).status_code == 302


def test_a_bundle_is_opened_all_the_same_on_a_word(client_here: Client, small: Small) -> None:
    client_here.post("/bench/", _run(small))
    data = _run(small, bundle=small.other_bundle, open_anyway="on")
    assert client_here.post("/bench/", data).status_code == 302


def test_the_last_run_is_undone_and_its_labels_are_free_again(
    client_here: Client, small: Small
) -> None:
    client_here.post("/bench/", _run(small))
    (run,) = entries_of_kind("RunGrafted")
    codes = run.entry.concerns()[:4]
    client_here.post(f"/bench/{run.entry_id}/undo")
    assert read_notebook().trees == {}
    client_here.post("/bench/", _run(small))
    assert _runs()[-1].tree_codes == codes


def test_a_run_is_not_undone_once_more_is_written_about_its_trees(
    client_here: Client, small: Small
) -> None:
    client_here.post("/bench/", _run(small))
    (run,) = entries_of_kind("RunGrafted")
    code = _runs()[0].tree_codes[0]
    write(TakeJudged(happened_on=DEMO_DAY, tree_codes=(code,), scion=Scion.MOVING))
    page = client_here.post(f"/bench/{run.entry_id}/undo", follow=True).content.decode()
    assert f"More is written about {code}" in page
    assert len(read_notebook().trees) == 4


def test_a_bench_day_does_not_close_quietly_when_labels_disagree(
    client_here: Client, small: Small
) -> None:
    client_here.post("/bench/", _run(small, how_many="11"))
    client_here.post("/bench/labels", {"used": "12"})
    held = client_here.post("/bench/close", {"bench_on": "2009-02-17"})
    assert held.status_code == 422
    assert 'id="id_words_error"' in held.content.decode()
    assert entries_of_kind("BenchDayClosed") == []
    client_here.post("/bench/close", {"bench_on": "2009-02-17", "words": "one label torn"})
    (closed,) = entries_of_kind("BenchDayClosed")
    assert isinstance(closed.entry, BenchDayClosed)
    assert (closed.entry.bench_on, closed.entry.words) == (DEMO_DAY, "one label torn")


def test_a_bench_day_whose_labels_agree_closes_without_a_word(
    client_here: Client, small: Small
) -> None:
    client_here.post("/bench/", _run(small))
    client_here.post("/bench/labels", {"used": "4"})
    assert client_here.post("/bench/close", {"bench_on": "2009-02-17"}).status_code == 302
    assert len(entries_of_kind("BenchDayClosed")) == 1


def test_labels_that_make_no_sense_are_refused_beside_the_field(
    client_here: Client, small: Small
) -> None:
    client_here.post("/bench/", _run(small))
    answer = client_here.post("/bench/labels", {"used": "a dozen"})
    assert answer.status_code == 422
    assert 'id="id_used_error"' in answer.content.decode()


def _sheet(*lines: dict[str, str]) -> dict[str, str]:
    sent = {"happened_on": "2009-02-16"}
    for number, line in enumerate(lines, start=1):
        usual = {"method": "whip and tongue", "binding": "stretch film"}
        sent |= {f"line-{number}-{name}": value for name, value in {**usual, **line}.items()}
    return sent


def test_a_paper_run_sheet_is_typed_in_with_one_line_a_run(
    client_here: Client, small: Small
) -> None:
    assert client_here.get("/bench/sheet").status_code == 200
    first = {"bundle": small.bundle, "lot": small.lot, "how_many": "12", "spoilt": "1", "who": "TO"}
    second = {"bundle": small.other_bundle, "lot": small.lot, "how_many": "8", "who": "HQ"}
    page = client_here.post("/bench/sheet", _sheet(first, {}, second)).content.decode()
    runs = _runs()
    assert [(len(run.tree_codes), run.grafter, run.spoilt_count) for run in runs] == [
        (12, "TO", 1),
        (8, "HQ", 0),
    ]
    assert {run.happened_on for run in runs} == {date(2009, 2, 16)}
    assert "12 grafts" in page


def test_good_lines_are_kept_when_one_is_bad(client_here: Client, small: Small) -> None:
    good = {"bundle": small.bundle, "lot": small.lot, "how_many": "3"}
    bad = {"bundle": small.bundle, "lot": small.lot, "how_many": "three", "who": "HQ"}
    too_many = {"bundle": small.other_bundle, "lot": small.lot, "how_many": "99"}
    answer = client_here.post("/bench/sheet", _sheet(good, bad, too_many, good))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert [len(run.tree_codes) for run in _runs()] == [3, 3]
    assert 'id="id_line-2-how_many_error"' in page
    assert 'value="three"' in page
    assert "even at one bud each, 99 were used" in page
    assert "Line 1:" in page
    again = _sheet({}, {**bad, "how_many": "2"})
    assert client_here.post("/bench/sheet", again).status_code == 200
    assert [len(run.tree_codes) for run in _runs()] == [3, 3, 2]


@pytest.fixture
def in_may(small: Small, settings: object) -> tuple[str, ...]:
    settings.STAND_ON = MAY  # type: ignore[attr-defined]
    return graft(small, 5)


def _results(codes: tuple[str, ...], **fields: str) -> dict[str, str]:
    return {"trees": " ".join(codes), "happened_on": "2009-05-20", **fields}


def test_trees_are_chosen_by_place_by_run_and_by_codes(
    client_here: Client, small: Small, in_may: tuple[str, ...]
) -> None:
    run_id = str(read_notebook().trees[in_may[0]].run_id)
    for asked in (
        {"place": small.greenhouse},
        {"run": run_id},
        {"codes": f"{in_may[0]} {in_may[1]}"},
    ):
        page = client_here.get("/results/", asked).content.decode()
        assert in_may[0] in page
        assert "Exceptions" in page


@pytest.mark.parametrize("what", ["take", "growth", "grade", "pot", "move"])
def test_every_sheet_opens_for_a_place(
    client_here: Client, small: Small, in_may: tuple[str, ...], what: str
) -> None:
    answer = client_here.get("/results/", {"place": small.greenhouse, "what": what})
    assert answer.status_code == 200


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"codes": "K4T76"}, "No tree has the code K4T76"),
        ({"codes": "K4T7"}, "has 4 characters"),
        ({"job": "gone"}, "no longer on the list"),
        ({"place": "K4T76"}, "K4T76"),
        ({"what": "sing", "codes": "K4T76"}, "sing"),
    ],
)
def test_a_choice_of_no_tree_is_refused_with_the_reason(
    client_here: Client, in_may: tuple[str, ...], asked: dict[str, str], words: str
) -> None:
    answer = client_here.get("/results/", asked)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_takes_are_judged_for_all_but_the_exceptions(
    client_here: Client, in_may: tuple[str, ...]
) -> None:
    one, two, three, *_ = in_may
    own = {f"scion-{one}": "waiting", f"scion-{two}": "-", f"stock-{three}": "dead"}
    sent = _results(in_may, scion="growing", stock="alive", cause="winter wet", **own)
    assert client_here.post("/results/take", sent).status_code == 302
    trees = read_notebook().trees
    assert trees[one].scion is Scion.WAITING
    assert trees[two].growing_since is None
    assert (trees[three].stock, trees[three].loss_cause) == (StockState.DEAD, "winter wet")
    assert [trees[code].scion for code in in_may[3:]] == [Scion.GROWING] * 2
    (died,) = entries_of_kind("StockDied")
    assert isinstance(died.entry, StockDied)
    assert died.entry.tree_codes == (three,)
    assert not any(two in entry.entry.concerns() for entry in entries_of_kind("TakeJudged"))


def test_growth_is_written_only_for_the_trees_measured(
    client_here: Client, in_may: tuple[str, ...]
) -> None:
    own = {
        f"growth-{in_may[0]}": "120",
        f"growth-{in_may[1]}": "120",
        f"growth-{in_may[2]}": "4 in",
    }
    client_here.post("/results/growth", _results(in_may, **own))
    written = [one.entry for one in entries_of_kind("GrowthMeasured")]
    found = {e.growth_mm: set(e.tree_codes) for e in written if isinstance(e, GrowthMeasured)}
    assert found == {120.0: set(in_may[:2]), 101.6: {in_may[2]}}


def test_one_bad_length_writes_nothing_and_keeps_the_others(
    client_here: Client, in_may: tuple[str, ...]
) -> None:
    own = {f"growth-{in_may[0]}": "120", f"growth-{in_may[1]}": "tall"}
    answer = client_here.post("/results/growth", _results(in_may, **own))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f'id="id_growth-{in_may[1]}_error"' in page
    assert 'value="120"' in page
    assert entries_of_kind("GrowthMeasured") == []


def test_no_length_at_all_is_refused(client_here: Client, in_may: tuple[str, ...]) -> None:
    answer = client_here.post("/results/growth", _results(in_may))
    assert answer.status_code == 422
    assert "measure at least one tree" in answer.content.decode()


def test_grades_carry_each_trees_height(client_here: Client, in_may: tuple[str, ...]) -> None:
    own = {f"fit-{in_may[0]}": "no", f"height-{in_may[1]}": "1.4"}
    client_here.post("/results/grade", _results(in_may, fit="yes", **own))
    assert all(isinstance(one.entry, Graded) for one in entries_of_kind("Graded"))
    trees = read_notebook().trees
    assert [trees[code].ready for code in in_may] == [False, True, True, True, True]
    assert trees[in_may[1]].height_m == 1.4


def test_trees_move_and_are_potted_all_but_those_left_out(
    client_here: Client, small: Small, in_may: tuple[str, ...]
) -> None:
    left = {f"own-{in_may[0]}": "-"}
    client_here.post("/results/move", _results(in_may, place=small.shed, **left))
    client_here.post("/results/pot", _results(in_may, litres="5", **left))
    trees = read_notebook().trees
    assert [trees[code].place_code == small.shed for code in in_may] == [False, *[True] * 4]
    assert [trees[code].pot_litres for code in in_may] == [0.0, *[5.0] * 4]


def test_a_sheet_without_trees_leads_back_to_the_choice(client_here: Client, small: Small) -> None:
    answer = client_here.post("/results/take", {"trees": "nonsense", "scion": "growing"})
    assert answer.headers["Location"] == "/results/"
