"""Lines of a plan made by hand, for tests of what is shared among them."""

from graftwright.season.planned import LinePlan, Shortage, ShortOf, StageRate


def made_line(
    code: str,
    *,
    wanted: int,
    asked: int,
    planned: int,
    rate: tuple[float, float],
    variety: str = "Discovery",
    stock: str = "M26",
    priority: int = 2,
    short_of: ShortOf | None = None,
) -> LinePlan:
    a, b = rate
    take = StageRate(
        stage="take",
        a=a,
        b=b,
        mean_fraction=a / (a + b),
        low_fraction=0,
        high_fraction=1,
        own_tried_count=0,
        own_passed_count=0,
        words="",
    )
    short = Shortage(
        short_of=short_of or ShortOf.WOOD,
        promise_code=code,
        missing_count=asked - planned,
        words="",
        way_out="",
    )
    return LinePlan(
        promise_code=code,
        who=code,
        variety=variety,
        stock=stock,
        wanted_count=wanted,
        living_count=0,
        to_raise_count=wanted,
        sureness_fraction=0.9,
        priority=priority,
        due_on=None,
        graft_count=asked,
        chance_fraction=0,
        planned_count=planned,
        planned_chance_fraction=0,
        simple_rule_count=0,
        simple_rule_chance_fraction=0,
        rates=(take,),
        steps=(),
        shortages=(short,) if short_of else (),
    )
