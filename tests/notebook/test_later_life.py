"""A tree's later life: worked again, opened, more varieties on it; jobs put off and given."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from graftwright.errors import CannotFollow, OutOfRange, UnknownCode
from graftwright.notebook.entries import (
    AutopsyMade,
    Binding,
    Caned,
    Cause,
    DamageNoted,
    EvidenceKind,
    EvidenceNoted,
    FruitedAs,
    GrowthMeasured,
    JobGiven,
    JobPutOff,
    LimbRemoved,
    Method,
    MotherTreeEntered,
    PartJudged,
    PlaceEntered,
    PlaceKind,
    PlaceLimitsSet,
    RainMeasured,
    RescuePlanned,
    Reworked,
    RunGrafted,
    Scion,
    ScionDied,
    ShootsThinned,
    StickMeasured,
    StockCarriedOver,
    StockDied,
    TakeJudged,
    VarietyAdded,
    WoodCut,
)
from graftwright.notebook.replay import replay
from graftwright.notebook.rules import check_may_follow
from graftwright.notebook.standing.working import parts_near
from graftwright.tagcode import code_from_number
from tests.notebook.test_replay import BUNDLE, LOT, PLACE, START, TREES, beginning, written

SUMMER = date(2009, 8, 10)
BUDWOOD, MOTHER = code_from_number(20), code_from_number(21)
BUDS = WoodCut(
    happened_on=SUMMER,
    code=BUDWOOD,
    variety="James Grieve",
    sticks=(StickMeasured(number=1, length_mm=300, base_mm=7, tip_mm=5, bud_count=8),),
)


def notebook(*later):
    return replay([written(i, e) for i, e in enumerate([*beginning(), *later])])


def lost(*codes, cause=Cause.DRIED):
    return ScionDied(happened_on=date(2009, 6, 1), tree_codes=codes, cause=cause)


def budded(*codes):
    return Reworked(
        happened_on=SUMMER,
        tree_codes=codes,
        bundle_code=BUDWOOD,
        method=Method.CHIP_BUD,
        grafter="IN",
        breaks_in=2010,
    )


def test_a_stock_worked_again_keeps_its_code_and_the_story_of_its_first_working():
    # need N10: the same plant number with a new working
    tree = notebook(lost(TREES[0]), BUDS, budded(TREES[0])).trees[TREES[0]]
    assert (tree.code, tree.bundle_code, tree.scion) == (TREES[0], BUDWOOD, Scion.WAITING)
    assert (tree.season, tree.grafted_on, tree.is_alive) == (2010, SUMMER, True)
    (first,) = tree.earlier
    assert (first.bundle_code, first.loss_cause) == (BUNDLE, "scion dried")
    assert first.scion_died_on == date(2009, 6, 1)


def test_the_failed_first_working_still_counts_as_a_failure():
    standing = notebook(lost(TREES[0]), BUDS, budded(TREES[0]))
    mine = [one for one in standing.workings() if one.code == TREES[0]]
    assert [(one.season, one.is_alive) for one in mine] == [(2010, True), (2009, False)]
    assert len(list(standing.workings())) == len(TREES) + 1


@pytest.mark.parametrize(
    ("before", "words"),
    [
        ([], "still bears its scion"),
        ([StockDied(happened_on=date(2009, 6, 1), tree_codes=(TREES[0],))], "has a dead stock"),
    ],
)
def test_only_a_living_stock_without_its_scion_is_worked_again(before, words):
    # need N10: a dead stock is never offered
    with pytest.raises(CannotFollow, match=words):
        check_may_follow(budded(TREES[0]), notebook(BUDS, *before))


def test_buds_are_counted_one_by_one_against_their_bundle():
    after = notebook(lost(*TREES), BUDS, budded(*TREES[:5])).bundles[BUDWOOD]
    assert (after.pieces_at_most, after.single_bud_count, after.used_count) == (3, 5, 0)
    with pytest.raises(CannotFollow, match="3 pieces left even at one bud each, 4 were used"):
        check_may_follow(
            replace(budded(TREES[5]), spoilt_count=3),
            notebook(lost(*TREES), BUDS, budded(*TREES[:5])),
        )


def test_a_stock_carried_over_is_offered_no_more():
    over = StockCarriedOver(happened_on=SUMMER, tree_codes=(TREES[0],), lot_code=LOT)
    standing = notebook(lost(TREES[0]), over)
    assert not standing.trees[TREES[0]].is_free_stock
    with pytest.raises(CannotFollow, match="was carried over into lot"):
        check_may_follow(budded(TREES[0]), replace(standing, bundles=notebook(BUDS).bundles))


def test_an_autopsy_says_only_what_was_looked_for():
    opened = AutopsyMade(
        happened_on=date(2009, 6, 2), tree_codes=(TREES[0],), callus_seen=False, upside_down=True
    )
    assert notebook(lost(TREES[0]), opened).trees[TREES[0]].autopsy == (
        "no callus; scion upside down"
    )


def test_a_lost_leader_opens_the_choice_of_shoot_again():
    # needs N36 and N41
    code = (TREES[0],)
    tree = notebook(
        GrowthMeasured(happened_on=date(2009, 6, 1), tree_codes=code, growth_mm=300.0),
        ShootsThinned(happened_on=date(2009, 6, 2), tree_codes=code, to_count=1),
        Caned(happened_on=date(2009, 6, 2), tree_codes=code),
        DamageNoted(happened_on=date(2009, 6, 9), tree_codes=code, cause=Cause.LEADER_LOST),
    ).trees[TREES[0]]
    assert (tree.shoot_count, tree.caned, tree.has_taken) == (0, False, True)


def _family_tree():
    """Ten grafts, every 36 degrees and 150 mm apart, on three limbs."""
    return [
        VarietyAdded(
            happened_on=START + timedelta(days=place),
            tree_codes=(TREES[0],),
            bundle_code=BUNDLE,
            height_mm=600.0 + 150.0 * place,
            bearing_deg=36.0 * place,
            limb=f"limb {place % 3}",
        )
        for place in range(10)
    ]


def test_ten_grafts_on_one_tree_are_found_again_by_height_and_bearing():
    # need N42: height within a tenth, bearing within 30 degrees
    parts = notebook(*_family_tree()).trees[TREES[0]].parts
    assert len(parts) == 10
    for part in parts:
        near = parts_near(
            parts,
            height_mm=part.height_mm * 1.04,
            bearing_deg=(part.bearing_deg + 12.0) % 360.0,
        )
        assert near[0] == part


def test_north_is_one_direction_from_either_side():
    parts = notebook(*_family_tree()).trees[TREES[0]].parts
    assert parts_near(parts, height_mm=600.0, bearing_deg=355.0)[0].number == 1


def test_a_limb_takes_its_own_grafts_with_it_and_no_others():
    # need N42
    gone = LimbRemoved(happened_on=date(2010, 1, 5), tree_codes=(TREES[0],), limb="Limb 1")
    parts = notebook(*_family_tree(), gone).trees[TREES[0]].parts
    assert {part.number for part in parts if not part.is_there} == {2, 5, 8}


def test_one_part_is_judged_without_the_others():
    judged = PartJudged(
        happened_on=date(2009, 6, 1), tree_codes=(TREES[0],), part_number=2, scion=Scion.DEAD
    )
    parts = notebook(*_family_tree(), judged).trees[TREES[0]].parts
    assert [part.number for part in parts if not part.is_there] == [2]
    with pytest.raises(CannotFollow, match="number 11 is not among them"):
        check_may_follow(replace(judged, part_number=11), notebook(*_family_tree()))


def test_an_interstem_stands_in_the_chain_and_its_wood_is_used_up():
    # need N44
    quince = code_from_number(30)
    double = RunGrafted(
        happened_on=SUMMER,
        tree_codes=(quince,),
        bundle_code=BUDWOOD,
        lot_code=LOT,
        interstem_bundle_code=BUNDLE,
    )
    before = notebook(BUDS)
    check_may_follow(double, before)
    after = notebook(BUDS, double)
    assert after.chain_of(after.trees[quince]) == ("M26", "Discovery", "James Grieve")
    used = after.bundles[BUNDLE].used_count - before.bundles[BUNDLE].used_count
    assert used == 1


def test_evidence_is_kept_together_and_decides_nothing():
    # need N46: never forced into a variety; "no match" is a result too
    entered = MotherTreeEntered(happened_on=START, code=MOTHER, variety="Farm tree 1")
    found = [
        EvidenceNoted(
            happened_on=SUMMER,
            code=MOTHER,
            evidence=kind,
            words=words,
            speaks_for=name,
        )
        for kind, words, name in (
            (EvidenceKind.WORD, "the farmer's aunt called it so", "Keswick Codlin"),
            (EvidenceKind.DNA, "no match in the reference set", ""),
        )
    ]
    mother = notebook(entered, *found).mother_trees[MOTHER]
    assert mother.variety == "Farm tree 1"
    assert [one.speaks_for for one in mother.evidence_found] == ["Keswick Codlin", ""]
    with pytest.raises(UnknownCode):
        check_may_follow(found[0], notebook())
    with pytest.raises(OutOfRange, match="evidence without words"):
        replace(found[0], words=" ")


def test_a_rescue_is_kept_with_its_mother_tree():
    entered = MotherTreeEntered(happened_on=START, code=MOTHER, variety="Farm tree 1")
    rescue = RescuePlanned(
        happened_on=START, code=MOTHER, access_until=date(2009, 4, 1), wanted_count=3
    )
    assert notebook(entered, rescue).mother_trees[MOTHER].rescue == rescue


def test_a_job_put_off_is_kept_until_it_is_put_off_again():
    first, again = (
        JobPutOff(
            happened_on=START + timedelta(days=n),
            job="cane",
            place_code=PLACE,
            until_on=START + timedelta(days=n + 7),
            reason="no canes",
        )
        for n in (0, 5)
    )
    assert notebook(first, again).nursery.put_off == (again,)
    with pytest.raises(OutOfRange, match="expected a later day"):
        replace(first, until_on=START)


def test_a_job_is_given_by_initials_and_taken_back():
    given = JobGiven(happened_on=START, job="cane", place_code=PLACE, to_whom="IN")
    assert notebook(given).nursery.given == (given,)
    assert notebook(given, replace(given, to_whom="")).nursery.given == ()


def test_rain_of_a_day_is_the_last_word_on_it():
    rain = [RainMeasured(happened_on=START, rain_mm=mm) for mm in (2.0, 8.5)]
    assert [one.rain_mm for one in notebook(*rain).nursery.rain] == [8.5]


def test_limits_outlive_a_new_description_of_their_place():
    place = PlaceEntered(
        happened_on=START, code=PLACE, name="Shed", place_kind=PlaceKind.UNHEATED_ROOM
    )
    limits = PlaceLimitsSet(happened_on=START, place_code=PLACE, low_c=2.0, high_c=25.0)
    standing = notebook(place, limits, replace(place, name="Brick shed")).places[PLACE]
    assert (standing.name, standing.low_c, standing.high_c) == ("Brick shed", 2.0, 25.0)


def test_a_tree_that_fruited_wrong_says_so():
    fruited = FruitedAs(happened_on=date(2019, 9, 1), tree_codes=(TREES[0],), variety="Bramley")
    assert notebook(fruited).trees[TREES[0]].fruited_as == "Bramley"


def test_a_taken_tree_may_be_changed_over_to_another_variety():
    grown = GrowthMeasured(happened_on=date(2009, 6, 1), tree_codes=(TREES[0],), growth_mm=200.0)
    over = replace(budded(TREES[0]), method=Method.CLEFT, binding=Binding.TAPE, breaks_in=None)
    check_may_follow(over, notebook(BUDS, grown))
    tree = notebook(BUDS, grown, over).trees[TREES[0]]
    assert tree.earlier[0].taken_on == date(2009, 6, 1)
    assert not tree.has_taken


def test_a_reworked_tree_is_judged_anew():
    judged = TakeJudged(happened_on=date(2010, 5, 20), tree_codes=(TREES[0],), scion=Scion.GROWING)
    tree = notebook(lost(TREES[0]), BUDS, budded(TREES[0]), judged).trees[TREES[0]]
    assert (tree.scion, tree.growing_since) == (Scion.GROWING, date(2010, 5, 20))
