"""The story of a code in order: what was written, what was corrected, what was withdrawn."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from graftwright.notebook.amended import effective
from graftwright.notebook.entries import EntryCorrected, EntryWithdrawn, Written
from graftwright.notebook.notebook import Notebook
from graftwright.store.clash_list import corrections_in_doubt
from graftwright.store.read import story_of
from graftwright.tongue import told
from graftwright.web.trees.sentences import sentence_of


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryLine:
    """One entry: how it counts now, how it was first written, and what was said of it since.

    `withdrawn_by` is the entry that withdrew it; None while it counts. `clash_id` names the clash
    of its corrections; empty where they agree or one was chosen.
    """

    entry_id: UUID
    happened_on: date
    words: str
    first_words: str
    written_by: str
    reasons: tuple[str, ...]
    withdrawn_by: UUID | None
    clash_id: str

    @property
    def is_corrected(self) -> bool:
        """Whether it counts otherwise than it was first written."""
        return bool(self.first_words)


def story_lines(key: str, notebook: Notebook) -> tuple[StoryLine, ...]:
    """Return the story of a code, the first entry first; nothing is left out."""
    story = story_of(key)
    counted = {one.entry_id: one for one in effective(story)}
    in_doubt = corrections_in_doubt(story)
    lines = [
        _line(one, counted.get(one.entry_id), story, notebook, in_doubt.get(one.entry_id, ""))
        for one in story
        if not isinstance(one.entry, EntryCorrected | EntryWithdrawn)
    ]
    return tuple(sorted(lines, key=lambda line: line.happened_on))


def _line(
    first: Written,
    now: Written | None,
    story: Sequence[Written],
    notebook: Notebook,
    clash_id: str,
) -> StoryLine:
    shown = now or first
    words, first_words = (sentence_of(one.entry, notebook) for one in (shown, first))
    is_changed = shown.entry != first.entry
    moved = shown.entry.happened_on != first.entry.happened_on
    was = (
        told(
            "{first_words}, on {happened_on:%-d %B %Y}.",
            first_words=first_words[:-1],
            happened_on=first.entry.happened_on,
        )
        if moved
        else first_words
    )
    amendments = [one for one in story if _target(one) == first.entry_id]
    return StoryLine(
        entry_id=first.entry_id,
        happened_on=shown.entry.happened_on,
        words=words,
        first_words=was if is_changed else "",
        written_by=first.written_by,
        reasons=tuple(reason for one in amendments if (reason := _reason(one))),
        withdrawn_by=None if now else _withdrawal(amendments),
        clash_id=clash_id,
    )


def _target(one: Written) -> UUID | None:
    entry = one.entry
    return entry.target if isinstance(entry, EntryCorrected | EntryWithdrawn) else None


def _reason(one: Written) -> str:
    entry = one.entry
    return entry.reason if isinstance(entry, EntryCorrected | EntryWithdrawn) else ""


def _withdrawal(amendments: Sequence[Written]) -> UUID | None:
    found = [one.entry_id for one in amendments if isinstance(one.entry, EntryWithdrawn)]
    return found[-1] if found else None
