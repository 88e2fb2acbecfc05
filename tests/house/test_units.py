"""Every float of the core's public face says its unit in its name."""

import ast
import re
from collections.abc import Iterator

from tests.house.tree import CORE_ROOMS, Function, Module, modules

UNIT_ENDINGS = (
    # lengths, areas, contents
    "mm", "m", "cm2", "litres",
    # temperature; time; angles
    "c", "k", "h", "days", "years", "min", "minutes", "s", "doy", "deg", "rad",
    # parts of one, parts of a hundred, numbers of things on average
    "fraction", "percent", "ratio", "count", "grafts",
    # scales without a unit: logarithms, logits, points of a score
    "log", "logit", "score", "score_sum", "ph",
    # the notebook's own currency
    "money", "cost", "price", "price_each",
)  # fmt: skip
LOG_SCALES = ("log_", "logit_")
PER = re.compile(r"_per_[a-z]+$|_minutes_each$|^minutes_each$")

# Names that carry no unit, and why. The list may shrink; it grows only for a paper's own symbol.
_PHENOFLEX = "as the paper's appendix writes the model"
_BETA = "the Beta distribution's own letters: a is grafts that lived, b grafts that died"
_UNIT_BESIDE = "the unit stands in another field of the same value"
_OBJECTIVE = "points of the programme's objective, which have no unit"
_CURRENCY = "money; the value names its currency"
WITHOUT_UNIT = {
    # papers' own symbols
    "climate/chill.py:ChillState.intermediate": "the dynamic model's intermediate product, 0 to 1",
    "climate/chill.py:ChillState.portion_sum": "chill portions, the model's own count",
    "climate/phenoflex.py:PhenoFlexParameters.a0": _PHENOFLEX,
    "climate/phenoflex.py:PhenoFlexParameters.chill_need": _PHENOFLEX,
    "climate/phenoflex.py:PhenoFlexParameters.heat_need": _PHENOFLEX,
    "climate/phenoflex.py:PhenoFlexParameters.slope": _PHENOFLEX,
    "climate/phenoflex.py:PhenoFlexParameters.steepness": _PHENOFLEX,
    "losses/spreads.py:HalfTSpreads.freedom": "degrees of freedom of Student's t",
    "losses/stages.py:BetaRate.a": _BETA,
    "losses/stages.py:BetaRate.b": _BETA,
    "season/planned.py:StageRate.a": _BETA,
    "season/planned.py:StageRate.b": _BETA,
    # any unit, the caller's own
    "climate/bloom_skill.py:ranked_score(seen)": "in the unit of the draws, whatever it is",
    "planting/rootstock.py:Span.low": "a span of anything; the field that holds it names the unit",
    "planting/rootstock.py:Span.high": "a span of anything; the field that holds it names the unit",
    "planting/vigour_fit.py:VigourFit.height_slope": "log height per log vigour, no unit",
    # a plain multiplier
    "season/take_curve_changes.py:CurveChange.slope_times": "times the slope, no unit",
    "season/take_curve_changes.py:with_curve(slope_times)": "times the slope, no unit",
    "wood/score.py:TakeCurve.slope_times": "times the slope, no unit",
    # a measure in the unit the person chose
    "losses/joint.py:LimitPrice.used_amount": _UNIT_BESIDE,
    "losses/orders.py:JointLimit.amount": _UNIT_BESIDE,
    "notebook/entries/anything.py:MaterialCounted.in_hand": _UNIT_BESIDE,
    "season/planned.py:MaterialNeed.in_hand": _UNIT_BESIDE,
    "season/planned.py:MaterialNeed.needed": _UNIT_BESIDE,
    "season/planned.py:MaterialNeed.to_buy": _UNIT_BESIDE,
    "season/practice.py:Rule.value": _UNIT_BESIDE,
    "season/practice.py:Threshold.default": _UNIT_BESIDE,
    # optimisers
    "losses/joint.py:JointPlan.bound": _OBJECTIVE,
    "losses/joint.py:JointPlan.value": _OBJECTIVE,
    "losses/orders.py:JointLine.worth": _OBJECTIVE,
    "losses/programme.py:Solved.bound": _OBJECTIVE,
    "losses/programme.py:Solved.value": _OBJECTIVE,
    "wood/cutplan.py:CutPlan.bound": _OBJECTIVE,
    "wood/cutplan.py:CutPlan.gap": _OBJECTIVE,
    "wood/cutplan.py:CutPlan.value": _OBJECTIVE,
    "wood/patterns.py:PatternPrices.bound_graft": _OBJECTIVE,
    "wood/patterns.py:PatternPrices.gap_graft": _OBJECTIVE,
    "wood/prices.py:Priced.bound_graft": _OBJECTIVE,
    "wood/programme.py:Answer.bound_graft": _OBJECTIVE,
    "wood/programme.py:Solved.bound_graft": _OBJECTIVE,
    "wood/search.py:better(allowed_loss)": _OBJECTIVE,
    "wood/search.py:keep(loss)": _OBJECTIVE,
    # money
    "season/planned.py:CostLine.amount": _CURRENCY,
    "season/planned.py:Costs.per_living_tree": _CURRENCY,
    "season/planned.py:Costs.total": _CURRENCY,
    # to be renamed: rooms that are being worked on
    "losses/compare.py:Comparison.common_log_odds": "to be renamed ..._log",
    "losses/latent.py:LatentMode.row_precision": "one over a variance on the logit scale",
    "losses/stages.py:as_known_from(grafts_precision)": "to be renamed ..._count",
    "losses/take.py:TakePrior.covariate_sd": "to be renamed ..._sd_logit",
    "season/frost_watch.py:AlarmCosts.false_alarm": "to be renamed ..._cost",
    "season/frost_watch.py:AlarmCosts.miss": "to be renamed ..._cost",
    "season/planned.py:Costs.expected_living_trees": "to be renamed ..._tree_count",
}


