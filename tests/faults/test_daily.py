"""When the next backup is due."""

from datetime import UTC, datetime, timedelta

from graftwright.cli.daily import is_due
from graftwright.store.backup_state import BackupState

NOW = datetime(2009, 2, 17, 3, tzinfo=UTC)


def ago(hours: float) -> datetime:
    return NOW - timedelta(hours=hours)


def test_the_first_backup_is_due_at_once() -> None:
    assert is_due(BackupState(), now=NOW)


def test_a_good_backup_is_followed_by_the_next_a_day_later() -> None:
    assert not is_due(BackupState(good_at=ago(23.9), tried_at=ago(23.9)), now=NOW)
    assert is_due(BackupState(good_at=ago(24), tried_at=ago(24)), now=NOW)


def test_one_that_failed_is_tried_again_after_an_hour() -> None:
    assert not is_due(BackupState(good_at=ago(40), tried_at=ago(0.9)), now=NOW)
    assert is_due(BackupState(good_at=ago(40), tried_at=ago(1)), now=NOW)


def test_a_copy_dated_ahead_of_a_clock_put_back_keeps_nothing_waiting() -> None:
    assert is_due(BackupState(good_at=ago(-100), tried_at=ago(-100)), now=NOW)
