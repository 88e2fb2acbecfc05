"""Long work in pieces, on this machine's processors or on a cluster, with progress and an end."""

from graftwright.work.desk import Desk, DeskFull, Means, Question, Stage, Task
from graftwright.work.executors import (
    ClusterUnreachable,
    InTurn,
    LocalProcesses,
    executors_for,
)
from graftwright.work.pieces import Done, WorkCancelled, WorkerLost, gathered
from graftwright.work.warm import WarmProcesses

__all__ = [
    "ClusterUnreachable",
    "Desk",
    "DeskFull",
    "Done",
    "InTurn",
    "LocalProcesses",
    "Means",
    "Question",
    "Stage",
    "Task",
    "WarmProcesses",
    "WorkCancelled",
    "WorkerLost",
    "executors_for",
    "gathered",
]
