import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.errors import OutOfRange
from graftwright.wood import (
    CuttingRules,
    DiameterReading,
    Skill,
    Stick,
    candidate_pieces,
    most_piece_count,
    spoilt_allowance_count,
)
from tests.wood.brute_force import every_piece
from tests.wood.instances import RULES, instance

EVEN = Stick(
    name="even",
    variety="Discovery",
    length_mm=600.0,
    base_mm=8.0,
    tip_mm=5.0,
    buds_mm=tuple(20.0 + 34.0 * number for number in range(17)),
)


@pytest.mark.source("CuttingInstances", "candidate_pieces of every instance")
@pytest.mark.parametrize(
    "name", ["small_a", "small_b", "small_c", "medium_a", "medium_b", "medium_c"]
)
def test_as_many_pieces_can_be_cut_as_published(name):
    case = instance(name)
    assert candidate_pieces(case.sticks, rules=RULES).piece_count == case.candidate_count


def test_every_piece_is_one_the_rules_allow_when_read_bud_by_bud():
    for stick in instance("small_a").sticks:
        table = candidate_pieces([stick], rules=RULES)
        found = zip(
            table.first_bud.tolist(),
            table.last_bud.tolist(),
            table.diameter_tenths.tolist(),
            strict=True,
        )
        expected = {(first, last, tenths) for first, last, tenths, _ in every_piece(stick, RULES)}
        assert set(found) == expected


def test_a_longer_cut_leaves_fewer_pieces():
    sticks = instance("small_a").sticks
    counts = [
        candidate_pieces(sticks, rules=CuttingRules(cut_length_ratio=ratio)).piece_count
        for ratio in (2.5, 3.5, 4.5)
    ]
    assert counts[0] > counts[1] > counts[2]


def test_a_bud_at_the_back_of_the_slant_lets_more_pieces_be_cut():
    sticks = instance("small_a").sticks
    strict = candidate_pieces(sticks, rules=CuttingRules())
    lenient = candidate_pieces(sticks, rules=CuttingRules(is_bud_allowed_behind_slant=True))
    most = [most_piece_count(pieces, stick_count=20).sum() for pieces in (strict, lenient)]
    assert most[1] > most[0]


def test_scarce_wood_may_be_cut_into_two_bud_pieces():
    plenty = candidate_pieces([EVEN], rules=CuttingRules())
    scarce = candidate_pieces(
        [EVEN], rules=CuttingRules(), scarce_varieties=frozenset({"Discovery"})
    )
    buds = (scarce.last_bud - scarce.first_bud + 1).min()
    assert (plenty.last_bud - plenty.first_bud + 1).min() == 3
    assert buds == 2
    assert most_piece_count(scarce, stick_count=1)[0] > most_piece_count(plenty, stick_count=1)[0]


def test_shoots_of_four_centimetres_give_no_piece():
    stub = Stick(
        name="stub",
        variety="Old Pearmain",
        length_mm=40.0,
        base_mm=5.0,
        tip_mm=4.0,
        buds_mm=(8.0, 16.0, 24.0, 32.0),
    )
    assert candidate_pieces([stub], rules=CuttingRules()).piece_count == 0


def test_a_measured_bulge_changes_the_diameter_of_the_pieces_cut_there():
    bulged = Stick(
        name="bulged",
        variety="Discovery",
        length_mm=600.0,
        base_mm=8.0,
        tip_mm=5.0,
        buds_mm=EVEN.buds_mm,
        readings=(DiameterReading(position_mm=300.0, diameter_mm=8.0),),
    )
    straight, thick = (candidate_pieces([stick], rules=CuttingRules()) for stick in (EVEN, bulged))
    assert thick.diameter_tenths.max() > straight.diameter_tenths[straight.base_cut_mm > 100].max()


def test_the_allowance_for_spoilt_cuts_shrinks_with_skill():
    counts = [spoilt_allowance_count(100, skill=skill) for skill in Skill]
    assert counts == [15, 5, 2]
    assert spoilt_allowance_count(1, skill=Skill.LEARNER) == 0


@given(
    gaps=st.lists(st.floats(9.0, 60.0), min_size=1, max_size=14),
    base_mm=st.floats(5.0, 12.0),
    slimming=st.floats(0.3, 1.0),
)
@settings(max_examples=80, deadline=None)
def test_pieces_without_a_common_bud_never_overlap(gaps, base_mm, slimming):
    buds = [sum(gaps[: number + 1]) for number in range(len(gaps))]
    stick = Stick(
        name="s",
        variety="v",
        length_mm=buds[-1] + 20.0,
        base_mm=base_mm,
        tip_mm=base_mm * slimming,
        buds_mm=tuple(buds),
        usable_from_mm=0.0,
    )
    table = candidate_pieces([stick], rules=CuttingRules())
    for lower in range(table.piece_count):
        for upper in range(table.piece_count):
            if table.first_bud[upper] > table.last_bud[lower]:
                assert table.base_cut_mm[upper] >= table.top_cut_mm[lower] - 1e-9


def test_rules_that_contradict_one_another_are_refused():
    with pytest.raises(OutOfRange, match="buds per piece"):
        CuttingRules(min_bud_count=5, max_bud_count=3)
    with pytest.raises(OutOfRange, match="piece lengths"):
        CuttingRules(min_piece_mm=200.0)
    with pytest.raises(OutOfRange, match="diameters long"):
        CuttingRules(cut_length_ratio=0.5)
    with pytest.raises(OutOfRange, match="bud percents"):
        CuttingRules(bud_percent_by_count=(120,))
