"""One up, one down, from any thing: the exact list of descendants and their holders."""

from datetime import date

from graftwright.notebook.entries import (
    Cause,
    Health,
    HealthNoted,
    NameDecided,
    Reworked,
    ScionDied,
    StockDied,
    TreeHandedOver,
    VarietyAdded,
)
from graftwright.season.trace import trace_of
from tests.season.life_world import BUNDLE, GLASS, LOT, MOTHER, OTHER, SCHOOL, codes, notebook, run

here, away, dead, grieve, again = codes(5)
ILL = HealthNoted(happened_on=date(2009, 8, 1), code=MOTHER, health=Health.DISEASED)


def world(*more):
    return notebook(
        run((here, away, dead, again)),
        run((grieve,), bundle=OTHER),
        TreeHandedOver(
            happened_on=date(2009, 11, 14),
            tree_codes=(away,),
            promise_code=SCHOOL,
            to_whom="The school",
        ),
        StockDied(happened_on=date(2009, 5, 1), tree_codes=(dead,), cause=Cause.WET),
        *more,
    )


def test_disease_on_a_mother_tree_lists_living_descendants_and_where_they_went():
    # need N27
    trace = trace_of(MOTHER, world(ILL))
    assert trace.is_diseased
    assert {one.tree.code for one in trace.living} == {here, away, again}
    held = {holder: {one.tree.code for one in found} for holder, found in trace.holders}
    assert held == {"The school": {away}, "here: Cold greenhouse": {here, again}}


def test_those_outside_the_nursery_are_named_first():
    assert trace_of(MOTHER, world()).holders[0][0] == "The school"


def test_wood_still_in_store_is_part_of_the_trace():
    assert trace_of(MOTHER, world()).wood_in_store == (BUNDLE,)


def test_a_further_variety_is_a_descendant_of_its_own_mother_too():
    added = VarietyAdded(
        happened_on=date(2009, 4, 1),
        tree_codes=(grieve,),
        bundle_code=BUNDLE,
        height_mm=900.0,
        bearing_deg=90.0,
    )
    found = {one.tree.code: one.holds for one in trace_of(MOTHER, world(added)).living}
    assert found[grieve] == "further variety"


def test_a_tree_worked_again_is_still_listed_with_its_replaced_working():
    changed = (
        ScionDied(happened_on=date(2009, 5, 1), tree_codes=(again,), cause=Cause.DRIED),
        Reworked(happened_on=date(2009, 8, 1), tree_codes=(again,), bundle_code=OTHER),
    )
    found = {one.tree.code: one.holds for one in trace_of(MOTHER, world(*changed)).descended}
    assert found[again] == "an earlier working, replaced"


def test_from_a_tree_one_step_up_names_mother_owner_and_the_stocks_supplier():
    # need N29
    sources = {one.code: one.from_whom for one in trace_of(here, world()).sources}
    assert sources[MOTHER] == "Ada Fell"
    assert sources[LOT] == "Fell Nurseries"
    bought = {one.code: one.from_whom for one in trace_of(grieve, world()).sources}
    assert bought[OTHER] == "a neighbour"


def test_a_lot_is_traced_to_every_tree_on_it():
    assert {one.tree.code for one in trace_of(LOT, world()).descended} == set(codes(5))


def test_a_new_name_of_the_mother_is_every_descendants_name_at_once():
    # need N09
    renamed = NameDecided(happened_on=date(2019, 9, 1), code=MOTHER, variety="Beauty of Bath")
    trace = trace_of(MOTHER, world(renamed))
    assert trace.name == "Beauty of Bath"
    assert {one.variety for one in trace.descended} == {"Beauty of Bath"}


def test_a_place_is_not_traced():
    assert trace_of(GLASS, world()) is None
