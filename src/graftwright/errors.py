"""Every error Graftwright raises on purpose.

GraftwrightError
├── OutOfRange           a number lies outside what the model or the trade allows   (ValueError)
├── NotUnderstood        a text could not be read as what was expected              (ValueError)
├── Ambiguous            a text has two honest readings and nobody said which       (ValueError)
├── GapInSeries          an hour, day or row is missing where none may be           (ValueError)
├── UnknownCode          no such code, or its check character is wrong              (LookupError)
├── CannotFollow         an entry that cannot be true after what is written         (ValueError)
├── NoPlan               nothing can be planned from what there is                  (RuntimeError)
├── DamagedFile          a file that must be whole is not; names the line           (ValueError)
└── NotebookBusy         the notebook could not be written now; nothing was lost    (RuntimeError)

A message says what was found, what was expected, and what to do.
"""


class GraftwrightError(Exception):
    """The root of the family."""


class OutOfRange(GraftwrightError, ValueError):
    """A number lies outside what the model or the trade allows."""


class NotUnderstood(GraftwrightError, ValueError):
    """A text could not be read as what was expected."""


class Ambiguous(GraftwrightError, ValueError):
    """A text has two honest readings and nobody said which is meant."""


class GapInSeries(GraftwrightError, ValueError):
    """An hour, day or row is missing where none may be."""


class UnknownCode(GraftwrightError, LookupError):
    """No such code, or its check character is wrong."""

    def __str__(self) -> str:  # LookupError would print the repr
        return str(self.args[0]) if self.args else ""


class CannotFollow(GraftwrightError, ValueError):
    """An entry that cannot be true after what is already written."""


class NoPlan(GraftwrightError, RuntimeError):
    """Nothing can be planned from what there is."""


class DamagedFile(GraftwrightError, ValueError):
    """A file that must be whole is not; the message names the line."""


class NotebookBusy(GraftwrightError, RuntimeError):
    """The notebook could not be written just now; nothing was lost."""
