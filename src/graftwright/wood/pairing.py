"""Which scion on which rootstock: one plan for dividing all sticks and pairing all pieces."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from graftwright.errors import Ambiguous, OutOfRange
from graftwright.tongue import told
from graftwright.wood.cutplan import AsidePurpose, CutPlan, Order, Reserve
from graftwright.wood.division import (
    CuttingRules,
    PieceTable,
    Skill,
    candidate_pieces,
    most_piece_count,
    spoilt_allowance_count,
)
from graftwright.wood.handback import plan_from_classes
from graftwright.wood.priorities import are_counts_proven
from graftwright.wood.problem import PlanWeights, build_problem
from graftwright.wood.programme import EXACT_GAP_GRAFTS
from graftwright.wood.score import PairTable, assumed_pair_table
from graftwright.wood.search import search_plan
from graftwright.wood.stick import Stick, Stock

_QUICK_PROOF_PAIR_COUNT = 8_000


def plan_cuts(
    sticks: Sequence[Stick],
    stocks: Sequence[Stock],
    orders: Sequence[Order],
    rules: CuttingRules | None = None,
    *,
    pair_table: PairTable | None = None,
    weights: PlanWeights | None = None,
    skill: Skill | None = None,
    reserves: Sequence[Reserve] = (),
    time_limit_s: float = 60.0,
    is_priority_proof_wanted: bool = False,
    accepted_gap_grafts: float = EXACT_GAP_GRAFTS,
) -> CutPlan:
    """Divide the sticks and pair the pieces so that the orders are served best.

    Most grafts of priority 1, then of 2, then of 3, then the best take scores; wood of urgent
    bundles is preferred among near equals. The same input gives the same plan.

    Parameters
    ----------
    sticks, stocks, orders
        What there is and what is asked for; any of them may be empty. Names must be unique.
    rules
        How pieces may be cut.
    pair_table
        How good a pair is; without it, the table built from the assumed take curve.
    skill
        How practised the cutter is; with it, pieces are kept back for cuts that go wrong.
    reserves
        Pieces kept back for a second attempt, before any order is served.
    time_limit_s
        Seconds of solving after which the best plan so far is given with its gap. [s]
    is_priority_proof_wanted
        Prove the counts by priority for a large plan too, which takes about as long again;
        for a small one it is done anyway.
    accepted_gap_grafts
        How far below the bound a plan may stay, in expected takes. Below one graft it leaves the
        counts by priority as they are; a little room spares seconds of search. [grafts]

    Raises
    ------
    Ambiguous
        If two sticks, stocks or orders carry the same name.
    OutOfRange
        If the time limit is not above 0.
    """
    _check_names(sticks, stocks, orders)
    if not time_limit_s > 0:
        raise OutOfRange(
            told(
                "the time limit is {time_limit_s} s; expected more than 0; give seconds",
                time_limit_s=time_limit_s,
            )
        )
    rules, table = rules or CuttingRules(), pair_table or assumed_pair_table()
    pieces, scarce, aside = _pieces_and_aside(
        sticks, orders, rules=rules, skill=skill, reserves=reserves
    )
    problem = build_problem(
        sticks,
        stocks,
        orders,
        pieces=pieces,
        rules=rules,
        table=table,
        weights=weights or PlanWeights(),
        aside_counts=[(variety, count) for variety, count, _ in aside],
    )
    found = search_plan(problem, time_limit_s=time_limit_s, accepted_gap_grafts=accepted_gap_grafts)
    plan = plan_from_classes(
        problem,
        found,
        sticks=sticks,
        stocks=stocks,
        orders=orders,
        table=table,
        purposes=[purpose for _, _, purpose in aside],
        reserved_varieties=frozenset(r.variety for r in reserves if r.piece_count),
    )
    is_proven = None
    if is_priority_proof_wanted or problem.pair_count <= _QUICK_PROOF_PAIR_COUNT:
        is_proven = are_counts_proven(problem, found, time_limit_s=time_limit_s)
    return replace(plan, scarce_varieties=tuple(sorted(scarce)), are_counts_proven=is_proven)


_Aside = tuple[str, int, AsidePurpose]


def _pieces_and_aside(
    sticks: Sequence[Stick],
    orders: Sequence[Order],
    *,
    rules: CuttingRules,
    skill: Skill | None,
    reserves: Sequence[Reserve],
) -> tuple[PieceTable, frozenset[str], list[_Aside]]:
    """Return the candidates, the varieties short of wood, and what must be kept back."""
    wanted: Counter[str] = Counter()
    for order in orders:
        wanted[order.variety] += order.wanted_count
    reserved: Counter[str] = Counter()
    for reserve in reserves:
        reserved[reserve.variety] += reserve.piece_count
    pieces = candidate_pieces(sticks, rules=rules)
    most = _most_by_variety(sticks, pieces)
    scarce = frozenset(
        variety
        for variety, count in most.items()
        if count < wanted[variety] + reserved[variety] + _spoilt(wanted[variety], skill)
    )
    if scarce:
        pieces = candidate_pieces(sticks, rules=rules, scarce_varieties=scarce)
        most = _most_by_variety(sticks, pieces)
    return pieces, scarce, _aside_counts(wanted, reserved, most, skill=skill)


def _aside_counts(
    wanted: Counter[str], reserved: Counter[str], most: dict[str, int], *, skill: Skill | None
) -> list[_Aside]:
    aside: list[_Aside] = []
    for variety, most_count in sorted(most.items()):
        reserve_count = min(reserved[variety], most_count)
        free_count = most_count - reserve_count
        spoilt_count = min(free_count, _spoilt(min(wanted[variety], free_count), skill))
        if reserve_count:
            aside.append((variety, reserve_count, AsidePurpose.RESERVE))
        if spoilt_count:
            aside.append((variety, spoilt_count, AsidePurpose.SPOILT_CUTS))
    return aside


def _spoilt(piece_count: int, skill: Skill | None) -> int:
    return 0 if skill is None else spoilt_allowance_count(piece_count, skill=skill)


def _most_by_variety(sticks: Sequence[Stick], pieces: PieceTable) -> dict[str, int]:
    most: dict[str, int] = {}
    counts: list[int] = np.asarray(most_piece_count(pieces, stick_count=len(sticks))).tolist()
    for stick, count in zip(sticks, counts, strict=True):
        most[stick.variety] = most.get(stick.variety, 0) + count
    return most


def _check_names(sticks: Sequence[Stick], stocks: Sequence[Stock], orders: Sequence[Order]) -> None:
    for what, names in (
        ("sticks", [stick.name for stick in sticks]),
        ("stocks", [stock.name for stock in stocks]),
        ("orders", [order.name for order in orders]),
    ):
        if len(set(names)) < len(names):
            name, count = Counter(names).most_common(1)[0]
            raise Ambiguous(
                told(
                    "{count} {what} are called {name}; expected every name once; give each its own",
                    count=count,
                    what=what,
                    name=name,
                )
            )