def _is_float(annotation: ast.expr | None) -> bool:
    return annotation is not None and ast.unparse(annotation).strip("'\"") in {
        "float",
        "float | None",
    }


def _parameters(module: Module) -> Iterator[tuple[str, str]]:
    for function in module.functions():
        if not function.name.startswith("_"):
            for argument in _arguments(function):
                if _is_float(argument.annotation):
                    yield f"{module.place}:{function.name}({argument.arg})", argument.arg


def _arguments(function: Function) -> list[ast.arg]:
    return [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]


def _fields(module: Module) -> Iterator[tuple[str, str]]:
    for node in ast.walk(module.syntax):
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for line in node.body:
                if (
                    isinstance(line, ast.AnnAssign)
                    and isinstance(line.target, ast.Name)
                    and _is_float(line.annotation)
                ):
                    yield f"{module.place}:{node.name}.{line.target.id}", line.target.id


def _core_floats() -> list[tuple[str, str]]:
    core = [module for module in modules() if module.room in CORE_ROOMS]
    return [found for one in core for found in (*_parameters(one), *_fields(one))]


def _says_its_unit(name: str) -> bool:
    ends = any(name == unit or name.endswith(f"_{unit}") for unit in UNIT_ENDINGS)
    return ends or bool(PER.search(name)) or name.startswith(LOG_SCALES)


def test_the_walk_finds_the_core_s_floats() -> None:
    assert len(_core_floats()) > 300


def test_every_public_float_of_the_core_says_its_unit() -> None:
    bare = [
        place
        for place, name in _core_floats()
        if not _says_its_unit(name) and place not in WITHOUT_UNIT
    ]
    assert bare == []


def test_no_name_is_excused_that_is_gone_or_needs_no_excuse() -> None:
    bare = {place for place, name in _core_floats() if not _says_its_unit(name)}
    assert set(WITHOUT_UNIT) - bare == set()
