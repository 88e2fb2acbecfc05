"""Long work in pieces, on this machine's processors or on a cluster, with progress and an end."""

from graftwright.work.executors import (
    ClusterUnreachable,
    InTurn,
    LocalProcesses,
    executors_for,
)
from graftwright.work.pieces import Done, WorkCancelled, WorkerLost, gathered

__all__ = [
    "ClusterUnreachable",
    "Done",
    "InTurn",
    "LocalProcesses",
    "WorkCancelled",
    "WorkerLost",
    "executors_for",
    "gathered",
]
