"""The plan in sentences, the same on paper, in a terminal and in a calendar."""

from graftwright.paper.words import band_sentence, count_words, percent, short_day_words
from graftwright.season.planned import CuttingClose, LinePlan, Plan
from graftwright.tongue import say, told


def summary_sentence(plan: Plan) -> str:
    """Return the winter in one or two sentences."""
    if not plan.joins and not plan.lines:
        return say("Nothing is planned: write down a promise, and the wood and stocks there are.")
    wanted = sum(line.wanted_count for line in plan.lines)
    variety_count = len({line.variety for line in plan.lines})
    stock_count = len({line.stock for line in plan.lines})
    first = told(
        "{count_words} promised, {count_words_2} planned: {count_words_3} on "
        "{count_words_4} of stock",
        count_words=count_words(wanted, "tree", "trees"),
        count_words_2=count_words(len(plan.joins), "graft", "grafts"),
        count_words_3=count_words(variety_count, "variety", "varieties"),
        count_words_4=count_words(stock_count, "kind", "kinds"),
    )
    return f"{first}, {_bench_words(plan)}. {_shortage_words(plan)}"


def _bench_words(plan: Plan) -> str:
    if not plan.bench_days:
        return say("no bench day set")
    days = say(" and ").join(short_day_words(day.bench_on) for day in plan.bench_days)
    if len(plan.bench_days) > 2:
        first, last = plan.bench_days[0].bench_on, plan.bench_days[-1].bench_on
        days = told(
            "{short_day_words} to {short_day_words_2}",
            short_day_words=short_day_words(first),
            short_day_words_2=short_day_words(last),
        )
    return f"{count_words(len(plan.bench_days), 'bench day', 'bench days')} ({days})"


def _shortage_words(plan: Plan) -> str:
    short = {shortage.promise_code for shortage in plan.shortages}
    if not short:
        return say("No promise is short of anything.")
    return told(
        "{count_words} short of something.",
        count_words=count_words(len(short), "promise is", "promises are"),
    )


def graft_words(line: LinePlan) -> str:
    """Return the grafts planned, and of how many needed where they are fewer."""
    if line.planned_count == line.graft_count:
        return str(line.planned_count)
    return told(
        "{planned_count} of {graft_count}",
        planned_count=line.planned_count,
        graft_count=line.graft_count,
    )


def chance_words(line: LinePlan) -> str:
    """Return the chance that the grafts planned give enough trees."""
    return percent(line.planned_chance_fraction)


def closing_sentence(close: CuttingClose) -> str:
    """Return the last day for cutting dormant wood as a sentence with its three days."""
    return told(
        "Last day to cut dormant wood: {band_sentence} {sentence}",
        band_sentence=band_sentence(close.closes),
        sentence=_sentence(close.words),
    )


def _sentence(words: str) -> str:
    trimmed = words.strip().rstrip(".")
    return f"{trimmed[:1].upper()}{trimmed[1:]}." if trimmed else ""
