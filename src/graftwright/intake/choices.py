"""The words that may stand in a column of choices, with what else people write for them.

The synonyms are common practice, no source.
"""

from enum import StrEnum
from typing import Final

from graftwright.intake.column import Choice, choices_of
from graftwright.notebook.entries import (
    Binding,
    Cause,
    Certainty,
    Condition,
    Health,
    Method,
    PlaceKind,
    Scion,
    StockState,
    Waking,
)


class LotState(StrEnum):
    """How far a lot of rootstocks has come."""

    OFFERED = "offered"
    ASKED = "asked"
    CONFIRMED = "confirmed"
    IN_HAND = "in hand"
    CARRIED_OVER = "carried over"


class Fact(StrEnum):
    """A fact about the nursery itself."""

    NAME = "name"
    LATITUDE = "latitude"
    ALTITUDE = "altitude"
    CURRENCY = "currency"
    HOUR_PRICE = "price of an hour"


LOT_STATES: Final[tuple[Choice, ...]] = choices_of(
    LotState,
    {
        "offered": "offer|on offer|available|quoted",
        "asked": "ordered|on order|asked for|requested",
        "confirmed": "order confirmed|promised|coming",
        "in hand": "here|arrived|received|in stock|have|delivered",
        "carried over": "carry over|carry-over|left from last year|leftover|left over",
    },
)
FACTS: Final[tuple[Choice, ...]] = choices_of(
    Fact,
    {
        "name": "nursery|nursery name|name of the nursery",
        "latitude": "lat|degrees north",
        "altitude": "height above sea|elevation|height above sea level",
        "currency": "money",
        "price of an hour": "hour price|hourly rate|wage|price per hour",
    },
)
CERTAINTIES: Final[tuple[Choice, ...]] = choices_of(
    Certainty,
    {
        "fruited and checked": "fruited|seen in fruit|fruit checked|verified|certain",
        "DNA matched": "dna|dna tested|fingerprinted",
        "label only": "label|labelled|by label",
        "owner says": "owner|hearsay|told by owner",
        "unknown": "not known|unsure|?",
    },
)
HEALTHS: Final[tuple[Choice, ...]] = choices_of(
    Health,
    {
        "clean": "healthy|good|ok|no signs",
        "suspect": "doubtful|unsure|?",
        "diseased": "ill|sick|canker|infected",
    },
)
CONDITIONS: Final[tuple[Choice, ...]] = choices_of(
    Condition,
    {
        "firm": "good|ok|sound|fresh",
        "dry": "drying|shrivelled|desiccated",
        "mould": "mouldy|mold|moldy",
        "swollen": "swelling|buds swollen",
        "green": "green tip|breaking|moving",
    },
)
PLACE_KINDS: Final[tuple[Choice, ...]] = choices_of(
    PlaceKind,
    {
        "outdoors": "outside|open ground|standing|nursery bed|standing out|pot standing",
        "cold greenhouse": "greenhouse|glasshouse|cold glass|unheated greenhouse",
        "polytunnel": "tunnel|hoop house",
        "unheated room": "shed|barn|garage|cellar|room",
        "heated ledge": "heated shelf|warm ledge|callus ledge",
        "heated bench": "hot bench|bottom heat",
        "fridge": "refrigerator|cold store|cooler|cold room",
    },
)
METHODS: Final[tuple[Choice, ...]] = choices_of(
    Method,
    {
        "whip and tongue": "whip & tongue|whip-and-tongue|w&t|wt|w+t|tongue|tongue graft",
        "whip": "splice|plain whip|splice graft|whip graft",
        "cleft": "cleft graft|wedge",
        "side veneer": "veneer|side graft|side veneer graft",
        "chip bud": "chip|chip budding|budded",
        "rind": "bark graft|bark|crown graft|rind graft",
    },
)
BINDINGS: Final[tuple[Choice, ...]] = choices_of(
    Binding,
    {
        "perishing rubber": "rubber|rubber strip|budding rubber|grafting rubber",
        "stretch film": "film|grafting film|stretch tape",
        "film over rubber": "rubber and film|rubber + film|rubber under film",
        "non-stretch tape": "tape|grafting tape|pvc tape|masking tape",
        "raffia": "string|twine",
    },
)
SCIONS: Final[tuple[Choice, ...]] = choices_of(
    Scion,
    {
        "waiting": "dormant|not moving|nothing yet",
        "moving": "buds moving|pushing|bud break|buds broken|green tip",
        "growing": "alive|grown|took|taken|take|good",
        "doubtful": "unsure|maybe|?",
        "dead": "failed|died|lost|gone",
    },
)
STOCK_STATES: Final[tuple[Choice, ...]] = choices_of(
    StockState,
    {"alive": "living|live|good|ok|shooting", "dead": "died|lost|gone|failed"},
)
WAKINGS: Final[tuple[Choice, ...]] = choices_of(
    Waking,
    {
        "dormant": "asleep|resting|tight",
        "swelling": "swollen|buds swelling",
        "buds moving": "moving|awake|pushing|green",
    },
)
CAUSES: Final[tuple[Choice, ...]] = choices_of(
    Cause,
    {
        "scion dried": "dried|dried out|desiccated|dry",
        "no callus": "did not knit|not knit|no union",
        "union disturbed": "disturbed|moved|loose|slipped",
        "frost": "frosted|late frost",
        "heat": "hot|scorched|too hot",
        "wind": "blown|blown out|gale",
        "knocked": "knocked off|knock|bumped",
        "animal": "animals|rabbit|deer|mouse|bird|slug|eaten",
        "drought": "no water|not watered|dry roots",
        "winter wet": "wet|waterlogged|too wet",
        "poor roots": "roots|no roots|weak roots",
        "disease": "canker|fireblight|rot",
        "aphid": "aphids|greenfly",
        "mildew": "powdery mildew",
        "leader lost": "leader broken|tip lost|lost leader",
        "not known": "unknown|?|no idea",
    },
)
