"""Writing entries down from a form, so that a refusal is said where the form stands."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from django import forms

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.notebook.entries.entry import Entry
from graftwright.store.append import write_many


@contextmanager
def refusal_on(form: forms.BaseForm, field: str | None = None) -> Iterator[None]:
    """Say on the form, or beside a field, why something was refused; it is no longer valid then.

    Raises NotebookBusy, which is no refusal: the page says to try again.
    """
    try:
        yield
    except NotebookBusy:
        raise
    except GraftwrightError as refused:
        form.add_error(field, str(refused))


def is_written(made: Callable[[], Sequence[Entry]], *, form: forms.BaseForm) -> bool:
    """Make the entries and write all or none. If refused, the form says why; False is returned.

    Raises as `refusal_on` does.
    """
    with refusal_on(form):
        write_many(made(), device="desk")
    return form.is_valid()
