"""The papers that can be made from a plan: what each is for, and how it is made."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.paper.almanac import almanac
from graftwright.paper.cut_sheet import cut_sheet
from graftwright.paper.order_list import order_list, order_list_csv
from graftwright.paper.plan_page import plan_page
from graftwright.paper.plan_text import plan_text
from graftwright.paper.register import position_register
from graftwright.paper.run_sheet import run_sheets
from graftwright.paper.tables import plan_tables
from graftwright.paper.watering_sheet import watering_sheet
from graftwright.season.planned import Plan
from graftwright.tongue import marked, say, told

_PDF, _TEXT, _CSV = "application/pdf", "text/plain; charset=utf-8", "text/csv; charset=utf-8"


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperOffer:
    """One paper: its file, what it is called and for, and what makes it from a plan."""

    file_name: str
    name: str
    words: str
    media_type: str
    make: Callable[[Plan], bytes]

    @property
    def kind(self) -> str:
        """The kind of file, as people call it."""
        return {"ics": say("calendar file"), "txt": say("plain text")}.get(
            self._ending, self._ending.upper()
        )

    @property
    def _ending(self) -> str:
        return self.file_name.rsplit(".", 1)[-1]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundOffer:
    """One paper made from the notebook alone, for a round or a desk."""

    file_name: str
    name: str
    words: str
    make: Callable[[Notebook, date], bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class YearOffer:
    """A paper of one year; `table_name` is the same as CSV, where there is one."""

    name: str
    file_name: str
    words: str
    table_name: str = ""


def year_offers(years: Iterable[int], seasons: Iterable[int]) -> list[YearOffer]:
    """Return the movement books of these years and the reports of these seasons."""
    books = [
        YearOffer(
            name=told("Movement book {year}", year=str(year)),
            file_name=f"movement-book-{year}.pdf",
            words=say("Wood, stocks and trees: in, out, and from place to place."),
            table_name=f"movement-book-{year}.csv",
        )
        for year in years
    ]
    reports = [
        YearOffer(
            name=told("Season report {season}", season=str(season)),
            file_name=f"season-report-{season}.pdf",
            words=say("How far the grafts came, what took on what, what was lost, with drawings."),
        )
        for season in seasons
    ]
    return books + reports


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperGroup:
    """Papers for one part of the work."""

    name: str
    words: str
    offers: tuple[PaperOffer, ...]


PAPER_GROUPS = (
    PaperGroup(
        name=marked("For the bench"),
        words=marked(
            "Print these before the first bench day; they need no signal and stand wet hands."
        ),
        offers=(
            PaperOffer(
                file_name="cut-sheet.pdf",
                name=marked("Cut sheet"),
                words=marked(
                    "Every stick to scale, with its cuts and the stock each piece goes on."
                ),
                media_type=_PDF,
                make=cut_sheet,
            ),
            PaperOffer(
                file_name="run-sheets.pdf",
                name=marked("Run sheets"),
                words=marked("One line a run, to fill by hand and type in later."),
                media_type=_PDF,
                make=run_sheets,
            ),
        ),
    ),
    PaperGroup(
        name=marked("For the desk"),
        words=marked("To order, to pin up, to keep."),
        offers=(
            PaperOffer(
                file_name="order-list.pdf",
                name=marked("Order list"),
                words=marked("Stocks to order, by supplier, to send or to read out."),
                media_type=_PDF,
                make=order_list,
            ),
            PaperOffer(
                file_name="plan.pdf",
                name=marked("The plan on paper"),
                words=marked("The winter on a few pages."),
                media_type=_PDF,
                make=plan_page,
            ),
            PaperOffer(
                file_name="calendar.ics",
                name=marked("Bench days and dates"),
                words=marked("Bench days, order dates, and when each batch should have knit."),
                media_type="text/calendar; charset=utf-8",
                make=lambda plan: almanac(plan),
            ),
        ),
    ),
    PaperGroup(
        name=marked("For a spreadsheet"),
        words=marked("The plan’s tables as they stand, for your own sums."),
        offers=(
            PaperOffer(
                file_name="order-list.csv",
                name=marked("Order list"),
                words=marked("The lines of the order, one a row."),
                media_type=_CSV,
                make=lambda plan: order_list_csv(plan).encode(),
            ),
            PaperOffer(
                file_name="plan.txt",
                name=marked("The plan in words"),
                words=marked("To send in a letter or to read on any screen."),
                media_type=_TEXT,
                make=lambda plan: plan_text(plan).encode(),
            ),
        ),
    ),
)
ROUND_OFFERS = (
    RoundOffer(
        file_name="position-register.pdf",
        name=marked("Position register"),
        words=marked(
            "Every tree of a place on one page, in the order in which they stand, "
            "with a box to tick: it names a tree whose label is gone."
        ),
        make=lambda notebook, on: position_register(notebook, today=on),
    ),
    RoundOffer(
        file_name="watering.pdf",
        name=marked("Watering sheet"),
        words=marked("The places in walking order, with a box for each of fourteen days."),
        make=lambda notebook, on: watering_sheet(notebook, first_on=on),
    ),
)
OFFERS = {offer.file_name: offer for group in PAPER_GROUPS for offer in group.offers}


def made_paper(file_name: str, plan: Plan) -> tuple[bytes, str] | None:
    """Return a paper's content and media type; None if no paper has that name."""
    if offer := OFFERS.get(file_name):
        return offer.make(plan), offer.media_type
    for table in plan_tables(plan):
        if table.file_name == file_name:
            return table.content, table.media_type
    return None
