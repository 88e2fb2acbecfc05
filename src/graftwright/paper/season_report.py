"""The season report: what was grafted, what took, what came of it, as drawings and as tables."""

from collections.abc import Sequence

from graftwright.losses import jeffreys_interval
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import FADED, HAIR, INK, RULE, UPRIGHT
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import POINT_MM, Face, fitted
from graftwright.paper.words import count_words, percent, short_day_words
from graftwright.season.season_counts import CountOf, SeasonCounts
from graftwright.tongue import marked, say, told

_NAME_SHARE, _ROW_MM, _PLOT_FOOT_MM = 0.3, 6.2, 8.0
_DAYS_HIGH_MM = 34.0
_MOST_DRAWN = 24
_RANGE_WORDS = marked(
    "The line is the range in which the true rate lies nine times in ten, "
    "from this count alone; the mark is the share seen. Ranges that "
    "overlap are not told apart by these counts."
)
_COUNT_COLUMNS = (
    Column(head="", share=60, face=Face.SERIF),
    Column(head=marked("of"), share=16, is_right=True),
    Column(head=marked("came through"), share=20, is_right=True),
    Column(head=marked("share"), share=16, is_right=True),
    Column(head=marked("range, 9 in 10"), share=28, is_right=True),
)
_PLAIN_COLUMNS = (
    Column(head="", share=70),
    Column(head=marked("count"), share=20, is_right=True),
    Column(head=marked("of all grafted"), share=24, is_right=True),
)


def season_report(counts: SeasonCounts, *, nursery_name: str = "", foot: str = "") -> bytes:
    """Return the report of a season as PDF; beneath each drawing stands its table."""
    return written_folio(
        lambda folio: _write(folio, counts),
        size=UPRIGHT,
        title=told("Season {season}", season=counts.season),
        from_whom=nursery_name,
        foot=foot,
    )


def _write(folio: Folio, counts: SeasonCounts) -> None:
    grafted_count = counts.chain[0].count
    if not grafted_count:
        folio.paragraph(
            told("No graft of the season {season} is written down.", season=counts.season)
        )
        return
    folio.paragraph(_summary(counts))
    folio.heading(say("How far they came"), row_count=2 * len(counts.chain))
    _draw_bars(folio, counts.chain)
    draw_table(folio, columns=_PLAIN_COLUMNS, rows=map(_plain_row, counts.chain))
    folio.heading(say("When they were made"), row_count=8)
    _draw_days(folio, counts)
    days = [(short_day_words(day), str(count), "") for day, count in counts.by_day]
    draw_table(folio, columns=_DAY_COLUMNS, rows=_in_threes(days), size_pt=8.5)
    for heading, rows in (
        (say("What took, by variety"), counts.by_variety),
        (say("What took, by stock"), counts.by_stock),
    ):
        if rows:
            folio.heading(heading, row_count=len(rows) + 4)
            folio.paragraph(_RANGE_WORDS, size_pt=8.0, shade=FADED)
            _draw_ranges(folio, rows)
            draw_table(folio, columns=_COUNT_COLUMNS, rows=map(_rate_row, rows))
    if counts.losses:
        folio.heading(
            say("What was lost, by the cause written down"), row_count=2 * len(counts.losses)
        )
        _draw_bars(folio, counts.losses)
        draw_table(folio, columns=_PLAIN_COLUMNS, rows=map(_plain_row, counts.losses))


_DAY_COLUMNS = (
    Column(head=marked("day"), share=24),
    Column(head=marked("grafts"), share=14, is_right=True),
    Column(head="", share=6),
) * 3


def _in_threes(cells: Sequence[tuple[str, str, str]]) -> list[tuple[str, ...]]:
    rows = []
    for start in range(0, len(cells), 3):
        row = [text for cell in cells[start : start + 3] for text in cell]
        rows.append((*row, *[""] * (9 - len(row))))
    return rows


def _summary(counts: SeasonCounts) -> str:
    named = {one.name: one.count for one in counts.chain}
    words = told(
        "{count_words} on {count_words_2}; {named} took, {named_2} of these "
        "are alive, {named_3} ready, {named_4} handed over.",
        count_words=count_words(named["grafted"], "graft", "grafts"),
        count_words_2=count_words(len(counts.by_day), "day", "days"),
        named=named["taken"],
        named_2=named["alive"],
        named_3=named["ready"],
        named_4=named["handed over"],
    )
    if counts.waiting_count:
        words += told(
            " {waiting_count} not judged yet: they count neither way.",
            waiting_count=counts.waiting_count,
        )
    return words


def _plain_row(one: CountOf) -> tuple[str, ...]:
    return one.name, str(one.count), percent(one.count / one.of_count)


def _rate_row(one: CountOf) -> tuple[str, ...]:
    low, high = _range(one)
    return (
        one.name,
        str(one.of_count),
        str(one.count),
        percent(one.count / one.of_count),
        told("{percent} to {percent_2}", percent=percent(low), percent_2=percent(high)),
    )


