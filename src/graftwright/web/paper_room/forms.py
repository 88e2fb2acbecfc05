"""What labels are wanted, on which sheet; and the measures of a sheet."""

from django import forms

from graftwright.errors import OutOfRange
from graftwright.notebook.notebook import Notebook
from graftwright.paper.label_grid import OFFICE_GRID, LabelGrid
from graftwright.season.workshop_plan import Hands
from graftwright.tongue import marked, say, told
from graftwright.web.paper_room.sheets import choices, grids

_OWN = "own"
_MEASURES = (
    ("column_count", marked("Labels across")),
    ("row_count", marked("Labels down")),
    ("label_width_mm", marked("Label width, mm")),
    ("label_height_mm", marked("Label height, mm")),
    ("left_margin_mm", marked("Left margin, mm")),
    ("top_margin_mm", marked("Top margin, mm")),
    ("column_gap_mm", marked("Gap between columns, mm")),
    ("row_gap_mm", marked("Gap between rows, mm")),
    ("page_width_mm", marked("Page width, mm")),
    ("page_height_mm", marked("Page height, mm")),
)
_PITCHES = (
    ("column_pitch_mm", marked("or column pitch, mm"), "column_gap_mm", "label_width_mm"),
    ("row_pitch_mm", marked("or row pitch, mm"), "row_gap_mm", "label_height_mm"),
)
_SHIFTS = (("shift_right_mm", marked("Move right, mm")), ("shift_down_mm", marked("Move down, mm")))
_FLAGS = (
    ("has_cut_lines", marked("Plain paper, with lines to cut")),
    ("has_hole", marked("Mark a hole to tie")),
)
WHAT = (
    ("grafts", marked("The grafts planned, in working order")),
    ("trees", marked("Trees that stand here, to replace faded labels")),
    ("bundles", marked("Bundles in store")),
    ("spare", marked("Spare tags for a collecting round, with a code and a line each")),
)
_NUMBER = {"step": "any", "inputmode": "decimal"}
_MOST_SPARE = 500


