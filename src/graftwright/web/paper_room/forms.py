"""The measures of a sheet of labels."""

from django import forms

from graftwright.errors import OutOfRange
from graftwright.paper import OFFICE_GRID, SMALL_GRID, LabelGrid

_OWN = "own"
_GRIDS = {"office": OFFICE_GRID, "small": SMALL_GRID}
_MEASURES = (
    ("column_count", "Labels across"),
    ("row_count", "Labels down"),
    ("label_width_mm", "Label width, mm"),
    ("label_height_mm", "Label height, mm"),
    ("left_margin_mm", "Left margin, mm"),
    ("top_margin_mm", "Top margin, mm"),
    ("column_gap_mm", "Gap between columns, mm"),
    ("row_gap_mm", "Gap between rows, mm"),
    ("page_width_mm", "Page width, mm"),
    ("page_height_mm", "Page height, mm"),
)


def _grid_words(grid: LabelGrid) -> str:
    return (
        f"{grid.column_count} across, {grid.row_count} down, "
        f"each {grid.label_width_mm:g} × {grid.label_height_mm:g} mm, on A4"
    )


class LabelForm(forms.Form):
    """Which sheet the labels go on, and where on it they begin."""

    sheet = forms.ChoiceField(
        choices=[*((key, _grid_words(grid)) for key, grid in _GRIDS.items()), (_OWN, "Other")],
        initial="office",
        label="The sheet in the printer",
        widget=forms.RadioSelect,
        error_messages={"required": "Choose a sheet.", "invalid_choice": "Choose a sheet."},
    )
    start_position = forms.IntegerField(
        min_value=1,
        initial=1,
        label="First free label",
        help_text="1 on a new sheet; on one begun, count along the rows from the top left.",
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={"min_value": "The first label is number 1."},
    )
    second_copy = forms.BooleanField(required=False, label="Print every label twice, tag and pot")

    def __init__(self, *args: object) -> None:
        super().__init__(*args)  # type: ignore[arg-type]
        for name, label in _MEASURES:
            kind = forms.IntegerField if name.endswith("_count") else forms.FloatField
            self.fields[name] = kind(
                required=False,
                min_value=0,
                label=label,
                initial=f"{getattr(OFFICE_GRID, name):g}",
                widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal"}),
            )

    def measures(self) -> list[forms.BoundField]:
        """Return the fields that describe another sheet."""
        return [self[name] for name, _ in _MEASURES]

    def clean(self) -> dict[str, object]:
        """Build the grid; a measure missing or impossible is said beside the choice of sheet."""
        data = super().clean() or {}
        if "sheet" not in data or self.errors:
            return data
        try:
            data["grid"] = self._grid(data)
        except OutOfRange as wrong:
            self.add_error("sheet", str(wrong))
            return data
        self._check_start(data)
        return data

    def _grid(self, data: dict[str, object]) -> LabelGrid:
        if data["sheet"] != _OWN:
            return _GRIDS[str(data["sheet"])]
        missing = [label for name, label in _MEASURES if data.get(name) is None]
        if missing:
            raise OutOfRange(f"Fill in: {', '.join(missing)}.")
        counts = {name: int(str(data[name])) for name, _ in _MEASURES if name.endswith("_count")}
        sizes = {name: float(str(data[name])) for name, _ in _MEASURES if name.endswith("_mm")}
        return LabelGrid(
            row_count=counts["row_count"],
            column_count=counts["column_count"],
            page_width_mm=sizes["page_width_mm"],
            page_height_mm=sizes["page_height_mm"],
            label_width_mm=sizes["label_width_mm"],
            label_height_mm=sizes["label_height_mm"],
            left_margin_mm=sizes["left_margin_mm"],
            top_margin_mm=sizes["top_margin_mm"],
            column_gap_mm=sizes["column_gap_mm"],
            row_gap_mm=sizes["row_gap_mm"],
        )

    def _check_start(self, data: dict[str, object]) -> None:
        grid, start = data["grid"], data.get("start_position")
        if isinstance(grid, LabelGrid) and isinstance(start, int) and start > grid.position_count:
            self.add_error(
                "start_position",
                f"That sheet has {grid.position_count} labels; take one.",
            )
