"""What is kept beside the record and follows from no entry: plans, labels, workbooks, offers.

Offers are files; all else is rows.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator
from datetime import datetime
from uuid import UUID

from graftwright.errors import DamagedFile
from graftwright.store.models import PlanKept, ReadingKept
from graftwright.store.offers import keep_offer, kept_offers

_PLAN, _READING, _OFFER = "plan kept", "reading kept", "offer kept"  # not said


def kept_lines() -> Iterator[str]:
    """Yield the lines of a copy of these rows and files, closed by their number and their sum."""
    digest = hashlib.sha256()
    count = 0
    for body in (*_plans(), *_readings(), *_offers()):
        line = json.dumps(body, ensure_ascii=False, sort_keys=True) + "\n"
        digest.update(line.encode())
        count += 1
        yield line
    yield _closing(count, digest.hexdigest())


def bring_kept_in(lines: Iterable[str], *, until: datetime | None = None) -> int:
    """Add the rows of a copy, those kept until a moment, and the offers; return how many.

    Raises DamagedFile; then whoever calls this must let go of all rows. Offers are written last,
    once the sum is found right.
    """
    digest = hashlib.sha256()
    count = added = 0
    offers: list[bytes] = []
    waiting = ""
    for line in lines:
        if waiting:
            digest.update(waiting.encode())
            count += 1
            added += _add(waiting, count, until, offers)
        waiting = line
    if waiting != _closing(count, digest.hexdigest()):
        raise DamagedFile(
            f"line {count + 1} of what is kept beside the notebook does not close it with the "
            f"right sum; it was cut off or damaged, use another copy"
        )
    for content in offers:
        keep_offer(content)
    return added + len(offers)


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


def _offers() -> Iterator[dict[str, object]]:
    for name, content in kept_offers().items():
        yield {"table": _OFFER, "id": name, "body": content.decode()}


def _add(line: str, number: int, until: datetime | None, offers: list[bytes]) -> bool:
    """Add one row and say whether; an offer is put with the others."""
    try:
        body = json.loads(line)
        if body["table"] == _OFFER:
            offers.append(body["body"].encode())
            return False
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
    except (ValueError, TypeError, KeyError, AttributeError) as wrong:
        raise DamagedFile(
            f"line {number} of what is kept beside the notebook is damaged ({wrong}); "
            f"use another copy"
        ) from wrong
    return True
