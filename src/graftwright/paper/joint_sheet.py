"""The joint plan on paper: a sheet for each nursery, and a slip for each parcel."""

import re
import unicodedata
from collections.abc import Sequence

from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.joint_words import (
    CAUTION,
    best_words,
    cost_words,
    gain_words,
    lot_words,
    lots_words,
    percent_words,
)
from graftwright.paper.page import FADED, HAIR, UPRIGHT, Sheet
from graftwright.paper.paper_file import Paper
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face, fitted
from graftwright.season.scheme import JointPlan, Parcel
from graftwright.tongue import day_and_month, full_day, say

_SLIPS = "parcel-slips.pdf"
SLIP_WIDE_MM, SLIP_HIGH_MM = 105.0, 148.5
"""A quarter of an upright sheet."""
_SLIPS_A_PAGE = 4
_PAD_MM = 10.0


def paper_names(plan: JointPlan) -> tuple[tuple[str, str], ...]:
    """Return the file name of each paper there is, and what it is called."""
    sheets = tuple(
        (f"{number}-{_plain(nursery)}.pdf", nursery)
        for number, nursery in enumerate(plan.nurseries, 1)
    )
    return (*sheets, (_SLIPS, say("Parcel slips"))) if plan.parcels else sheets


def joint_paper(plan: JointPlan, file_name: str) -> bytes | None:
    """Return one paper as PDF, None where none is called so."""
    for name, nursery in paper_names(plan):
        if name == file_name:
            return parcel_slips(plan) if name == _SLIPS else nursery_sheet(plan, nursery)
    return None


def joint_papers(plan: JointPlan) -> tuple[Paper, ...]:
    """Return a sheet for each nursery, and the slips where anything is posted."""
    found = ((name, joint_paper(plan, name)) for name, _ in paper_names(plan))
    return tuple(
        Paper(file_name=name, media_type="application/pdf", content=content)
        for name, content in found
        if content is not None
    )


def _plain(name: str) -> str:
    """Return a name as a file may bear it: small letters, figures and hyphens."""
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().casefold()
    return re.sub(r"[^a-z0-9]+", "-", letters).strip("-")[:40] or "nursery"


def nursery_sheet(plan: JointPlan, nursery: str) -> bytes:
    """Return what one nursery posts, receives, grafts for others, and gets of its own wants."""
    return written_folio(
        lambda folio: _write(folio, plan, nursery),
        size=UPRIGHT,
        title=say("Joint plan, winter {season}").format(season=plan.season),
        from_whom=nursery,
        foot=say("Joint plan of {day}.").format(day=full_day(plan.made_on)),
    )


def _write(folio: Folio, plan: JointPlan, nursery: str) -> None:
    if plan.is_invented:
        folio.paragraph(say("Among these are invented nurseries."), shade=FADED)
    folio.paragraph(f"{gain_words(plan)} {cost_words(plan)} {best_words(plan)}")
    folio.paragraph(say(CAUTION))
    _write_parcels(
        folio, say("Cut and post"), [one for one in plan.parcels if one.sender == nursery], to=True
    )
    _write_parcels(
        folio, say("Comes by post"), [one for one in plan.parcels if one.receiver == nursery]
    )
    _write_work(folio, plan, nursery)
    _write_wants(folio, plan, nursery)


def _write_parcels(
    folio: Folio, title: str, parcels: Sequence[Parcel], *, to: bool = False
) -> None:
    folio.heading(title, row_count=max(1, len(parcels)))
    if not parcels:
        folio.paragraph(say("Nothing."))
        return
    columns = (
        Column(head=say("to") if to else say("from"), share=34, face=Face.SANS_STRONG),
        Column(head=say("what"), share=82),
        Column(head=say("ready"), share=22),
        Column(head=say("post by"), share=22),
        Column(head=say("here by"), share=22),
    )
    rows = (
        (
            one.receiver if to else one.sender,
            *(lots_words(one.lots), day_and_month(one.post_from)),
            *(day_and_month(one.post_by), day_and_month(one.arrives_by)),
        )
        for one in parcels
    )
    draw_table(folio, columns=columns, rows=rows)


def _write_work(folio: Folio, plan: JointPlan, nursery: str) -> None:
    works = [one for one in plan.works if nursery in (one.bench, one.owner)]
    if not works:
        return
    folio.heading(say("Grafted for one another"), row_count=len(works))
    columns = (
        Column(head=say("bench of"), share=44, face=Face.SANS_STRONG),
        Column(head=say("for"), share=44),
        Column(head=say("variety"), share=44),
        Column(head=say("stock"), share=26),
        Column(head=say("grafts"), share=20, is_right=True),
    )
    rows = ((one.bench, one.owner, one.variety, one.stock, str(one.grafts_count)) for one in works)
    draw_table(folio, columns=columns, rows=rows)


