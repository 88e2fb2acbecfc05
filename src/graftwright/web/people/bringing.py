"""What a helper's phone may bring: the bench's own entries, and only their own taken back."""

from graftwright.errors import CannotFollow
from graftwright.notebook.entries import EntryWithdrawn
from graftwright.notebook.entries.entry import Entry
from graftwright.store.models import WrittenEntry
from graftwright.store.signed_in import Role, signed_in
from graftwright.tongue import told

_FROM_THE_BENCH = frozenset({"RunGrafted", "LabelsCounted"})


def check_may_bring(entry: Entry) -> None:
    """Raise CannotFollow for an entry that a helper's phone may not bring."""
    person = signed_in()
    if person is None or person.role.reaches(Role.GRAFTER):
        return
    if isinstance(entry, EntryWithdrawn):
        own = WrittenEntry.objects.filter(
            entry_id=entry.target, kind__in=_FROM_THE_BENCH, written_by=person.initials
        )
        if own.exists():
            return
    elif type(entry).__name__ in _FROM_THE_BENCH:
        return
    raise CannotFollow(
        told(
            "{name} is not among what a helper's phone brings; a grafter writes it",
            name=type(entry).__name__,
        )
    )
