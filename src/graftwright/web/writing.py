"""Writing entries down from a form, so that a refusal is said where the form stands."""

from collections.abc import Callable, Sequence

from django import forms

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries.entry import Entry
from graftwright.store.append import write_many


def is_written(made: Callable[[], Sequence[Entry]], *, form: forms.BaseForm) -> bool:
    """Make the entries and write all or none. If refused, the form says why; False is returned.

    Raises NotebookBusy, which is no refusal: the page says to try again.
    """
    try:
        write_many(made(), device="desk")
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        form.add_error(None, str(refused))
        return False
    return True
