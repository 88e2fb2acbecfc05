"""An unknown tree's evidence side by side, and a doomed tree's rescue."""

from collections import Counter
from dataclasses import dataclass

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.losses import Stage
from graftwright.notebook.entries import EvidenceNoted
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import MotherTree
from graftwright.season.belief import STOCK_STAGE, Beliefs, tallies
from graftwright.season.naming import Names
from graftwright.season.planned import DateBand
from graftwright.season.rescue import Rescue, rescue_of
from graftwright.season.tree_closing import tree_closings
from graftwright.tongue import say, told
from graftwright.web.standing_on import today
from graftwright.web.today.kept import ground_kept

_STAGES = (STOCK_STAGE, Stage.TAKE.value, Stage.SHOOT.value, Stage.FIRST_WINTER.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceFor:
    """A name that somebody put forward, and what speaks for it and against it."""

    name: str
    spoken_for: tuple[EvidenceNoted, ...]
    spoken_against: tuple[EvidenceNoted, ...]

    @property
    def weight_words(self) -> str:
        """How the evidence stands in numbers; it decides nothing."""
        kinds = Counter(one.evidence.value for one in self.spoken_for)
        found = ", ".join(
            told("{count} from {kind}", count=count, kind=kind)
            for kind, count in kinds.most_common()
        )
        against = len(self.spoken_against)
        return told(
            "for it: {found}; against it: {against}",
            found=found or say("nothing"),
            against=against or say("nothing"),
        )


def evidence_by_name(mother: MotherTree) -> tuple[EvidenceFor, ...]:
    """Return the names put forward, those with most kinds of evidence for them first."""
    names = dict.fromkeys(one.speaks_for for one in mother.evidence_found if one.speaks_for)
    found = [
        EvidenceFor(
            name=name,
            spoken_for=tuple(_about(mother, name, is_against=False)),
            spoken_against=tuple(_about(mother, name, is_against=True)),
        )
        for name in names
    ]
    return tuple(sorted(found, key=lambda one: -len({e.evidence for e in one.spoken_for})))


def _about(mother: MotherTree, name: str, *, is_against: bool) -> list[EvidenceNoted]:
    return [
        one
        for one in mother.evidence_found
        if one.speaks_for == name and one.is_against is is_against
    ]


def rescue_shown(mother: MotherTree, notebook: Notebook) -> Rescue | None:
    """Return the rescue planned for a tree, worked out for today; None where none is."""
    if mother.rescue is None:
        return None
    ground = ground_kept(notebook, day=today())
    names = Names(shipped_catalogue())
    beliefs = Beliefs(counted=tallies(notebook, names=names, today=today()))
    variety = names.variety(mother.variety)
    closings = tree_closings((mother,), weather=ground.weather, today=today())
    none = DateBand(early_on=None, middle_on=None, late_on=None)
    return rescue_of(
        mother,
        notebook,
        today=today(),
        stage_rates=tuple(beliefs.of_variety(variety, stage) for stage in _STAGES),
        closes=closings[0].closes if closings else none,
        is_south=ground.weather.latitude_deg < 0.0,
    )