def _range(one: CountOf) -> tuple[float, float]:
    found = jeffreys_interval(one.count, total_count=one.of_count)
    return found.low_fraction, found.high_fraction


def _draw_name(folio: Folio, name: str, *, top_mm: float, face: Face) -> float:
    """Write a row's name at the left; return where its drawing begins."""
    wide_mm = _NAME_SHARE * folio.wide_mm
    words = fitted(
        name, face=face, box_width_mm=wide_mm - 3.0, box_height_mm=_ROW_MM, largest_pt=9.0
    )
    folio.sheet.lines(words, x_mm=folio.left_mm, top_mm=top_mm + (_ROW_MM - words.height_mm) / 2.0)
    return folio.left_mm + wide_mm


def _draw_bars(folio: Folio, rows: Sequence[CountOf]) -> None:
    """A bar a row, as long as its share of all, with its count at the end."""
    shown = rows[:_MOST_DRAWN]
    folio.need(len(shown) * _ROW_MM)
    for one in shown:
        left_mm = _draw_name(folio, one.name, top_mm=folio.top_mm, face=Face.SANS)
        room_mm = folio.right_mm - left_mm - 12.0
        long_mm = room_mm * one.count / one.of_count
        if one.count:
            folio.sheet.box(
                x_mm=left_mm,
                y_mm=folio.top_mm + 1.1,
                wide_mm=long_mm,
                high_mm=_ROW_MM - 2.2,
                thick_mm=0.25,
                fill=HAIR,
            )
        base_mm = folio.top_mm + _ROW_MM / 2.0 + 1.1
        folio.sheet.text(str(one.count), x_mm=left_mm + long_mm + 1.6, base_mm=base_mm)
        folio.top_mm += _ROW_MM
    folio.top_mm += 2.0


def _draw_ranges(folio: Folio, rows: Sequence[CountOf]) -> None:
    """A line for the range, a mark for the share seen, on a scale from none to all."""
    shown = rows[:_MOST_DRAWN]
    folio.need(len(shown) * _ROW_MM + _PLOT_FOOT_MM)
    top_mm = folio.top_mm
    foot_mm = top_mm + len(shown) * _ROW_MM
    left_mm = folio.left_mm + _NAME_SHARE * folio.wide_mm
    room_mm = folio.right_mm - left_mm - 4.0
    for tenth in range(0, 11, 2):
        x_mm = left_mm + room_mm * tenth / 10.0
        folio.sheet.line((x_mm, top_mm), (x_mm, foot_mm + 1.0), thick_mm=0.12, shade=HAIR)
        folio.sheet.text(
            f"{10 * tenth} %", x_mm=x_mm, base_mm=foot_mm + 4.4, size_pt=7.5, align="centre"
        )
    for one in shown:
        _draw_name(folio, one.name, top_mm=folio.top_mm, face=Face.SERIF)
        middle_mm = folio.top_mm + _ROW_MM / 2.0
        low, high = _range(one)
        folio.sheet.line(
            (left_mm + room_mm * low, middle_mm),
            (left_mm + room_mm * high, middle_mm),
            thick_mm=0.45,
        )
        seen_mm = left_mm + room_mm * one.count / one.of_count
        folio.sheet.circle((seen_mm, middle_mm), radius_mm=1.15, fill=INK)
        folio.top_mm += _ROW_MM
    folio.top_mm = foot_mm + _PLOT_FOOT_MM


def _draw_days(folio: Folio, counts: SeasonCounts) -> None:
    """A stroke for each day, as high as its grafts, along the days of the season."""
    folio.need(_DAYS_HIGH_MM + _PLOT_FOOT_MM)
    foot_mm = folio.top_mm + _DAYS_HIGH_MM
    first, last = counts.by_day[0][0], counts.by_day[-1][0]
    span_days = max(1, (last - first).days)
    most = max(count for _, count in counts.by_day)
    left_mm, room_mm = folio.left_mm + 8.0, folio.wide_mm - 16.0
    folio.sheet.line((folio.left_mm, foot_mm), (folio.right_mm, foot_mm), thick_mm=0.25, shade=RULE)
    taken_until_mm = 0.0
    for day, count in counts.by_day:
        x_mm = left_mm + room_mm * (day - first).days / span_days
        top_mm = foot_mm - (_DAYS_HIGH_MM - 6.0) * count / most
        folio.sheet.line((x_mm, foot_mm), (x_mm, top_mm), thick_mm=1.4)
        folio.sheet.text(str(count), x_mm=x_mm, base_mm=top_mm - 1.2, size_pt=8.0, align="centre")
        if x_mm > taken_until_mm:
            words = short_day_words(day)
            folio.sheet.text(words, x_mm=x_mm, base_mm=foot_mm + 4.0, size_pt=7.5, align="centre")
            taken_until_mm = x_mm + 2.0 * len(words) * POINT_MM * 2.6
    folio.top_mm = foot_mm + _PLOT_FOOT_MM