class LabelForm(forms.Form):
    """Which labels, on which sheet, and where on it they begin."""

    what = forms.ChoiceField(
        choices=WHAT,
        initial="grafts",
        required=False,
        label=marked("What they are for"),
        widget=forms.RadioSelect,
        error_messages={"invalid_choice": marked("Choose what the labels are for.")},
    )
    place = forms.ChoiceField(required=False, label=marked("Trees of"))
    spare_count = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=_MOST_SPARE,
        initial=21,
        label=marked("How many spare tags"),
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    sheet = forms.ChoiceField(
        initial="office",
        label=marked("The sheet in the printer"),
        widget=forms.RadioSelect,
        error_messages={
            "required": marked("Choose a sheet."),
            "invalid_choice": marked("Choose a sheet."),
        },
    )
    start_position = forms.IntegerField(
        min_value=1,
        initial=1,
        label=marked("First free label"),
        help_text=marked("1 on a new sheet; on one begun, count along the rows from the top left."),
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={"min_value": marked("The first label is number 1.")},
    )
    second_copy = forms.BooleanField(
        required=False, label=marked("Print every label twice, for pot and stake")
    )
    address = forms.CharField(
        required=False,
        max_length=60,
        label=marked("Address the squares open"),
        help_text=marked(
            "Such as https://nursery.example. Empty: the plain code, which needs no network."
        ),
    )
    name = forms.CharField(required=False, max_length=40, label=marked("Keep these measures as"))

    def __init__(self, notebook: Notebook, data: object = None) -> None:
        super().__init__(data)  # type: ignore[arg-type]
        self._grids = grids(notebook.nursery)
        sheets = self.fields["sheet"]
        place = self.fields["place"]
        assert isinstance(sheets, forms.ChoiceField)
        assert isinstance(place, forms.ChoiceField)
        sheets.choices = [*choices(notebook.nursery), (_OWN, say("Other, by its measures below"))]
        named = sorted(notebook.places.values(), key=lambda one: (one.walking_order, one.name))
        place.choices = [("", say("every place")), *((one.code, one.name) for one in named)]
        self._add_measures()

    def _add_measures(self) -> None:
        for name, label in (*_MEASURES, *_SHIFTS, *((one[0], one[1]) for one in _PITCHES)):
            kind = forms.IntegerField if name.endswith("_count") else forms.FloatField
            usual = getattr(OFFICE_GRID, name, None)
            self.fields[name] = kind(
                required=False,
                label=label,
                initial="" if usual is None else f"{usual:g}",
                widget=forms.NumberInput(attrs=_NUMBER),
            )
        for name, label in _FLAGS:
            self.fields[name] = forms.BooleanField(required=False, label=label)

    def measures(self) -> list[forms.BoundField]:
        """Return the fields that describe another sheet."""
        return [self[name] for name, *_ in (*_MEASURES, *_PITCHES)]

    def shifts(self) -> list[forms.BoundField]:
        """Return the fields that move everything by what the printer misses."""
        return [self[name] for name, _ in _SHIFTS]

    def flags(self) -> list[forms.BoundField]:
        """Return what else may be marked on the sheet."""
        return [self[name] for name, _ in _FLAGS]

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
            return self._grids[str(data["sheet"])]
        for pitch, _, gap, side in _PITCHES:
            if data.get(pitch) is not None and data.get(side) is not None:
                data[gap] = round(_number(data[pitch]) - _number(data[side]), 3)
        missing = [label for name, label in _MEASURES if data.get(name) is None]
        if missing:
            raise OutOfRange(told("Fill in: {listed}.", listed=", ".join(missing)))
        sizes = {name: _number(data[name]) for name, _ in _MEASURES if name.endswith("_mm")}
        return LabelGrid(
            row_count=int(_number(data["row_count"])),
            column_count=int(_number(data["column_count"])),
            page_width_mm=sizes["page_width_mm"],
            page_height_mm=sizes["page_height_mm"],
            label_width_mm=sizes["label_width_mm"],
            label_height_mm=sizes["label_height_mm"],
            left_margin_mm=sizes["left_margin_mm"],
            top_margin_mm=sizes["top_margin_mm"],
            column_gap_mm=sizes["column_gap_mm"],
            row_gap_mm=sizes["row_gap_mm"],
            shift_right_mm=_number(data.get("shift_right_mm") or 0.0),
            shift_down_mm=_number(data.get("shift_down_mm") or 0.0),
            has_cut_lines=bool(data.get("has_cut_lines")),
            has_hole=bool(data.get("has_hole")),
        )

    def _check_start(self, data: dict[str, object]) -> None:
        grid, start = data["grid"], data.get("start_position")
        if isinstance(grid, LabelGrid) and isinstance(start, int) and start > grid.position_count:
            self.add_error(
                "start_position",
                told(
                    "That sheet has {position_count} labels; take one.",
                    position_count=grid.position_count,
                ),
            )


class RulerForm(forms.Form):
    """What the printed ruler measures."""

    measured_mm = forms.FloatField(
        min_value=1.0,
        label=marked("The ruler measures, mm"),
        widget=forms.NumberInput(attrs=_NUMBER),
    )
    ruler_mm = forms.FloatField(
        min_value=10.0,
        max_value=100.0,
        initial=100,
        label=marked("of so many printed, mm"),
        widget=forms.NumberInput(attrs=_NUMBER),
    )


class WorkshopForm(forms.Form):
    """A workshop: how many people, how many trees each, when and where."""

    people_count = forms.IntegerField(
        min_value=1, max_value=100, initial=12, label=marked("People"), widget=forms.NumberInput()
    )
    trees_each_count = forms.IntegerField(
        min_value=1, max_value=10, initial=1, label=marked("Trees each"), widget=forms.NumberInput()
    )
    on = forms.DateField(label=marked("Day"), widget=forms.DateInput(attrs={"type": "date"}))
    where = forms.CharField(required=False, max_length=80, label=marked("Where"))
    stock = forms.CharField(required=False, max_length=60, label=marked("Stock"))
    varieties = forms.CharField(
        required=False, max_length=200, label=marked("Varieties, with commas between")
    )
    # Come along from the workshop's own page, so that the pack has the same numbers.
    hands = forms.ChoiceField(required=False, choices=[(one.value, one.value) for one in Hands])
    sureness = forms.IntegerField(required=False, min_value=1, max_value=99)
    wood = forms.IntegerField(required=False, min_value=0, max_value=100_000)
    stocks = forms.IntegerField(required=False, min_value=0, max_value=100_000)


def _number(value: object) -> float:
    return float(str(value))
