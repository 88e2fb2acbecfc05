"""The notebook: what can be written down, what may follow what, and what comes of it."""

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.notebook.rules import check_may_follow, odd

__all__ = ["Notebook", "check_may_follow", "odd", "replay"]
