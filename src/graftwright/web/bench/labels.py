"""Which labels a run takes: those printed for it, in working order."""

from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import Plan, Run
from graftwright.tagcode import codes_in_block


def free_labels(notebook: Notebook, season: int) -> tuple[str, ...]:
    """Return the season's label codes that name nothing yet, in working order."""
    device = f"labels {season}"
    blocks = [block for block in notebook.code_blocks if block.to_device == device]
    return tuple(
        code
        for block in sorted(blocks, key=lambda block: block.first_number)
        for code in codes_in_block(block.first_number, block.block_count)
        if not notebook.kind_of_code(code)
    )


def labels_for_run(
    labels: tuple[str, ...], plan: Plan | None, run: Run | None, count: int
) -> tuple[str, ...]:
    """Return up to so many codes for a run: its own labels first, then those beyond the plan.

    The label of each planned graft bears its names, so the labels of other runs are left alone.
    """
    if plan is None:
        return labels[:count]
    of_plan = len(plan.joins)
    places = {join.number: place for place, join in enumerate(plan.joins)}
    wanted = [places[number] for number in run.join_numbers if number in places] if run else []
    mine = [labels[place] for place in wanted if place < len(labels)]
    return (*mine, *labels[of_plan:])[:count]


def planned_run(
    plan: Plan | None, *, bundle_code: str, lot_code: str, promise_code: str
) -> Run | None:
    """Return the planned run of this bundle on this lot, of this promise if one is named."""
    for run in plan.runs if plan else ():
        same = run.bundle_code == bundle_code and run.lot_code == lot_code
        if same and promise_code in ("", run.promise_code):
            return run
    return None
