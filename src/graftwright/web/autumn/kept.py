"""Who would get which trees, kept as long as nothing it rests on was written since."""

from dataclasses import dataclass, replace
from operator import is_

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.counted_trees import ungraded_count
from graftwright.season.grouped_trees import free_trees
from graftwright.season.naming import Names
from graftwright.season.setting_aside import Sharing, proposed_sharing
from graftwright.tongue import language


@dataclass(frozen=True, slots=True, kw_only=True)
class _KeptSharing:
    spoken: str
    rests_on: tuple[object, ...]
    sharing: Sharing


_last_sharing: list[_KeptSharing] = []


def sharing_kept(notebook: Notebook) -> Sharing:
    """Return the proposed sharing, as worked out before if what it rests on is the very same."""
    spoken = language()  # the shares hold words
    rests_on = (
        free_trees(notebook.trees),
        notebook.promises,
        notebook.bundles,
        notebook.lots,
        notebook.mother_trees,
        notebook.nursery,
    )
    kept = _last_sharing[0] if _last_sharing else None
    if kept is None or kept.spoken != spoken or not all(map(is_, kept.rests_on, rests_on)):
        sharing = proposed_sharing(notebook, names=Names(shipped_catalogue()))
        kept = _KeptSharing(spoken=spoken, rests_on=rests_on, sharing=sharing)
        _last_sharing[:] = [kept]
    return replace(kept.sharing, ungraded_count=ungraded_count(notebook.trees))
