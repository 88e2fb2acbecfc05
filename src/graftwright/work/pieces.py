"""Work in pieces: sent to any executor, gathered in the order in which they were given.

The executor of the standard library is the only seam. A piece is a value that can be pickled, and
what comes of it follows from the piece alone, so the answers are the same however many workers
there are, whichever finishes first, and however often a worker is lost on the way. What a piece
says, it says in the language of whoever asked.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from dataclasses import dataclass
from typing import Generic, TypeVar

from graftwright.errors import GraftwrightError
from graftwright.locale import catalogue_of
from graftwright.tongue import language, say, speaking, told

P = TypeVar("P")
R = TypeVar("R")
_LOOK_UP_S = 0.1
_MOST_FRUITLESS_ROUNDS = 3


class WorkCancelled(GraftwrightError, RuntimeError):
    """Somebody said that the answer is no longer wanted."""


class WorkerLost(GraftwrightError, RuntimeError):
    """A worker ended before its piece was done, again and again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """How far the work is: pieces done of all, and how often workers had to be made anew."""

    done_count: int
    piece_count: int
    lost_count: int = 0


def gathered(
    function: Callable[[P], R],
    pieces: Sequence[P],
    *,
    make_executor: Callable[[], Executor],
    on_done: Callable[[Done], None] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> tuple[R, ...]:
    """Return what `function` makes of each piece, in the order of the pieces.

    Parameters
    ----------
    function
        A function of a module, so that it can be named to another process. It may be called more
        than once for a piece, and must make the same of it each time.
    make_executor
        Called once, and again whenever a lost worker broke the executor; only pieces that are not
        done are then sent again.
    on_done
        Told each time a piece is done.
    is_cancelled
        Asked about ten times a second.

    Raises
    ------
    WorkCancelled
        If `is_cancelled` says so; workers are stopped where the executor can do that.
    WorkerLost
        If executors broke three times in a row without a single piece done in between.
    """
    gathering = _Gathering(function=function, pieces=pieces, on_done=on_done)
    fruitless_count = 0
    while gathering.left:
        before_count = len(gathering.results)
        try:
            gathering.round(make_executor(), is_cancelled or _never)
        except BrokenExecutor as broken:
            gathering.lost_count += 1
            is_fruitless = len(gathering.results) == before_count
            fruitless_count = fruitless_count + 1 if is_fruitless else 0
            if fruitless_count >= _MOST_FRUITLESS_ROUNDS:
                raise WorkerLost(
                    told(
                        "{fruitless_count} times a worker ended before its piece was done; "
                        "perhaps memory ran out: try again with fewer workers",
                        fruitless_count=fruitless_count,
                    )
                ) from broken
    return tuple(gathering.results[place] for place in range(len(pieces)))


def _said_in(code: str, function: Callable[[P], R], piece: P) -> R:
    """Work a piece in the language of whoever asked: workers start in English."""
    with speaking(catalogue_of(code), language=code):
        return function(piece)


def _never() -> bool:
    return False


class _Gathering(Generic[P, R]):
    """What has come back so far. Results are kept by the place of their piece."""

    def __init__(
        self,
        *,
        function: Callable[[P], R],
        pieces: Sequence[P],
        on_done: Callable[[Done], None] | None,
    ) -> None:
        self._function = function
        self._pieces = pieces
        self._on_done = on_done
        self.results: dict[int, R] = {}
        self.lost_count = 0

    @property
    def left(self) -> list[int]:
        """The places of the pieces that are not done."""
        return [place for place in range(len(self._pieces)) if place not in self.results]

    def round(self, executor: Executor, is_cancelled: Callable[[], bool]) -> None:
        """Send what is left and take in what comes, until all is done or the executor breaks."""
        is_whole = False
        waiting: dict[Future[R], int] = {}
        try:
            for place in self.left:
                piece = self._pieces[place]
                waiting[executor.submit(_said_in, language(), self._function, piece)] = place
            while waiting:
                if is_cancelled():
                    raise WorkCancelled(say("the work was stopped before it was done"))
                done, _ = wait(waiting, timeout=_LOOK_UP_S, return_when=FIRST_COMPLETED)
                self._take_in({one: waiting.pop(one) for one in done})
            is_whole = True
        finally:
            for future in waiting:
                future.cancel()
            _end(executor, is_whole=is_whole)

    def _take_in(self, done: "dict[Future[R], int]") -> None:
        """Keep what is whole even where a broken executor is among the answers."""
        broken: BrokenExecutor | None = None
        for future, place in done.items():
            try:
                self.results[place] = future.result()
            except BrokenExecutor as lost:
                broken = lost
                continue
            if self._on_done is not None:
                self._on_done(
                    Done(
                        done_count=len(self.results),
                        piece_count=len(self._pieces),
                        lost_count=self.lost_count,
                    )
                )
        if broken is not None:
            raise broken


def _end(executor: Executor, *, is_whole: bool) -> None:
    """Let workers go; those in the middle of a piece nobody waits for are ended at once."""
    kill = getattr(executor, "kill_workers", None)
    if not is_whole and kill is not None:
        kill()
    executor.shutdown(wait=is_whole)
