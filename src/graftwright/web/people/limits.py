"""How often somebody may try: counted in the program's own memory, gone when it stops.

One process serves the pages, so memory is enough, and nothing that strangers type is kept on disk.
"""

from dataclasses import dataclass, field
from ipaddress import IPv6Address, ip_address
from threading import Lock
from time import monotonic

from django.conf import settings
from django.http import HttpRequest

_MOST_KEYS = 20_000


@dataclass(slots=True, kw_only=True)
class Tries:
    """Tries within the last while, for each key."""

    most_count: int
    within_s: float
    _at_s: dict[str, list[float]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def is_one_more_allowed(self, key: str) -> bool:
        """Count one more try, and say whether it is still within the bounds."""
        now_s = monotonic()
        with self._lock:
            recent = [at_s for at_s in self._at_s.pop(key, []) if now_s - at_s < self.within_s]
            is_allowed = len(recent) < self.most_count
            # taken out and put back, the oldest key stands first and goes first
            self._at_s[key] = [*recent, now_s] if is_allowed else recent
            if len(self._at_s) > _MOST_KEYS:
                del self._at_s[next(iter(self._at_s))]
        return is_allowed

    def is_spent(self, key: str) -> bool:
        """Say whether no further try is allowed, without counting one."""
        now_s = monotonic()
        with self._lock:
            recent = [at_s for at_s in self._at_s.get(key, []) if now_s - at_s < self.within_s]
        return len(recent) >= self.most_count

    def forget(self, key: str | None = None) -> None:
        """Forget the tries of a key, or all."""
        with self._lock:
            if key is None:
                self._at_s.clear()
            else:
                self._at_s.pop(key, None)


def network_of(request: HttpRequest) -> str:
    """Return from where somebody asks: an address, or the network of 64 bits it belongs to.

    Behind a proxy it is what that proxy adds last; anything before it could be made up.
    """
    text = request.META.get("REMOTE_ADDR", "")
    if settings.BEHIND_PROXY:
        text = request.headers.get("X-Forwarded-For", "").rsplit(",", 1)[-1].strip() or text
    try:
        address = ip_address(text)
    except ValueError:
        return "unknown"
    if isinstance(address, IPv6Address):
        return str(address.ipv4_mapped or IPv6Address(int(address) >> 64 << 64))
    return str(address)