def _write_wants(folio: Folio, plan: JointPlan, nursery: str) -> None:
    wants = [one for one in plan.outcomes if one.nursery == nursery]
    folio.heading(say("Promises"), row_count=max(1, len(wants)))
    if not wants:
        folio.paragraph(say("Nothing."))
        return
    columns = (
        Column(head=say("variety"), share=36, face=Face.SANS_STRONG),
        Column(head=say("stock"), share=22),
        Column(head=say("trees"), share=13, is_right=True),
        Column(head=say("grafts asked"), share=21, is_right=True),
        Column(head=say("alone"), share=14, is_right=True),
        Column(head=say("together"), share=19, is_right=True),
        Column(head=say("chance"), share=16, is_right=True),
        Column(head=say("what is short"), share=44),
    )
    rows = (
        (
            *(one.want.variety, one.want.stock, str(one.want.trees_count), str(one.asked_count)),
            *(str(one.alone_count), str(one.together_count), percent_words(one.chance_fraction)),
            one.why_short,
        )
        for one in wants
    )
    draw_table(folio, columns=columns, rows=rows)


def parcel_slips(plan: JointPlan) -> bytes:
    """Return a slip to lie in each parcel, four to an upright sheet, with lines to cut along."""
    sheet = Sheet(size=UPRIGHT, title=say("Parcel slips"))
    for number, parcel in enumerate(plan.parcels):
        place = number % _SLIPS_A_PAGE
        if number and place == 0:
            sheet.next_page()
        if place == 0:
            _draw_cuts(sheet)
        _draw_slip(
            sheet,
            parcel,
            left_mm=SLIP_WIDE_MM * (place % 2),
            top_mm=SLIP_HIGH_MM * (place // 2),
        )
    return sheet.content()


def _draw_cuts(sheet: Sheet) -> None:
    sheet.line((SLIP_WIDE_MM, 0.0), (SLIP_WIDE_MM, sheet.size.height_mm), thick_mm=0.15, shade=HAIR)
    sheet.line((0.0, SLIP_HIGH_MM), (sheet.size.width_mm, SLIP_HIGH_MM), thick_mm=0.15, shade=HAIR)


def _draw_slip(sheet: Sheet, parcel: Parcel, *, left_mm: float, top_mm: float) -> None:
    x_mm, wide_mm = left_mm + _PAD_MM, SLIP_WIDE_MM - 2 * _PAD_MM
    y_mm = top_mm + _PAD_MM
    for head, words, size_pt in (
        (say("to"), parcel.receiver, 17.0),
        (say("from"), parcel.sender, 12.0),
    ):
        y_mm = sheet.paragraph(
            head, x_mm=x_mm, top_mm=y_mm, wide_mm=wide_mm, size_pt=8.0, shade=FADED
        )
        name = fitted(
            words,
            face=Face.SANS_STRONG,
            box_width_mm=wide_mm,
            box_height_mm=15.0,
            largest_pt=size_pt,
        )
        y_mm = sheet.lines(name, x_mm=x_mm, top_mm=y_mm + 0.6) + 2.6
    y_mm = _draw_days(sheet, parcel, x_mm=x_mm, top_mm=y_mm, wide_mm=wide_mm)
    foot_mm = top_mm + SLIP_HIGH_MM - _PAD_MM - 30.0
    _draw_lots(sheet, parcel, x_mm=x_mm, top_mm=y_mm, wide_mm=wide_mm, foot_mm=foot_mm)
    sheet.text(say("Looked at and found clean by"), x_mm=x_mm, base_mm=foot_mm + 6.0, size_pt=8.5)
    sheet.line((x_mm + 46.0, foot_mm + 6.6), (x_mm + wide_mm, foot_mm + 6.6), thick_mm=0.15)
    sheet.paragraph(
        say(CAUTION), x_mm=x_mm, top_mm=foot_mm + 12.0, wide_mm=wide_mm, size_pt=7.0, shade=FADED
    )


def _draw_days(
    sheet: Sheet, parcel: Parcel, *, x_mm: float, top_mm: float, wide_mm: float
) -> float:
    words = say("Post between {first} and {last}; it is to be there by {arrives}.").format(
        first=day_and_month(parcel.post_from),
        last=day_and_month(parcel.post_by),
        arrives=day_and_month(parcel.arrives_by),
    )
    foot_mm = sheet.paragraph(words, x_mm=x_mm, top_mm=top_mm, wide_mm=wide_mm, size_pt=9.5)
    sheet.line((x_mm, foot_mm + 2.0), (x_mm + wide_mm, foot_mm + 2.0), shade=HAIR)
    return foot_mm + 4.5


def _draw_lots(
    sheet: Sheet, parcel: Parcel, *, x_mm: float, top_mm: float, wide_mm: float, foot_mm: float
) -> None:
    """Write each lot with a box to tick, smaller where there are many."""
    high_mm = min(7.5, (foot_mm - top_mm) / max(1, len(parcel.lots)))
    box_mm = min(3.6, 0.6 * high_mm)
    for lot in parcel.lots:
        sheet.box(x_mm=x_mm, y_mm=top_mm, wide_mm=box_mm, high_mm=box_mm)
        words = fitted(
            lot_words(lot),
            face=Face.SANS,
            box_width_mm=wide_mm - box_mm - 3.0,
            box_height_mm=high_mm,
            largest_pt=10.5,
        )
        sheet.lines(words, x_mm=x_mm + box_mm + 3.0, top_mm=top_mm - 0.1)
        top_mm += high_mm
