"""Turns of writing that phones share: who waits for the turn is answered by whoever has it.

A turn costs a wait for the disk and as many questions to the database for one line as for a few. So
whoever gets the turn takes along what others brought meanwhile, the longest waiting first, and they
find themselves answered. Nobody is answered before the lines are safe on the disk.
"""

import threading
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from graftwright.errors import NotebookBusy
from graftwright.tongue import say
from graftwright.web.sync.answering import Answered, Line, answers_to

# one wait for the disk for so many; longer, and another phone would wait too long for its turn
MOST_TOGETHER = 25


@dataclass(slots=True, kw_only=True, eq=False)
class _Brought:
    """What one request brought, and its answers or what failed once they are there."""

    lines: Sequence[Line]
    answers: list[Answered] | None = None
    wrong: Exception | None = None

    @property
    def is_over(self) -> bool:
        return self.answers is not None or self.wrong is not None


class Turns:
    """Hands out one turn after another, each to some of those who wait."""

    def __init__(self, answer: Callable[[Sequence[Line]], list[Answered]] = answers_to) -> None:
        self._answer = answer
        self._turn = threading.Lock()
        self._waiting: deque[_Brought] = deque()

    def answered(self, lines: Sequence[Line]) -> list[Answered]:
        """Return the answer to each line, once it is safe.

        Raises what the answering raises; NotebookBusy where the disk or another program fails it.
        """
        mine = _Brought(lines=lines)
        self._waiting.append(mine)
        while not mine.is_over:
            with self._turn:
                if not mine.is_over:
                    self._answer_some(self._taken())
        if mine.wrong is not None:
            raise mine.wrong
        return mine.answers or []

    def _taken(self) -> list[_Brought]:
        """Take those who wait longest, as many as go together; at least one."""
        taken: list[_Brought] = []
        count = 0
        while self._waiting and (not taken or count + len(self._waiting[0].lines) <= MOST_TOGETHER):
            taken.append(self._waiting.popleft())
            count += len(taken[-1].lines)
        return taken

    def _answer_some(self, some: Sequence[_Brought]) -> None:
        try:
            answers = iter(self._answer([line for one in some for line in one.lines]))
        except NotebookBusy as busy:
            for one in some:
                one.wrong = NotebookBusy(str(busy))
        except Exception as wrong:
            if len(some) == 1:
                some[0].wrong = wrong
                return
            for one in some:  # a fault with one phone's lines is no other phone's
                self._answer_some([one])
        else:
            for one in some:
                one.answers = [next(answers) for _ in one.lines]
        finally:
            for one in some:  # whatever ended this thread, nobody waits for it
                if not one.is_over:
                    one.wrong = NotebookBusy(say("the turn was broken off; send it again"))


turns = Turns()
