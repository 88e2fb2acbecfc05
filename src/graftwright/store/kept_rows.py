"""What is kept beside the record and follows from no entry: plans, labels, workbooks that wait."""

import hashlib
import json
from collections.abc import Iterable, Iterator
from datetime import datetime
from uuid import UUID

from graftwright.errors import DamagedFile
from graftwright.store.models import PlanKept, ReadingKept

_PLAN, _READING = "plan kept", "reading kept"


def kept_lines() -> Iterator[str]:
    """Yield the lines of a copy of these rows, closed by their number and their sum."""
    digest = hashlib.sha256()
    count = 0
    for body in (*_plans(), *_readings()):
        line = json.dumps(body, ensure_ascii=False, sort_keys=True) + "\n"
        digest.update(line.encode())
        count += 1
        yield line
    yield _closing(count, digest.hexdigest())


def bring_kept_in(lines: Iterable[str], *, until: datetime | None = None) -> int:
    """Add the rows of a copy, those kept until a moment; return how many. Raises DamagedFile.

    Whoever calls this must let go of all if it raises.
    """
    digest = hashlib.sha256()
    count = added = 0
    waiting = ""
    for line in lines:
        if waiting:
            digest.update(waiting.encode())
            count += 1
            added += _add(waiting, count, until)
        waiting = line
    if waiting != _closing(count, digest.hexdigest()):
        raise DamagedFile(
            f"line {count + 1} of what is kept beside the notebook does not close it with the "
            f"right sum; it was cut off or damaged, use another copy"
        )
    return added


def _closing(count: int, digest: str) -> str:
    return json.dumps({"rows": count, "sha256": digest}) + "\n"


def _plans() -> Iterator[dict[str, object]]:
    for row in PlanKept.objects.order_by("kept_at").iterator(chunk_size=50):
        yield {
            "table": _PLAN,
            "id": str(row.kept_id),
            "at": row.kept_at.isoformat(),
            "season": row.season,
            "kind": row.kind,
            "body": row.body,
        }


def _readings() -> Iterator[dict[str, object]]:
    for row in ReadingKept.objects.order_by("read_at").iterator(chunk_size=50):
        yield {
            "table": _READING,
            "id": str(row.reading_id),
            "at": row.read_at.isoformat(),
            "name": row.name,
            "body": row.body,
        }


def _add(line: str, number: int, until: datetime | None) -> bool:
    try:
        body = json.loads(line)
        row_id, at = UUID(body["id"]), datetime.fromisoformat(body["at"])
        if until is not None and at > until:
            return False
        if body["table"] == _PLAN:
            PlanKept(
                kept_id=row_id,
                kept_at=at,
                season=body["season"],
                kind=body["kind"],
                body=body["body"],
            ).save(force_insert=True)
        else:
            ReadingKept(reading_id=row_id, read_at=at, name=body["name"], body=body["body"]).save(
                force_insert=True
            )
    except (ValueError, TypeError, KeyError) as wrong:
        raise DamagedFile(
            f"line {number} of what is kept beside the notebook is damaged ({wrong}); "
            f"use another copy"
        ) from wrong
    return True
