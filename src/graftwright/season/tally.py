"""Grafts counted at one stage, with everything recorded of them."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StageTally:
    """Grafts of one make-up that entered a stage with a decided outcome, and those that passed."""

    season: int
    variety: str
    stock: str
    method: str
    grafter: str
    bundle_code: str
    stage: str
    tried_count: int
    passed_count: int
