"""What can be written about a tree: one form for each deed, each giving one entry."""

from collections.abc import Mapping
from datetime import date

from django import forms

from graftwright.errors import CannotFollow, UnknownCode
from graftwright.notebook.entries import (
    BindingLoosened,
    BindingOff,
    BudsMoved,
    Caned,
    Cause,
    DamageNoted,
    Graded,
    GrowthMeasured,
    NoteWritten,
    Planted,
    PottedOn,
    Scion,
    ScionDied,
    ShootsThinned,
    StockDied,
    StockShootsOff,
    StockState,
    TakeJudged,
    TreeAllocated,
    TreeHandedOver,
    TreeMoved,
    TreeSeen,
    UnionBroke,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Promise
from graftwright.season.place_room import no_room_words
from graftwright.tagcode import read_code
from graftwright.tongue import marked, say, told
from graftwright.web.trees.fields import (
    DayField,
    LengthField,
    choice_field,
    place_choices,
    words_field,
)

_LARGEST_POT_LITRES = 500.0
_MOST_LISTED = 200
_LOSSES: dict[str, type[DamageNoted | ScionDied | StockDied]] = {
    "damage": DamageNoted,
    "scion": ScionDied,
    "stock": StockDied,
}


class Deed(forms.Form):
    """Something done to trees or seen on them; `heading` opens it, `button` writes it down."""

    heading = ""
    button = marked("Write it down")

    happened_on = DayField()

    def __init__(
        self,
        data: Mapping[str, object] | None = None,
        *,
        notebook: Notebook,
        prefix: str,
        code: str = "",
    ) -> None:
        super().__init__(data, prefix=prefix)
        self.notebook, self.code = notebook, code
        self.fields["happened_on"] = self.fields.pop("happened_on")  # the day comes last
        self.offer()

    def offer(self) -> None:
        """Fill in the choices that depend on the notebook."""

    @property
    def day(self) -> date:
        """The day on which it happened."""
        day: date = self.cleaned_data["happened_on"]
        return day

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return what is written down about these codes."""
        raise NotImplementedError


class BudsDeed(Deed):
    """Buds were seen moving, or the tree was seen and still waits."""

    heading = marked("Buds moved, or still waiting")
    seen = forms.ChoiceField(
        label=marked("Seen"),
        choices=[
            ("moved", marked("Buds are moving")),
            ("waiting", marked("Still waiting, nothing moves")),
        ],
    )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return BudsMoved, or TreeSeen where nothing moves."""
        kind = BudsMoved if self.cleaned_data["seen"] == "moved" else TreeSeen
        return kind(happened_on=self.day, tree_codes=codes)


class TakeDeed(Deed):
    """Scion and stock judged, each for itself."""

    heading = marked("Take judged")
    scion = choice_field(
        marked("Scion"), (Scion.GROWING, Scion.MOVING, Scion.WAITING, Scion.DOUBTFUL, Scion.DEAD)
    )
    stock = choice_field(marked("Stock"), StockState)
    words = words_field(marked("What was seen"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return TakeJudged."""
        data = self.cleaned_data
        return TakeJudged(
            happened_on=self.day,
            tree_codes=codes,
            scion=Scion(data["scion"]),
            stock=StockState(data["stock"]),
            words=data["words"],
        )


class GrowthDeed(Deed):
    """New growth measured."""

    heading = marked("Growth measured")
    growth_mm = LengthField(label=marked("New growth of the scion"), most=4000)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return GrowthMeasured."""
        growth_mm = self.cleaned_data["growth_mm"]
        return GrowthMeasured(happened_on=self.day, tree_codes=codes, growth_mm=growth_mm)


class BindingDeed(Deed):
    """The binding loosened or taken off."""

    heading = marked("Binding loosened or off")
    binding = forms.ChoiceField(
        label=marked("The binding is"),
        choices=[("loosened", marked("Slit or loosened")), ("off", marked("Taken off"))],
    )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return BindingLoosened or BindingOff."""
        kind = BindingOff if self.cleaned_data["binding"] == "off" else BindingLoosened
        return kind(happened_on=self.day, tree_codes=codes)


class ShootsDeed(Deed):
    """Shoots rubbed off, thinned or tied."""

    heading = marked("Shoots rubbed off, thinned or tied")
    done = forms.ChoiceField(
        label=marked("Done"),
        choices=[
            ("stock", marked("Stock shoots rubbed off")),
            ("2", marked("Thinned to two shoots")),
            ("1", marked("Thinned to one shoot")),
            ("cane", marked("Caned and tied")),
        ],
    )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return StockShootsOff, ShootsThinned or Caned."""
        done = self.cleaned_data["done"]
        if done == "stock":
            return StockShootsOff(happened_on=self.day, tree_codes=codes)
        if done == "cane":
            return Caned(happened_on=self.day, tree_codes=codes)
        return ShootsThinned(happened_on=self.day, tree_codes=codes, to_count=int(done))


class PotDeed(Deed):
    """Potted on. Heavy pots: a straight back, or two people."""

    heading = marked("Potted on")
    pot_litres = forms.FloatField(
        label=marked("Pot, in litres"),
        min_value=0.1,
        max_value=_LARGEST_POT_LITRES,
        widget=forms.NumberInput(attrs={"inputmode": "decimal", "step": "any"}),
        error_messages={
            "required": marked("Write the size of the pot."),
            "invalid": marked("Write litres, such as 5."),
            "min_value": marked("A pot holds something; write litres, such as 5."),
            "max_value": marked("That is a very large pot; write litres, such as 5."),
        },
    )

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return PottedOn."""
        litres = self.cleaned_data["pot_litres"]
        return PottedOn(happened_on=self.day, tree_codes=codes, pot_litres=litres)


class LossDeed(Deed):
    """Damage the tree may outlive, or the loss of scion, stock or union."""

    heading = marked("Damage or loss")
    what = forms.ChoiceField(
        label=marked("What happened"),
        choices=[
            ("damage", marked("Damage it may outlive")),
            ("scion", marked("The scion is dead; the stock may live")),
            ("stock", marked("The stock is dead, and the scion with it")),
            ("union", marked("A union that had taken broke")),
        ],
    )
    cause = choice_field(
        marked("Cause"), (Cause.UNKNOWN, *(c for c in Cause if c is not Cause.UNKNOWN))
    )
    words = words_field(marked("What was seen"))

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return DamageNoted, ScionDied, StockDied or UnionBroke."""
        data = self.cleaned_data
        cause, words = Cause(data["cause"]), data["words"]
        if data["what"] == "union":
            return UnionBroke(happened_on=self.day, tree_codes=codes, cause=cause)
        kind = _LOSSES[data["what"]]
        return kind(happened_on=self.day, tree_codes=codes, cause=cause, words=words)


class MoveDeed(Deed):
    """Moved to another place."""

    heading = marked("Moved to a place")
    place = forms.ChoiceField(
        label=marked("Place"), error_messages={"required": marked("Choose the place.")}
    )
    position = words_field(
        marked("Position there"), most=60, help_text=marked("Such as row 3, seventh pot.")
    )

    def offer(self) -> None:
        """Offer the notebook's places."""
        named = [(code, place.name) for code, place in self.notebook.places.items()]
        field = self.fields["place"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = place_choices(named)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return TreeMoved."""
        data = self.cleaned_data
        return TreeMoved(
            happened_on=self.day,
            tree_codes=codes,
            place_code=data["place"],
            position=data["position"],
        )


class MoveTreeDeed(MoveDeed):
    """A tree moved; refused where the place is full."""

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return TreeMoved. Raises CannotFollow where the place has no room for the tree."""
        place_code = self.cleaned_data["place"]
        why = no_room_words(self.notebook, place_code=place_code, codes=codes)
        if why:
            raise CannotFollow(why)
        return super().entry(codes)


class GradeDeed(Deed):
    """Graded in autumn."""

    heading = marked("Graded")
    ready = forms.ChoiceField(
        label=marked("Fit to hand over"),
        choices=[
            ("yes", marked("Fit to hand over")),
            ("no", marked("Not yet; it stays another year")),
        ],
    )
    height_m = LengthField(label=marked("Height"), kept_in="m", most=8, required=False)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return Graded."""
        data = self.cleaned_data
        return Graded(
            happened_on=self.day,
            tree_codes=codes,
            ready=data["ready"] == "yes",
            height_m=data["height_m"],
        )


class _PromiseField(forms.ChoiceField):
    """A promise that stands: chosen from a list, or by its code where the list would be long."""

    def to_python(self, value: object) -> str:
        """Return the code as it is written on paper, however it was typed."""
        text = str(value or "")
        try:
            return read_code(text) if text else ""
        except UnknownCode:
            return text

    def offer(self, notebook: Notebook) -> None:
        """Offer the promises that stand."""
        standing = {
            code: promise
            for code, promise in notebook.promises.items()
            if promise.withdrawn_on is None
        }
        if len(standing) > _MOST_LISTED:
            self.widget = forms.TextInput(attrs={"autocapitalize": "characters", "size": 8})
            self.help_text = told(
                "Its code: one of {count} that stand; Promises lists them.", count=len(standing)
            )
            self.choices = [("", ""), *((code, code) for code in standing)]
            return
        named = [(code, _promise_words(promise)) for code, promise in standing.items()]
        self.choices = [("", say("No promise")), *named]


def _promise_words(promise: Promise) -> str:
    return told(
        "{who}: {variety} on {stock}",
        who=promise.who,
        variety=promise.variety,
        stock=promise.stock,
    )


class _ForPromise(Deed):
    promise = _PromiseField(
        label=marked("Promise"),
        required=False,
        error_messages={"invalid_choice": marked("No promise that stands has that code.")},
    )

    def offer(self) -> None:
        """Offer the promises that stand."""
        field = self.fields["promise"]
        assert isinstance(field, _PromiseField)
        field.offer(self.notebook)


class SetAsideDeed(_ForPromise):
    """Set aside for a promise, or freed again."""

    heading = marked("Set aside for a promise")

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return TreeAllocated; no promise frees the tree."""
        promise_code = self.cleaned_data["promise"]
        return TreeAllocated(happened_on=self.day, tree_codes=codes, promise_code=promise_code)


class HandOverDeed(_ForPromise):
    """Handed over to somebody."""

    heading = marked("Handed over")
    to_whom = words_field(
        marked("To whom"), most=120, help_text=marked("If it is not the promise’s own name.")
    )

    def clean(self) -> dict[str, object]:
        """Ask for a promise or a name."""
        data: dict[str, object] = super().clean() or self.cleaned_data
        if not data.get("promise") and not data.get("to_whom") and "to_whom" not in self.errors:
            self.add_error("to_whom", say("Choose the promise, or write who has the tree now."))
        return data

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return TreeHandedOver."""
        data = self.cleaned_data
        promise = self.notebook.promises.get(data["promise"])
        return TreeHandedOver(
            happened_on=self.day,
            tree_codes=codes,
            promise_code=data["promise"],
            to_whom=data["to_whom"] or (promise.who if promise else ""),
        )


class PlantedDeed(Deed):
    """Planted out, its union above the soil."""

    heading = marked("Planted out")
    where = words_field(marked("Where"), most=120)
    union_height_mm = LengthField(label=marked("Union above the soil"), most=1500, required=False)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return Planted."""
        data = self.cleaned_data
        return Planted(
            happened_on=self.day,
            tree_codes=codes,
            where=data["where"],
            union_height_mm=data["union_height_mm"],
        )


class NoteDeed(Deed):
    """A note in one's own words."""

    heading = marked("Note")
    words = words_field(marked("What you want to remember"), required=True, most=2000, rows=3)

    def entry(self, codes: tuple[str, ...]) -> Entry:
        """Return NoteWritten."""
        words = self.cleaned_data["words"]
        return NoteWritten(happened_on=self.day, about_codes=codes, words=words)


TREE_DEEDS: dict[str, type[Deed]] = {
    "buds": BudsDeed,
    "take": TakeDeed,
    "growth": GrowthDeed,
    "binding": BindingDeed,
    "shoots": ShootsDeed,
    "pot": PotDeed,
    "loss": LossDeed,
    "move": MoveTreeDeed,
    "grade": GradeDeed,
    "set-aside": SetAsideDeed,
    "hand-over": HandOverDeed,
    "planted": PlantedDeed,
    "note": NoteDeed,
}
