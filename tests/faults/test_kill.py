"""Killed while it works: what was acknowledged is there, nothing is half, twelve times over.

The long form, two hundred kills, is `python -m benchmarks.crashes`.
"""

import random
from pathlib import Path

import pytest
from benchmarks.crashes import Outcome, kill_commands, kill_servers, kill_writers


@pytest.mark.slow
def test_a_server_with_four_clients_killed_loses_nothing_it_had_answered_for(
    tmp_path: Path,
) -> None:
    outcome = Outcome(seed=5)
    kill_servers(tmp_path / "served", random.Random(5), 1, outcome)
    assert outcome.wrong == []
    assert outcome.acknowledged_count > 0


@pytest.mark.slow
def test_writers_backups_restores_and_replays_killed_leave_nothing_half(tmp_path: Path) -> None:
    outcome = Outcome(seed=5)
    kill_writers(tmp_path / "written", random.Random(5), 8, outcome)
    assert outcome.acknowledged_count > 8
    kill_commands(tmp_path / "written", random.Random(6), 1, outcome)
    assert outcome.wrong == []
    assert outcome.kill_count == 11
