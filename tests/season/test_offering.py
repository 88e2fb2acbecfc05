"""A nursery's offer drawn from the invented nursery's notebook."""

from dataclasses import replace

import pytest

from graftwright.exchange import offer_bytes
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import Health
from graftwright.season.scheme import OfferWishes, WoodHealth, offer_of

ALL = OfferWishes(sends_wood=True, sends_stocks=True, works_for_others=True, shares_counts=True)


@pytest.fixture(scope="module")
def offer(notebook, plan):
    return offer_of(notebook, plan=plan, catalogue=shipped_catalogue(), wishes=ALL)


def test_what_is_offered_is_what_the_notebook_has(notebook, plan, offer):
    in_hand = sum(lot.in_hand_count for lot in notebook.lots.values() if lot.grade)
    assert sum(lot.stocks_count for lot in offer.stocks) == in_hand
    wanted = sum(line.to_raise_count for line in plan.lines)
    assert sum(want.trees_count for want in offer.wants) == wanted
    thick = {lot.variety: (lot.low_mm, lot.high_mm) for lot in offer.wood}
    measured = {
        mm for b in notebook.bundles.values() for s in b.sticks for mm in (s.base_mm, s.tip_mm)
    }
    assert all(min(measured) - 1 <= low < high <= max(measured) + 1 for low, high in thick.values())


def test_no_more_pieces_are_offered_than_the_bundles_still_give(notebook, offer):
    left = sum(bundle.pieces_left for bundle in notebook.bundles.values())
    assert 0 < sum(lot.pieces_count for lot in offer.wood) <= left


def test_no_name_of_a_person_and_no_code_leaves_the_nursery(notebook, offer):
    text = offer_bytes(offer).decode()
    people = {promise.who for promise in notebook.promises.values()}
    owners = {tree.owner for tree in notebook.mother_trees.values()} - {"", offer.nursery}
    codes = {*notebook.promises, *notebook.bundles, *notebook.lots, *notebook.mother_trees}
    assert people
    assert owners
    assert not [word for word in people | owners | codes if word in text]


def test_nothing_leaves_a_nursery_that_does_not_say_so(notebook, plan):
    kept = offer_of(notebook, plan=plan, catalogue=shipped_catalogue(), wishes=OfferWishes())
    assert not any(lot.may_be_sent for lot in (*kept.wood, *kept.stocks))
    assert not kept.works_for_others
    assert kept.counts == ()


def test_wood_goes_only_where_the_owner_said_yes_and_the_tree_was_seen_clean(notebook, plan):
    trees = {
        code: replace(tree, permission=None, health=Health.SUSPECT)
        for code, tree in notebook.mother_trees.items()
    }
    unasked = replace(notebook, mother_trees=trees)
    offer = offer_of(unasked, plan=plan, catalogue=shipped_catalogue(), wishes=ALL)
    assert not any(lot.may_be_sent for lot in offer.wood)
    from_known = [lot for lot in offer.wood if lot.health != WoodHealth.NOT_LOOKED_AT]
    assert from_known
    assert {lot.health for lot in from_known} == {WoodHealth.SUSPECT}
