"""Functions that workers are told to run: a module of its own, so that they find it by name."""

import os
import signal
import time
from pathlib import Path
from uuid import uuid4

from graftwright.errors import OutOfRange
from graftwright.tongue import say


def squared_late(number: int) -> int:
    """The earlier the piece, the later it is done."""
    time.sleep(0.05 * max(0, 4 - number))
    return number * number


def killed_once(piece: tuple[str, int]) -> int:
    """Note that it ran; the worker of piece 3 is killed in the middle, the first time."""
    folder, number = Path(piece[0]), piece[1]
    (folder / f"{number}-{uuid4().hex}").touch()
    marker = folder / "killed"
    if number == 3 and not marker.exists():
        marker.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return number * number


def always_killed(number: int) -> int:
    """No worker lives through this."""
    os.kill(os.getpid(), signal.SIGKILL)
    return number


def refused(number: int) -> int:
    """A piece that cannot be worked."""
    raise OutOfRange(f"piece {number} is out of range; expected another")


def slow(piece: tuple[str, int]) -> int:
    """Write down who works it; only the first is ever done."""
    folder, number = Path(piece[0]), piece[1]
    (folder / f"pid-{os.getpid()}").touch()
    if number:
        time.sleep(600)
    return number


def worker_pid(_: int) -> int:
    """Which process works this."""
    return os.getpid()


def said(message: str) -> str:
    """A message in the language spoken where it is worked."""
    return say(message)
