"""What is written about a mother tree: the deeds of its page, and its shoots measured."""

from graftwright.notebook.entries import ShootsMeasured
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import marked
from graftwright.web.trees.deeds import Deed
from graftwright.web.trees.deeds_material import MATERIAL_DEEDS
from graftwright.web.trees.fields import LengthField, count_field


class ShootsDeed(Deed):
    """The year's shoots were measured."""

    heading = marked("Shoots measured")
    length = LengthField(label=marked("A usual shoot is long"), least=5.0, most=3000.0)
    thickness = LengthField(label=marked("And thick"), least=1.0, most=40.0)
    count = count_field(marked("How many such shoots"), most=5000, required=False)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return ShootsMeasured."""
        data = self.cleaned_data
        return ShootsMeasured(
            happened_on=self.day,
            code=codes[0],
            shoot_length_mm=data["length"],
            shoot_thickness_mm=data["thickness"],
            shoot_count=data["count"] or 0,
        )


_SHARED = ("certainty", "permission", "health")
MOTHER_DEEDS: dict[str, type[Deed]] = {
    **{name: MATERIAL_DEEDS["mother tree"][name] for name in _SHARED},
    "shoots": ShootsDeed,
}
