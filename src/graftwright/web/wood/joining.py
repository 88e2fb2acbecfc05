"""Two thicknesses typed in: which joins suit them and why, and the join drawn."""

from dataclasses import dataclass

from django import forms
from django.utils.safestring import SafeString, mark_safe

from graftwright.errors import OutOfRange
from graftwright.paper.join_drawing import join_svg
from graftwright.paper.join_lines import JoinFigure
from graftwright.paper.join_shape import join_figure
from graftwright.tongue import headed, marked
from graftwright.wood import GraftMethod, MethodAdvice, WorkSeason, advise_methods

_THINNEST_MM, _THICKEST_MM = 2.0, 60.0
_LIMITS = marked(
    "Between {thinnest:g} and {thickest:g} mm is expected.",
    thinnest=_THINNEST_MM,
    thickest=_THICKEST_MM,
)


def _thickness(label: str, hint: str) -> forms.FloatField:
    return forms.FloatField(
        label=label,
        help_text=hint,
        min_value=_THINNEST_MM,
        max_value=_THICKEST_MM,
        widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
        error_messages={
            "required": marked("Measure it and write it down."),
            "invalid": marked("Write a number in mm, such as 7.5."),
            "min_value": _LIMITS,
            "max_value": _LIMITS,
        },
    )


class JoinForm(forms.Form):
    """The thickness of scion and stock where they will be cut, and when it is done."""

    scion = _thickness("Scion, mm", marked("Where the cut will come."))
    stock = _thickness("Stock, mm", marked("Where the cut will come."))
    when = forms.ChoiceField(
        label=marked("How the wood is"),
        choices=[(one.name, headed(one.value)) for one in WorkSeason],
        initial=WorkSeason.DORMANT.name,
        error_messages={"required": marked("Choose one."), "invalid_choice": marked("Choose one.")},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnJoin:
    """One join drawn, and what of the scion's cambium meets in it."""

    figure: JoinFigure
    name: str

    @property
    def drawing(self) -> SafeString:
        """The drawing; paper escapes every word in it."""
        return mark_safe(join_svg(self.figure, name=self.name))


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinAnswer:
    """The joins judged, and those that suit drawn, best first."""

    advice: tuple[MethodAdvice, ...]
    drawn: tuple[DrawnJoin, ...]

    @property
    def figures(self) -> tuple[JoinFigure, ...]:
        """The joins that suit as figures."""
        return tuple(one.figure for one in self.drawn)


def join_answer(scion_mm: float, stock_mm: float, *, season: WorkSeason) -> JoinAnswer:
    """Return the joins advised for a pair, best first, and those that suit drawn."""
    advice = advise_methods(scion_mm, stock_mm, season=season)
    found = (_figure(scion_mm, stock_mm, one.method) for one in advice if one.is_fitting)
    return JoinAnswer(
        advice=advice,
        drawn=tuple(
            DrawnJoin(figure=figure, name=f"join-{place}")
            for place, figure in enumerate((one for one in found if one is not None), 1)
        ),
    )


def _figure(scion_mm: float, stock_mm: float, method: GraftMethod) -> JoinFigure | None:
    try:
        return join_figure(scion_mm, stock_mm, method=method)
    except OutOfRange:  # too thin or too thick for flat faces; the advice still stands
        return None
