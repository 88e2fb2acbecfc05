"""How often one token may call: a bucket that fills steadily and empties with each call."""

from dataclasses import dataclass
from threading import Lock
from time import monotonic
from uuid import UUID

CALLS_AT_ONCE = 120
CALLS_PER_S = 10.0
_MOST_BUCKETS = 1_000


@dataclass(slots=True)
class _Bucket:
    left: float
    filled_at_s: float


_buckets: dict[UUID, _Bucket] = {}
_lock = Lock()


def wait_s(token_id: UUID) -> float:
    """Count one call of a token; return 0 if it may go on, else after how long to come back [s]."""
    now_s = monotonic()
    with _lock:
        if len(_buckets) > _MOST_BUCKETS:
            _buckets.clear()
        bucket = _buckets.setdefault(token_id, _Bucket(CALLS_AT_ONCE, now_s))
        since_s = now_s - bucket.filled_at_s
        bucket.left = min(CALLS_AT_ONCE, bucket.left + since_s * CALLS_PER_S)
        bucket.filled_at_s = now_s
        if bucket.left < 1.0:
            return (1.0 - bucket.left) / CALLS_PER_S
        bucket.left -= 1.0
        return 0.0
