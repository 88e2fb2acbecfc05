"""Jobs on trees by the state of each: binding, shoots, canes, hardening off, second chances."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from graftwright.notebook.entries import (
    Binding,
    BindingLoosened,
    BudsMoved,
    Caned,
    Cause,
    DamageNoted,
    GrowthMeasured,
    HardeningBegun,
    JobGiven,
    JobPutOff,
    Method,
    PottedOn,
    PracticeSet,
    Reworked,
    Scion,
    ScionDied,
    ShootsThinned,
    StockDied,
    TakeJudged,
    TreeMoved,
)
from graftwright.season.due import day_ground, day_list, jobs_due
from tests.season.cover_world import steady_years
from tests.season.life_world import GLASS, OTHER, YARD, codes, notebook, run

JUNE = date(2009, 6, 10)
TAPED, RUBBER = codes(2)


def due(notebook_then, *, today=JUNE, normals=None):
    jobs = jobs_due(notebook_then, today=today, normals=normals or steady_years(8.0, 18.0))
    return {job.name: job for job in jobs}


def growing(trees, growth_mm, *, on=date(2009, 6, 8)):
    return [
        BudsMoved(happened_on=date(2009, 4, 15), tree_codes=trees),
        TakeJudged(happened_on=date(2009, 5, 1), tree_codes=trees, scion=Scion.GROWING),
        GrowthMeasured(happened_on=on, tree_codes=trees, growth_mm=growth_mm),
    ]


def own(practice, value, words=""):
    return PracticeSet(happened_on=date(2009, 2, 1), practice=practice, value=value, words=words)


# --- binding: need N04 -------------------------------------------------------------------------


def two_bindings(growth_mm, *, on=date(2009, 6, 8)):
    return notebook(
        run((TAPED,), binding=Binding.TAPE),
        run((RUBBER,), binding=Binding.PERISHING_RUBBER),
        *growing((TAPED, RUBBER), growth_mm, on=on),
    )


def test_of_identical_trees_only_the_one_in_tape_gets_a_hard_deadline():
    jobs = due(two_bindings(320.0))
    assert jobs["loosen binding"].codes == (TAPED,)
    assert jobs["loosen binding"].last_safe_on is not None
    assert jobs["look at binding"].codes == (RUBBER,)
    assert jobs["look at binding"].last_safe_on is None


def test_rubber_covered_by_film_counts_as_non_perishing():
    covered = notebook(run((TAPED,), binding=Binding.FILM_OVER_RUBBER), *growing((TAPED,), 120.0))
    assert due(covered)["loosen binding"].codes == (TAPED,)


@pytest.mark.parametrize(("growth_mm", "days"), [(120.0, 14), (220.0, 7), (320.0, 3)])
def test_more_growth_pulls_the_deadline_forward(growth_mm, days):
    # cold years: by warmth the union would be strong much later than the growth allows
    job = due(two_bindings(growth_mm), normals=steady_years(1.0, 6.0))["loosen binding"]
    assert job.last_safe_on == date(2009, 6, 8) + timedelta(days=days)


def test_entering_30_cm_makes_a_job_where_there_was_none():
    cold = steady_years(1.0, 6.0)
    assert "loosen binding" not in due(two_bindings(20.0), normals=cold)
    assert "loosen binding" in due(two_bindings(300.0), normals=cold)


def test_a_loosened_binding_comes_off_four_weeks_later_but_not_on_the_day_of_caning():
    loosened = BindingLoosened(happened_on=date(2009, 5, 10), tree_codes=(TAPED,))
    base = [run((TAPED,), binding=Binding.TAPE), *growing((TAPED,), 250.0), loosened]
    assert due(notebook(*base))["take binding off"].codes == (TAPED,)
    caned_today = Caned(happened_on=JUNE, tree_codes=(TAPED,))
    assert "take binding off" not in due(notebook(*base, caned_today))
    assert "take binding off" in due(notebook(*base, caned_today), today=JUNE + timedelta(days=1))


# --- stock shoots by state: need N35 -----------------------------------------------------------


def three_states(*more):
    grows, waits, dead = codes(3)
    return notebook(
        run((grows, waits, dead)),
        *growing((grows,), 150.0),
        ScionDied(happened_on=date(2009, 5, 20), tree_codes=(dead,), cause=Cause.DRIED),
        *more,
    )


def test_three_states_of_the_scion_give_three_jobs_on_the_stock():
    grows, waits, dead = codes(3)
    jobs = due(three_states())
    assert jobs["rub off stock shoots"].codes == (grows,)
    assert jobs["pinch stock shoots"].codes == (waits,)
    assert jobs["keep a stock shoot"].codes == (dead,)


def test_a_set_practice_replaces_the_advice_and_is_named_as_the_reason():
    _, waits, _ = codes(3)
    mine = own("stock shoots while the scion waits", "rub off", "mildew on the leaves")
    jobs = due(three_states(mine))
    assert "pinch stock shoots" not in jobs
    job = jobs["rub off below waiting scions"]
    assert job.codes == (waits,)
    assert "your own practice: mildew on the leaves" in job.why


def test_leaving_them_be_is_a_practice_too():
    mine = own("stock shoots while the scion waits", "leave")
    assert not {"pinch stock shoots", "rub off below waiting scions"} & set(due(three_states(mine)))


# --- two shoots then one: need N36 -------------------------------------------------------------


def thinned_to_two(*more):
    (tree,) = codes(1)
    return notebook(
        run((tree,)),
        *growing((tree,), 300.0),
        ShootsThinned(happened_on=date(2009, 5, 25), tree_codes=(tree,), to_count=2),
        *more,
    )


def test_no_thinning_to_one_while_the_leader_has_no_cane():
    (tree,) = codes(1)
    assert "thin to one" not in due(thinned_to_two())
    caned = Caned(happened_on=date(2009, 5, 26), tree_codes=(tree,))
    assert due(thinned_to_two(caned))["thin to one"].codes == (tree,)


def test_no_thinning_to_one_within_a_fortnight_of_a_move_or_a_new_pot():
    (tree,) = codes(1)
    caned = Caned(happened_on=date(2009, 5, 26), tree_codes=(tree,))
    for late in (
        TreeMoved(happened_on=date(2009, 6, 1), tree_codes=(tree,), place_code=YARD),
        PottedOn(happened_on=date(2009, 6, 1), tree_codes=(tree,), pot_litres=7.5),
    ):
        assert "thin to one" not in due(thinned_to_two(caned, late))
        later = due(thinned_to_two(caned, late), today=date(2009, 6, 15))
        assert later["thin to one"].codes == (tree,)


def test_a_broken_leader_opens_the_choice_again():
    (tree,) = codes(1)
    broken = DamageNoted(happened_on=date(2009, 6, 9), tree_codes=(tree,), cause=Cause.LEADER_LOST)
    caned = Caned(happened_on=date(2009, 5, 26), tree_codes=(tree,))
    jobs = due(thinned_to_two(caned, broken))
    assert "thin to one" not in jobs
    assert jobs["thin to two"].codes == jobs["cane"].codes == (tree,)


# --- cane before wind: need N37 ----------------------------------------------------------------


def windy(km_h, *, on=JUNE):
    tall, short, caned = codes(3)
    return notebook(
        run((tall, short, caned)),
        *growing((tall, caned), 180.0),
        *growing((short,), 80.0),
        Caned(happened_on=date(2009, 6, 8), tree_codes=(caned,)),
        PracticeSet(happened_on=on, practice="strongest wind expected", value=f"{km_h} km/h"),
    )


def test_a_gale_lists_only_trees_over_the_length_without_a_cane():
    job = due(windy(75))["cane before wind"]
    assert job.codes == (codes(3)[0],)
    assert job.is_warning
    assert "75 km/h" in job.why


def test_a_breeze_or_yesterdays_gale_warns_of_nothing():
    assert "cane before wind" not in due(windy(30))
    assert "cane before wind" not in due(windy(75, on=JUNE - timedelta(days=2)))


# --- hardening off and moving out --------------------------------------------------------------


def test_hardening_off_waits_until_frost_is_unlikely_by_the_years_known():
    (tree,) = codes(1)
    under_glass = notebook(run((tree,)), *growing((tree,), 90.0))
    assert due(under_glass, normals=steady_years(4.0, 14.0))["harden off"].codes == (tree,)
    assert "harden off" not in due(under_glass, normals=steady_years(-3.0, 14.0))


def test_moving_out_follows_eight_days_of_hardening():
    (tree,) = codes(1)
    begun = HardeningBegun(happened_on=date(2009, 6, 3), tree_codes=(tree,))
    outward = notebook(run((tree,)), *growing((tree,), 90.0), begun)
    assert "move out" not in due(outward)
    assert due(outward, today=date(2009, 6, 11))["move out"].codes == (tree,)
    out = TreeMoved(happened_on=date(2009, 6, 11), tree_codes=(tree,), place_code=YARD)
    after = notebook(run((tree,)), *growing((tree,), 90.0), begun, out)
    assert not {"move out", "harden off"} & set(due(after, today=date(2009, 6, 12)))


# --- second chance: need N10 -------------------------------------------------------------------


def failed(count):
    trees = codes(40)
    return notebook(
        run(trees),
        ScionDied(happened_on=date(2009, 5, 20), tree_codes=trees[:count], cause=Cause.NO_CALLUS),
        StockDied(happened_on=date(2009, 5, 20), tree_codes=trees[count : count + 2]),
    )


def test_the_summer_offers_exactly_the_living_stocks_for_budding():
    job = due(failed(8), today=date(2009, 8, 1))["bud"]
    assert set(job.codes) == set(codes(40)[:8])
    assert job.last_safe_on == date(2009, 9, 15)


def test_nothing_is_budded_in_may_or_october():
    for day in (date(2009, 5, 25), date(2009, 10, 5)):
        assert "bud" not in due(failed(8), today=day)


def test_a_set_bud_is_looked_at_in_a_fortnight_and_cut_back_to_in_its_spring():
    tree = codes(1)
    budded = notebook(
        run(tree),
        ScionDied(happened_on=date(2009, 5, 20), tree_codes=tree, cause=Cause.DRIED),
        Reworked(
            happened_on=date(2009, 8, 1),
            tree_codes=tree,
            bundle_code=OTHER,
            method=Method.CHIP_BUD,
            breaks_in=2010,
        ),
    )
    assert "look at set buds" not in due(budded, today=date(2009, 8, 14))
    assert due(budded, today=date(2009, 8, 15))["look at set buds"].codes == tree
    assert "cut back to the bud" not in due(budded, today=date(2009, 9, 20))
    assert due(budded, today=date(2010, 3, 1))["cut back to the bud"].codes == tree
    # it waits for its own spring; nobody looks whether it moved in the autumn it was set
    assert "look at waiting grafts" not in due(budded, today=date(2009, 9, 20))
    assert due(budded, today=date(2010, 4, 20))["look at resting buds"].codes == tree


# --- put off and given -------------------------------------------------------------------------


def caning(*more):
    tree = codes(1)
    return notebook(run(tree), *growing(tree, 300.0), *more)


def put_off(until, *, job="cane"):
    return JobPutOff(
        happened_on=date(2009, 6, 9),
        job=job,
        place_code=GLASS,
        about_codes=codes(1),
        until_on=until,
        reason="no canes",
    )


def away(notebook_then, today):
    ground = day_ground(notebook_then, today=today, normals=steady_years(8.0, 18.0))
    return day_list(notebook_then, ground=ground)


def test_a_job_put_off_is_off_the_list_and_comes_back_on_its_day():
    waiting = caning(put_off(date(2009, 6, 13)))
    found = away(waiting, JUNE)
    assert "cane" not in {job.name for job in found.jobs}
    assert [(one.job.name, one.reason) for one in found.away] == [("cane", "no canes")]
    assert "cane" in due(waiting, today=date(2009, 6, 13))


def test_putting_off_never_passes_the_last_safe_day():
    tape = notebook(
        run((TAPED,), binding=Binding.TAPE),
        *growing((TAPED,), 320.0),
        put_off(date(2009, 8, 1), job="loosen binding"),
    )
    cold = steady_years(1.0, 6.0)
    assert "loosen binding" not in due(tape, today=date(2009, 6, 10), normals=cold)
    # three days after 320 mm were measured on the 8th
    assert "loosen binding" in due(tape, today=date(2009, 6, 11), normals=cold)


def test_a_job_put_off_for_other_trees_stays_on_the_list():
    other = JobPutOff(
        happened_on=date(2009, 6, 9),
        job="cane",
        place_code=GLASS,
        about_codes=codes(1, start=90),
        until_on=date(2009, 6, 20),
    )
    assert "cane" in due(caning(other))


def test_a_warning_cannot_be_put_off():
    gale = windy(75)
    off = put_off(date(2009, 6, 20), job="cane before wind")
    ground = day_ground(gale, today=JUNE, normals=steady_years(8.0, 18.0))
    nursery = gale.nursery
    both = replace(gale, nursery=replace(nursery, put_off=(off,)))
    assert "cane before wind" in {job.name for job in day_list(both, ground=ground).jobs}


def test_a_job_given_to_somebody_says_so():
    given = JobGiven(
        happened_on=JUNE, job="cane", place_code=GLASS, about_codes=codes(1), to_whom="IN"
    )
    assert due(caning(given))["cane"].given_to == "IN"


def test_a_ground_worked_out_before_gives_the_same_list():
    then = caning()
    ground = day_ground(caning(put_off(date(2009, 6, 13))), today=JUNE, normals=steady_years())
    fresh = day_ground(then, today=JUNE, normals=steady_years())
    assert day_list(then, ground=ground).jobs == day_list(then, ground=fresh).jobs
    assert day_list(then, ground=ground).jobs == day_list(then, ground=ground).jobs
