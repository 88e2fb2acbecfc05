"""Whether a tree needs a stake for life, by each source's word."""

from dataclasses import dataclass

from graftwright.errors import NotUnderstood
from graftwright.planting.catalogue import Catalogue, rootstock_named
from graftwright.planting.rootstock import Rootstock
from graftwright.planting.union_height import holds_tree_small
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class StakeAdvice:
    """What to do about a stake; `is_for_life` is None where no source says and none can be told."""

    rootstock: str
    is_for_life: bool | None
    wanting: tuple[str, ...]
    not_wanting: tuple[str, ...]
    sentence: str


def stake_advice(rootstock: str | None, *, catalogue: Catalogue) -> StakeAdvice:
    """Say whether the tree is staked for life.

    If any source wants it, it is advised, with the dissenters named beside it: a tree that falls
    costs more than a stake. A stock that makes a full-sized tree needs one while young only.

    Source
    ------
    The rows of the rootstock table, RHSRootstocks among them.
    """
    stock = _known(rootstock, catalogue)
    if stock is None:
        sentence = say("Stock not known: stake the tree, and look again when its size shows.")
        return _advice(say("unknown stock"), None, ((), ()), sentence)
    wanting, not_wanting = stock.stake_sources
    if wanting:
        doubt = say(" Some sources say that it stands alone.") if not_wanting else ""
        return _advice(
            stock.preferred_name,
            True,
            stock.stake_sources,
            told("Stake for life.{doubt}", doubt=doubt),
        )
    if not_wanting or not holds_tree_small(stock):
        sentence = say("Stake while young only, not for life.")
        return _advice(stock.preferred_name, False, stock.stake_sources, sentence)
    sentence = say("Whether it needs a stake for life is not known: stake it, and look again.")
    return _advice(stock.preferred_name, None, stock.stake_sources, sentence)


def _known(name: str | None, catalogue: Catalogue) -> Rootstock | None:
    try:
        return rootstock_named(name, catalogue=catalogue) if name else None
    except NotUnderstood:
        return None


def _advice(
    name: str,
    is_for_life: bool | None,
    sources: tuple[tuple[str, ...], tuple[str, ...]],
    sentence: str,
) -> StakeAdvice:
    return StakeAdvice(
        rootstock=name,
        is_for_life=is_for_life,
        wanting=sources[0],
        not_wanting=sources[1],
        sentence=sentence,
    )
