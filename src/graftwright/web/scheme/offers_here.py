"""The offers kept here, read; and the joint plan of them, thought over once."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from graftwright.errors import GraftwrightError, NoPlan
from graftwright.exchange import offer_bytes, offer_from_bytes
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.season.scheme import (
    JointPlan,
    Offer,
    OfferWishes,
    SchemeWishes,
    offer_of,
)
from graftwright.store.offers import drop_offer, keep_offer, kept_offers
from graftwright.tongue import language, say
from graftwright.web.winter import this_winter
from graftwright.web.working.asking import answer_of, key_of
from graftwright.work import Means, Question
from graftwright.work.plans import JointWork, joint_plan_of

_FEW_WANTS = 16  # three nurseries with a dozen wants take a thirtieth of a second


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferHere:
    """An offer kept here by its name; None and why where the file cannot be read any more."""

    name: str
    offer: Offer | None
    why_not: str = ""

    @property
    def pieces_count(self) -> int:
        """Pieces of wood offered."""
        return sum(lot.pieces_count for lot in self.offer.wood) if self.offer else 0

    @property
    def stocks_count(self) -> int:
        """Stocks offered."""
        return sum(lot.stocks_count for lot in self.offer.stocks) if self.offer else 0

    @property
    def trees_count(self) -> int:
        """Trees wanted."""
        return sum(want.trees_count for want in self.offer.wants) if self.offer else 0


def offers_here() -> list[OfferHere]:
    """Return every offer kept here, by the name of its nursery."""
    found = [_read(name, content) for name, content in kept_offers().items()]
    return sorted(found, key=lambda one: (one.offer is None, one.offer.key if one.offer else ""))


def _read(name: str, content: bytes) -> OfferHere:
    try:
        return OfferHere(name=name, offer=offer_from_bytes(content))
    except GraftwrightError as why:
        return OfferHere(name=name, offer=None, why_not=str(why))


def bring_in(content: bytes) -> Offer:
    """Keep an offer; an older one of the same nursery goes. Raises as `offer_from_bytes`."""
    offer = offer_from_bytes(content)
    kept = keep_offer(offer_bytes(offer))
    for one in offers_here():
        if one.name != kept and one.offer is not None and one.offer.key == offer.key:
            drop_offer(one.name)
    return offer


def own_offer(wishes: OfferWishes) -> Offer:
    """Return this nursery's offer as the notebook stands. Raises NoPlan where there is no plan."""
    winter = this_winter()
    if winter.plan is None:
        raise NoPlan(winter.why_none)
    return offer_of(winter.notebook, plan=winter.plan, catalogue=shipped_catalogue(), wishes=wishes)


def plan_of(offers: list[OfferHere], *, wishes: SchemeWishes, on: date) -> JointPlan:
    """Return the joint plan of the offers that can be read.

    Raises NoPlan where none is in, and StillWorking where it takes its time.
    """
    readable = tuple(one.offer for one in offers if one.offer is not None)
    work = JointWork(offers=readable, wishes=wishes, today=on)
    if sum(len(offer.wants) for offer in readable) <= _FEW_WANTS:
        return _thought(work, language())

    def worked(means: Means) -> JointPlan:
        return means.gathered(joint_plan_of, [work])[0]

    return answer_of(
        Question(
            key=key_of("joint plan", work),
            work=worked,
            words=say("The joint plan"),
            room="scheme",
        )
    )


@lru_cache(maxsize=8)
def _thought(work: JointWork, _language: str) -> JointPlan:
    return joint_plan_of(work)
