"""The list of trees, and the page of every code."""

import re
from datetime import date

import pytest
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftwright.demo import LAST_DAY, entries_until
from graftwright.notebook.entries import (
    BindingOff,
    Cause,
    Graded,
    GrowthMeasured,
    PromiseMade,
    Scion,
    ScionDied,
    StockDied,
    StockState,
    TakeJudged,
    TreeHandedOver,
    TreeMoved,
    UnionBroke,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write
from graftwright.store.codes import next_codes
from graftwright.store.read import entries_of_kind, read_notebook, story_of
from graftwright.web.trees.finding import FindForm, found_trees
from tests.demo.replaying import notebook_of

from .small_notebook import Small, graft, write_small

MAY = date(2009, 5, 20)


@pytest.fixture
def small(db: None, settings: object) -> Small:
    settings.STAND_ON = MAY  # type: ignore[attr-defined]
    return write_small()


@pytest.fixture
def tree(small: Small) -> str:
    return graft(small, 3)[0]


def _post(client: Client, code: str, deed: str, **data: str) -> int:
    sent = {f"{deed}-{name}": value for name, value in data.items()}
    sent.setdefault(f"{deed}-happened_on", "2009-05-20")
    return client.post(f"/trees/{code}/write/{deed}", sent).status_code


def _last(kind: str) -> Entry:
    return entries_of_kind(kind)[-1].entry


def test_an_empty_notebook_says_where_trees_come_from(client_here: Client) -> None:
    assert "A tree is born at the bench" in client_here.get("/trees/").content.decode()


def test_any_code_typed_opens_its_own_page(client_here: Client, small: Small, tree: str) -> None:
    for code in (tree, small.bundle, small.lot, small.greenhouse, small.mother):
        answer = client_here.get("/trees/", {"q": f" {code.lower()} "})
        assert answer.status_code == 302
        page = client_here.get(answer.headers["Location"])
        assert page.status_code == 200
        assert code in page.content.decode()
        assert client_here.get(f"/code/{code}", follow=True).status_code == 200


def test_a_promises_code_opens_the_promise(client_here: Client, winter: Notebook) -> None:
    code = next(iter(winter.promises))
    answer = client_here.get(f"/code/{code}", follow=True)
    assert answer.redirect_chain[-1][0] == f"/promises/{code}/"


@pytest.mark.parametrize("code", ["K4T76", "K4T7", "nonsense", "22222"])
def test_a_code_that_names_nothing_has_no_page(
    client_here: Client, small: Small, code: str
) -> None:
    assert client_here.get(f"/trees/{code}/").status_code == 404


def test_a_misread_code_is_told_so_on_the_list(client_here: Client, tree: str) -> None:
    swapped = tree[1] + tree[0] + tree[2:]
    page = client_here.get("/trees/", {"q": swapped}).content.decode()
    assert "does not check" in page
    assert "No tree fits that" in page


def test_trees_are_found_by_variety_place_and_state(
    client_here: Client, small: Small, tree: str
) -> None:
    write(ScionDied(happened_on=MAY, tree_codes=(tree,), cause=Cause.DRIED))

    def found(**asked: str) -> set[str]:
        page = client_here.get("/trees/", asked).content.decode()
        return set(re.findall(r'class="code" href="/trees/(\w{5})/"', page))

    everything = set(read_notebook().trees)
    assert found(q="discov") == everything
    assert found(q="grieve") == set()
    assert found(place=small.greenhouse) == everything
    assert found(place=small.shed) == set()
    assert found(state="dead") == {tree}
    assert found(state="waiting") == everything - {tree}
    assert found(state="no such state") == everything


def test_a_long_list_is_paged(client_here: Client, small: Small) -> None:
    graft(small, 45)
    first = client_here.get("/trees/").content.decode()
    second = client_here.get("/trees/?page=2").content.decode()
    assert (first.count('scope="row"'), second.count('scope="row"')) == (40, 5)
    assert client_here.get("/trees/?page=99999").status_code == 200


def test_trees_found_stand_in_the_order_in_which_sorting_all_of_them_puts_them() -> None:
    notebook = notebook_of(entries_until(LAST_DAY))
    asked = ({}, {"state": "here"}, {"year": "2009", "q": "m26"}, {"place": "none"})
    for data in asked:
        form = FindForm(data, notebook=notebook)
        found = found_trees(notebook, form)
        every = [tree for tree in notebook.trees.values() if tree in set(found)]
        every.sort(key=lambda tree: (-tree.season, notebook.variety_of(tree), tree.code))
        assert list(found[:]) == every
        assert len(found) == len(every)
        for start in range(0, len(every) + 5, 7):
            assert found[start : start + 7] == every[start : start + 7]
    assert len(found_trees(notebook, FindForm({}, notebook=notebook))) == len(notebook.trees)


def test_of_many_promises_one_is_named_by_its_code(
    client_here: Client, tree: str, monkeypatch
) -> None:
    monkeypatch.setattr("graftwright.web.trees.deeds._MOST_LISTED", 0)
    (code,) = next_codes(1, today=MAY)
    made = PromiseMade(
        happened_on=MAY, code=code, who="Ann", variety="Discovery", stock="M26", wanted_count=1
    )
    write(made)
    page = client_here.get(f"/trees/{tree}/").content.decode()
    assert '<input type="text" name="set-aside-promise"' in page
    address = f"/trees/{tree}/write/set-aside"
    data = {"set-aside-promise": "K4T7", "set-aside-happened_on": "2009-05-20"}
    wrong = client_here.post(address, data)
    assert wrong.status_code == 422
    assert "No promise that stands has that code" in wrong.content.decode()
    client_here.post(address, data | {"set-aside-promise": f" {code.lower()} "})
    assert read_notebook().trees[tree].allocated_to == code


def test_the_page_of_a_tree_tells_names_chain_and_both_states(
    client_here: Client, small: Small, tree: str
) -> None:
    page = client_here.get(f"/trees/{tree}/").content.decode()
    for words in (
        "Discovery",
        "M26",
        "DNA matched",
        "Waiting",
        "waiting is not dead",
        small.mother,
    ):
        assert words in page
    assert f'aria-label="code {tree}"' in page
    assert "Of 3 grafts of its run 0 have moved." in page


@pytest.mark.parametrize(
    ("deed", "data", "kind", "expected"),
    [
        ("buds", {"seen": "moved"}, "BudsMoved", {}),
        ("buds", {"seen": "waiting"}, "TreeSeen", {}),
        ("take", {"scion": "doubtful", "stock": "alive"}, "TakeJudged", {"scion": Scion.DOUBTFUL}),
        ("take", {"scion": "dead", "stock": "dead"}, "TakeJudged", {"stock": StockState.DEAD}),
        ("growth", {"growth_mm": "150"}, "GrowthMeasured", {"growth_mm": 150.0}),
        ("growth", {"growth_mm": "10 in"}, "GrowthMeasured", {"growth_mm": 254.0}),
        ("binding", {"binding": "loosened"}, "BindingLoosened", {}),
        ("binding", {"binding": "off"}, "BindingOff", {}),
        ("shoots", {"done": "stock"}, "StockShootsOff", {}),
        ("shoots", {"done": "2"}, "ShootsThinned", {"to_count": 2}),
        ("shoots", {"done": "cane"}, "Caned", {}),
        ("pot", {"pot_litres": "7.5"}, "PottedOn", {"pot_litres": 7.5}),
        ("loss", {"what": "damage", "cause": "aphid"}, "DamageNoted", {"cause": Cause.APHID}),
        ("loss", {"what": "scion", "cause": "frost"}, "ScionDied", {"cause": Cause.FROST}),
        ("loss", {"what": "stock", "cause": "poor roots"}, "StockDied", {"cause": Cause.ROOTS}),
        ("loss", {"what": "union", "cause": "wind"}, "UnionBroke", {"cause": Cause.WIND}),
        ("grade", {"ready": "yes", "height_m": "1.2"}, "Graded", {"ready": True, "height_m": 1.2}),
        ("hand-over", {"to_whom": "Mrs Ferrow"}, "TreeHandedOver", {"to_whom": "Mrs Ferrow"}),
        ("planted", {"union_height_mm": "150"}, "Planted", {"union_height_mm": 150.0}),
        ("note", {"words": "leans to the door"}, "NoteWritten", {"words": "leans to the door"}),
    ],
)
def test_each_form_writes_its_own_entry(
    client_here: Client,
    tree: str,
    deed: str,
    data: dict[str, str],
    kind: str,
    expected: dict[str, object],
) -> None:
    assert _post(client_here, tree, deed, **data) == 302
    entry = _last(kind)
    assert tree in entry.concerns()
    assert entry.happened_on == MAY
    assert {name: getattr(entry, name) for name in expected} == expected


def test_a_tree_moves_to_the_place_chosen(client_here: Client, small: Small, tree: str) -> None:
    assert _post(client_here, tree, "move", place=small.shed, position="row 3") == 302
    entry = _last("TreeMoved")
    assert isinstance(entry, TreeMoved)
    assert (entry.place_code, entry.position) == (small.shed, "row 3")


@pytest.mark.parametrize(
    ("deed", "data", "field", "words"),
    [
        ("growth", {"growth_mm": "tall"}, "growth_mm", "tall"),
        ("growth", {"growth_mm": "9000"}, "growth_mm", "not likely"),
        ("growth", {"growth_mm": ""}, "growth_mm", "Write the length"),
        ("pot", {"pot_litres": "-1"}, "pot_litres", "litres"),
        ("move", {"place": ""}, "place", "Choose the place"),
        ("hand-over", {"to_whom": ""}, "to_whom", "who has the tree"),
        ("note", {"words": ""}, "words", "Write a few words"),
        ("buds", {"seen": "moved", "happened_on": "2010-01-01"}, "happened_on", "not come yet"),
        ("buds", {"seen": "moved", "happened_on": "31 June"}, "happened_on", "Write the day as"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(
    client_here: Client, tree: str, deed: str, data: dict[str, str], field: str, words: str
) -> None:
    before = len(story_of(tree))
    sent = {f"{deed}-{name}": value for name, value in data.items()}
    sent.setdefault(f"{deed}-happened_on", "2009-05-20")
    answer = client_here.post(f"/trees/{tree}/write/{deed}", sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page.split(f'id="id_{deed}-{field}_error"')[1].split("</ul>")[0]
    assert len(story_of(tree)) == before


def test_a_dead_tree_is_not_handed_over_and_the_reason_is_shown(
    client_here: Client, tree: str
) -> None:
    write(ScionDied(happened_on=MAY, tree_codes=(tree,)))
    sent = {"hand-over-to_whom": "Mrs Ferrow", "hand-over-happened_on": "2009-05-20"}
    answer = client_here.post(f"/trees/{tree}/write/hand-over", sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert f"tree {tree} is dead; hand over another" in page
    assert 'value="Mrs Ferrow"' in page


@pytest.mark.parametrize(
    "loss",
    [
        lambda code: ScionDied(happened_on=MAY, tree_codes=(code,), cause=Cause.DRIED),
        lambda code: StockDied(happened_on=MAY, tree_codes=(code,), cause=Cause.WET),
        lambda code: UnionBroke(happened_on=MAY, tree_codes=(code,), cause=Cause.WIND),
        lambda code: TakeJudged(happened_on=MAY, tree_codes=(code,), scion=Scion.DEAD),
    ],
)
def test_dead_is_taken_back_by_one_action_and_nothing_is_lost(
    client_here: Client, tree: str, loss: object
) -> None:
    write(loss(tree))  # type: ignore[operator]
    before = [one.entry_id for one in story_of(tree)]
    assert not read_notebook().trees[tree].is_alive
    assert client_here.post(f"/trees/{tree}/lives").status_code == 302
    assert read_notebook().trees[tree].is_alive
    assert before == [one.entry_id for one in story_of(tree)][: len(before)]


def test_waiting_never_turns_dead_by_itself(
    client_here: Client, tree: str, settings: object
) -> None:
    settings.STAND_ON = date(2010, 8, 1)  # type: ignore[attr-defined]
    page = client_here.get(f"/trees/{tree}/").content.decode()
    assert "Waiting" in page
    assert "It lives after all" not in page


def test_a_corrected_entry_shows_what_was_first_written(client_here: Client, tree: str) -> None:
    _post(client_here, tree, "growth", growth_mm="15")
    (written,) = entries_of_kind("GrowthMeasured")
    address = f"/trees/{tree}/{written.entry_id}/correct"
    assert client_here.get(address).status_code == 200
    sent = {"happened_on": "2009-05-20", "tree_codes": tree, "growth_mm": "150", "reason": "slip"}
    assert client_here.post(address, sent).status_code == 302
    assert read_notebook().trees[tree].growth_mm == 150.0
    page = client_here.get(f"/trees/{tree}/").content.decode()
    assert "150 mm of new growth" in page
    assert "first written: 15 mm of new growth" in page
    assert "Why: Slip." in page


def test_a_correction_of_nothing_writes_nothing(client_here: Client, tree: str) -> None:
    _post(client_here, tree, "growth", growth_mm="15")
    (written,) = entries_of_kind("GrowthMeasured")
    sent = {"happened_on": "2009-05-20", "tree_codes": tree, "growth_mm": "15", "reason": ""}
    client_here.post(f"/trees/{tree}/{written.entry_id}/correct", sent)
    assert entries_of_kind("EntryCorrected") == []


def test_a_correction_that_cannot_be_is_refused_beside_its_field(
    client_here: Client, tree: str
) -> None:
    _post(client_here, tree, "growth", growth_mm="15")
    (written,) = entries_of_kind("GrowthMeasured")
    sent = {"happened_on": "2009-05-20", "tree_codes": tree, "growth_mm": "much"}
    answer = client_here.post(f"/trees/{tree}/{written.entry_id}/correct", sent)
    assert answer.status_code == 422
    assert 'id="id_growth_mm_error"' in answer.content.decode()


def test_every_kind_of_entry_about_a_tree_can_be_opened_for_correction(
    client_here: Client, tree: str
) -> None:
    _post(client_here, tree, "grade", ready="yes", height_m="1.2")
    _post(client_here, tree, "loss", what="damage", cause="aphid")
    for one in story_of(tree):
        assert client_here.get(f"/trees/{tree}/{one.entry_id}/correct").status_code == 200


def test_a_withdrawn_entry_stays_readable_and_counts_again_on_a_word(
    client_here: Client, tree: str
) -> None:
    _post(client_here, tree, "binding", binding="off")
    (written,) = entries_of_kind("BindingOff")
    assert isinstance(written.entry, BindingOff)
    client_here.post(f"/trees/{tree}/{written.entry_id}/withdraw", {"reason": "wrong tree"})
    assert read_notebook().trees[tree].binding_on
    page = client_here.get(f"/trees/{tree}/").content.decode()
    assert f"<s>Binding taken off {tree}.</s>" in page
    assert "Why: Wrong tree." in page
    (withdrawal,) = entries_of_kind("EntryWithdrawn")
    client_here.post(f"/trees/{tree}/{withdrawal.entry_id}/withdraw")
    assert not read_notebook().trees[tree].binding_on


def test_a_withdrawn_run_leaves_the_story_of_its_codes_readable(
    client_here: Client, tree: str
) -> None:
    (run,) = entries_of_kind("RunGrafted")
    client_here.post(f"/trees/{tree}/{run.entry_id}/withdraw")
    assert tree not in read_notebook().trees
    page = client_here.get(f"/trees/{tree}/").content.decode()
    assert "Its story stays readable" in page
    assert "3 grafts of Discovery" in page


def test_a_bundle_page_counts_what_came_of_it(client_here: Client, small: Small) -> None:
    codes = graft(small, 4)
    write(GrowthMeasured(happened_on=MAY, tree_codes=codes[:2], growth_mm=200.0))
    write(ScionDied(happened_on=MAY, tree_codes=codes[2:3]))
    page = client_here.get(f"/trees/{small.bundle}/").content.decode()
    assert "4 grafts: 2 of 3 decided took; 3 here, 0 handed over." in page


@pytest.mark.parametrize(
    ("thing", "deed", "data", "kind"),
    [
        ("bundle", "check", {"condition": "mould"}, "BundleChecked"),
        ("bundle", "discard", {"reason": "mould"}, "BundleDiscarded"),
        ("lot", "measure", {"diameters_mm": "8.5 9 7,5"}, "StocksMeasured"),
        ("lot", "lose", {"how_many": "3"}, "StocksLost"),
        ("lot", "check", {"waking": "swelling"}, "StocksChecked"),
        ("mother", "health", {"health": "suspect"}, "HealthNoted"),
        ("mother", "certainty", {"certainty": "label only"}, "CertaintyJudged"),
        ("mother", "permission", {"owner": "Ann", "granted": "no"}, "PermissionRecorded"),
        ("greenhouse", "note", {"words": "door sticks"}, "NoteWritten"),
    ],
)
def test_bundles_lots_mother_trees_and_places_are_written_about_on_their_pages(
    client_here: Client, small: Small, thing: str, deed: str, data: dict[str, str], kind: str
) -> None:
    code = getattr(small, thing)
    assert _post(client_here, code, deed, **data) == 302
    assert code in _last(kind).concerns()
    assert client_here.get(f"/trees/{code}/").status_code == 200


def test_a_mother_tree_is_renamed_only_where_what_follows_is_shown_first(
    client_here: Client, small: Small
) -> None:
    assert _post(client_here, small.mother, "name", variety="Not Discovery") == 404
    page = client_here.get(f"/trees/{small.mother}/").content.decode()
    assert f'href="/mothers/{small.mother}/"' in page


def test_a_thickness_that_is_no_number_is_named(client_here: Client, small: Small) -> None:
    sent = {"measure-diameters_mm": "8.5 nine", "measure-happened_on": "2009-05-20"}
    answer = client_here.post(f"/trees/{small.lot}/write/measure", sent)
    assert answer.status_code == 422
    assert "nine is no thickness" in answer.content.decode()
    assert "8.5 nine" in answer.content.decode()


def test_wood_cut_from_a_mother_tree_becomes_a_bundle_of_its_variety(
    client_here: Client, small: Small
) -> None:
    data = {"stick_count": "4", "bud_count": "7", "length_mm": "350"}
    assert _post(client_here, small.mother, "cut", **data, base_mm="8", tip_mm="6") == 302
    newest = max(read_notebook().bundles.values(), key=lambda bundle: bundle.cut_on)
    assert (newest.variety, newest.bud_count) == ("Discovery", 28)
    status = _post(client_here, small.mother, "cut", **data, base_mm="6", tip_mm="8")
    assert status == 422


def test_a_renamed_mother_tree_renames_every_tree_raised_from_it(
    client_here: Client, small: Small, tree: str
) -> None:
    asked = {"variety": "Beauty of Skelbeck", "happened_on": "2009-02-17"}
    address = f"/mothers/{small.mother}/rename"
    shown = client_here.post(address, asked).content.decode()
    asked["seen"] = shown.split('name="seen" value="')[1].split('"')[0]
    assert client_here.post(address, asked).status_code == 302
    assert "Beauty of Skelbeck" in client_here.get(f"/trees/{tree}/").content.decode()


def test_handing_over_ends_the_trees_stay(client_here: Client, tree: str) -> None:
    _post(client_here, tree, "hand-over", to_whom="Mrs Ferrow")
    entry = _last("TreeHandedOver")
    assert isinstance(entry, TreeHandedOver)
    assert "Handed over to Mrs Ferrow" in client_here.get(f"/trees/{tree}/").content.decode()
    assert isinstance(entry.to_whom, str)
    assert not read_notebook().trees[tree].is_here


_ANY = st.one_of(
    st.text(max_size=30),
    st.sampled_from(["nan", "inf", "1e400", "\x00", "２", "<b>", "2009-02-30", "-1", "9" * 300]),
)


@pytest.mark.django_db
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(value=_ANY, deed=st.sampled_from(["growth", "pot", "grade", "note", "take", "move"]))
def test_no_text_in_a_form_ever_breaks_the_page(tree: str, value: str, deed: str) -> None:
    names = ("growth_mm", "pot_litres", "height_m", "words", "scion", "place", "happened_on")
    sent = {f"{deed}-{name}": value for name in names}
    assert Client().post(f"/trees/{tree}/write/{deed}", sent).status_code in (302, 422)
    assert Client().get("/trees/", {"q": value, "page": value, "state": value}).status_code in (
        200,
        302,
    )


def test_a_graded_tree_says_its_height(client_here: Client, tree: str) -> None:
    _post(client_here, tree, "grade", ready="no", height_m="0.8")
    entry = _last("Graded")
    assert isinstance(entry, Graded)
    assert (
        "Not yet fit to hand over, 0.8 m high"
        in client_here.get(f"/trees/{tree}/").content.decode()
    )
