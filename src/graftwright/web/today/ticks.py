"""What a tick writes down, and where a job leads that needs more than a tick."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from django.urls import reverse

from graftwright.notebook.entries import (
    BindingLoosened,
    BindingOff,
    BudsMoved,
    BundleChecked,
    Caned,
    Condition,
    HardeningBegun,
    PlaceWatered,
    ShootsThinned,
    StockCutBack,
    StocksAsked,
    StockShootKept,
    StockShootsOff,
    TreeEntry,
    TreeHandedOver,
    TreeSeen,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.season.job import Job
from graftwright.season.planned import Plan
from graftwright.tongue import marked, say, told
from graftwright.web.today.jobs import key_of

_SHOOTS_LEFT = {"thin to two": 2, "thin to one": 1}
_DONE_WORDS = {
    "StockShootsOff": marked("Rubbed off"),
    "ShootsThinned": marked("Thinned"),
    "Caned": marked("Caned and tied"),
    "BindingLoosened": marked("Loosened"),
    "BudsMoved": marked("Buds have moved"),
    "TreeSeen": marked("Seen alive"),
    "BundleChecked": marked("Found firm"),
    "TreeHandedOver": marked("Handed over"),
    "StocksAsked": marked("Ordered"),
    "StockShootKept": marked("Done, one shoot kept"),
    "StockCutBack": marked("Cut back"),
    "HardeningBegun": marked("Put out by day"),
    "BindingOff": marked("Taken off"),
    "PlaceWatered": marked("Watered"),
}
_LEFT_OUT_WORDS = {
    "BudsMoved": marked("Still waiting. They are written down as seen and come up again."),
    "TreeSeen": marked("Not seen alive. Judge each on its own page."),
    "BundleChecked": marked(
        "Not firm, or not looked at. Write what was found on the bundle’s page."
    ),
}
_SEEN_WORDS = {
    "look at set buds": marked("Sound"),
    "winter place": marked("Safe for the winter"),
}
_SHEETS = {
    "TreeMoved": ("move", marked("Write down the move")),
    "TakeJudged": ("take", marked("Judge the take")),
    "GrowthMeasured": ("growth", marked("Write down the growth")),
    "Graded": ("grade", marked("Grade them")),
    "PottedOn": ("pot", marked("Write down the pots")),
}
_ON_ITS_PAGE = {
    "StocksMeasured": marked("Write down the thicknesses"),
    "StocksConfirmed": marked("Write down the answer"),
    "WoodCut": marked("Write down the wood"),
}
_ELSEWHERE = {
    "bud": ("second-chance", marked("Match buds to promises")),
    "winter place": ("autumn", marked("How cold the roots get")),
    "water": ("water", marked("The watering sheet")),
    "renew mother trees": ("mothers", marked("The mother trees")),
}
_AT_BENCH = {"bench day", "use waking wood", "graft moving stocks"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """The words on a tick, and what it means to leave a code out."""

    done_words: str
    left_out_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """Where a job leads that needs more than a tick."""

    words: str
    address: str


def tick_of(job: Job) -> Tick | None:
    """Return the tick that completes a job; None where a tick alone says nothing."""
    if job.done_by not in _DONE_WORDS or not job.codes:
        return None
    return Tick(
        done_words=_SEEN_WORDS.get(job.name, _DONE_WORDS[job.done_by]),
        left_out_words=_left_out_words(job),
    )


def _left_out_words(job: Job) -> str:
    if job.name == "look at set buds":
        return say("Not sound. Judge the scion dead on its page; the stock may be budded again.")
    return _LEFT_OUT_WORDS.get(job.done_by, marked("Left out: nothing is written about them."))


def lead_of(job: Job, notebook: Notebook) -> Lead | None:
    """Return where a job leads; None where a tick does it or nothing can be written."""
    if job.done_by in _SHEETS:
        what, words = _SHEETS[job.done_by]
        return Lead(
            words=words,
            address=f"{reverse('results')}?{urlencode({'what': what, 'job': key_of(job)})}",
        )
    if job.name in _ELSEWHERE:
        name, words = _ELSEWHERE[job.name]
        return Lead(words=words, address=reverse(name))
    if job.name == "close bench day":
        on = notebook.trees[job.codes[0]].grafted_on
        address = f"{reverse('bench')}?{urlencode({'bench_on': on.isoformat()})}#close"
        return Lead(words=say("Close the day at the bench"), address=address)
    if job.name in _AT_BENCH:
        return Lead(words=say("To the bench"), address=reverse("bench"))
    if job.codes and (job.done_by in _ON_ITS_PAGE or job.name == "settle a doubt"):
        words = _ON_ITS_PAGE.get(job.done_by, told("Look at {code}", code=job.codes[0]))
        return Lead(words=words, address=reverse("code", args=[job.codes[0]]))
    return None


def entries_of_tick(
    job: Job, *, left_out: Sequence[str], day: date, notebook: Notebook, plan: Plan | None
) -> tuple[Entry, ...]:
    """Return what a tick writes down about all of a job's things but those left out."""
    done = tuple(code for code in job.codes if code not in left_out)
    waiting = tuple(code for code in job.codes if code in left_out)
    entries = list(_done(job, done, day, notebook, plan)) if done else []
    if waiting and job.done_by == "BudsMoved":
        entries.append(TreeSeen(happened_on=day, tree_codes=waiting))
    return tuple(entries)


_OF_TREES: dict[str, type[TreeEntry]] = {
    kind.__name__: kind
    for kind in (
        *(BindingLoosened, BindingOff, BudsMoved, Caned),
        *(HardeningBegun, StockCutBack, StockShootKept, StockShootsOff),
    )
}


def _done(
    job: Job, codes: tuple[str, ...], day: date, notebook: Notebook, plan: Plan | None
) -> Iterable[Entry]:
    if kind := _OF_TREES.get(job.done_by):
        yield kind(happened_on=day, tree_codes=codes)
        return
    match job.done_by:
        case "ShootsThinned":
            yield ShootsThinned(happened_on=day, tree_codes=codes, to_count=_SHOOTS_LEFT[job.name])
        case "PlaceWatered":
            yield PlaceWatered(happened_on=day, place_code=codes[0])
        case "TreeSeen":
            yield TreeSeen(happened_on=day, tree_codes=codes, place_code=job.place_code)
        case "BundleChecked":
            for code in codes:
                yield BundleChecked(happened_on=day, code=code, condition=Condition.FIRM)
        case "TreeHandedOver":
            yield from _handed_over(codes, day, notebook)
        case "StocksAsked":
            for order in plan.orders if plan else ():
                if order.offer_code in codes:
                    yield StocksAsked(
                        happened_on=day, code=order.offer_code, asked_count=order.ordered_count
                    )
        case _:
            return


def _handed_over(codes: tuple[str, ...], day: date, notebook: Notebook) -> Iterable[Entry]:
    """Yield one hand-over for each promise the trees were set aside for."""
    by_promise: dict[str, list[str]] = {}
    for code in codes:
        by_promise.setdefault(notebook.trees[code].allocated_to, []).append(code)
    for promise_code, mine in by_promise.items():
        promise = notebook.promises.get(promise_code)
        yield TreeHandedOver(
            happened_on=day,
            tree_codes=tuple(mine),
            promise_code=promise_code if promise else "",
            to_whom=promise.who if promise else "",
        )
