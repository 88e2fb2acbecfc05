"""The plan in sentences, the same on paper, in a terminal and in a calendar."""

from graftwright.paper.words import band_sentence, count_words, percent, short_day_words
from graftwright.season.planned import CuttingClose, LinePlan, Plan


def summary_sentence(plan: Plan) -> str:
    """Return the winter in one or two sentences."""
    if not plan.joins and not plan.lines:
        return "Nothing is planned: write down a promise, and the wood and stocks there are."
    wanted = sum(line.wanted_count for line in plan.lines)
    variety_count = len({line.variety for line in plan.lines})
    stock_count = len({line.stock for line in plan.lines})
    first = (
        f"{count_words(wanted, 'tree')} promised, {count_words(len(plan.joins), 'graft')} planned: "
        f"{count_words(variety_count, 'variety', 'varieties')} on "
        f"{count_words(stock_count, 'kind')} of stock"
    )
    return f"{first}, {_bench_words(plan)}. {_shortage_words(plan)}"


def _bench_words(plan: Plan) -> str:
    if not plan.bench_days:
        return "no bench day set"
    days = " and ".join(short_day_words(day.bench_on) for day in plan.bench_days)
    if len(plan.bench_days) > 2:
        first, last = plan.bench_days[0].bench_on, plan.bench_days[-1].bench_on
        days = f"{short_day_words(first)} to {short_day_words(last)}"
    return f"{count_words(len(plan.bench_days), 'bench day')} ({days})"


def _shortage_words(plan: Plan) -> str:
    short = {shortage.promise_code for shortage in plan.shortages}
    if not short:
        return "No promise is short of anything."
    return f"{count_words(len(short), 'promise is', 'promises are')} short of something."


def graft_words(line: LinePlan) -> str:
    """Return the grafts planned, and of how many needed where they are fewer."""
    if line.planned_count == line.graft_count:
        return str(line.planned_count)
    return f"{line.planned_count} of {line.graft_count}"


def chance_words(line: LinePlan) -> str:
    """Return the chance that the grafts planned give enough trees."""
    return percent(line.planned_chance_fraction)


def closing_sentence(close: CuttingClose) -> str:
    """Return the last day for cutting dormant wood as a sentence with its three days."""
    return f"Last day to cut dormant wood: {band_sentence(close.closes)} {_sentence(close.words)}"


def _sentence(words: str) -> str:
    trimmed = words.strip().rstrip(".")
    return f"{trimmed[:1].upper()}{trimmed[1:]}." if trimmed else ""
