"""Where the pages let long work be done, said before anything is loaded."""

import argparse
import os
from importlib.util import find_spec

from graftwright.errors import OutOfRange
from graftwright.tongue import told
from graftwright.work.executors import MOST_WORKERS, ClusterUnreachable, say_extra_is_missing

_USUAL_WORKERS = 2


def set_up(asked: argparse.Namespace) -> None:
    """Pass on to the settings how many workers there are, or which cluster.

    Whether the cluster answers is seen when it is asked for the first time: a connection made here
    would not live on in the process that serves.

    Raises
    ------
    OutOfRange
        If there cannot be so many workers.
    ClusterUnreachable
        If the extra for clusters is not installed.
    """
    if asked.workers is not None:
        if not 0 <= asked.workers <= MOST_WORKERS:
            raise OutOfRange(
                told(
                    "{workers} workers; a number from 0 to {MOST_WORKERS} is expected",
                    workers=asked.workers,
                    MOST_WORKERS=MOST_WORKERS,
                )
            )
        os.environ["GRAFTWRIGHT_WORKERS"] = str(asked.workers)
    usual = min(_USUAL_WORKERS, os.cpu_count() or 1)
    os.environ.setdefault("GRAFTWRIGHT_WORKERS", str(usual))
    if asked.cluster:
        if find_spec("distributed") is None:
            raise ClusterUnreachable(say_extra_is_missing())
        os.environ["GRAFTWRIGHT_CLUSTER"] = asked.cluster
