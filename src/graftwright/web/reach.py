"""From where the pages may be reached: this machine alone, unless names are given on purpose."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from django.core.exceptions import ImproperlyConfigured

_THIS_MACHINE = ("127.0.0.1", "localhost", "[::1]")
_HOST = re.compile(r"\.?[a-z0-9]([a-z0-9.-]*[a-z0-9])?|\[[0-9a-f:]+\]", re.IGNORECASE)
_YES, _NO = ("1", "yes", "true"), ("", "0", "no", "false")
_LONGEST_ADDRESS = 60  # what still goes into a small QR symbol


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """The names the pages answer to, and how they are carried there."""

    names: tuple[str, ...] = ()
    is_encrypted: bool = False
    is_behind_proxy: bool = False
    address: str = ""

    @property
    def needs_account(self) -> bool:
        """Whether everybody has to sign in: always, once others can reach the pages."""
        return bool(self.names)

    @property
    def hosts(self) -> list[str]:
        """Every name the pages answer to; `testserver` is what tests in this machine call it."""
        return [*_THIS_MACHINE, *(self.names or ("testserver",))]


def reach_from(environment: Mapping[str, str]) -> Reach:
    """Return what the environment says. Raises ImproperlyConfigured for what makes no sense."""
    said = environment.get("GRAFTWRIGHT_HOSTS", "")
    names = tuple(name.strip() for name in said.split(",") if name.strip())
    for name in names:
        if not _HOST.fullmatch(name):
            raise ImproperlyConfigured(
                f"GRAFTWRIGHT_HOSTS names {name!r}; expected names or addresses, parted by "
                f"commas, without https:// and without a port"
            )
    is_behind_proxy = _is_yes(environment, "GRAFTWRIGHT_BEHIND_PROXY")
    if is_behind_proxy and not names:
        raise ImproperlyConfigured(
            "GRAFTWRIGHT_BEHIND_PROXY is set, GRAFTWRIGHT_HOSTS is not; name the hosts it serves"
        )
    return Reach(
        names=names,
        is_behind_proxy=is_behind_proxy,
        is_encrypted=is_behind_proxy or _is_yes(environment, "GRAFTWRIGHT_ENCRYPTED"),
        address=_address(environment.get("GRAFTWRIGHT_ADDRESS", "").strip().rstrip("/")),
    )


def _is_yes(environment: Mapping[str, str], name: str) -> bool:
    said = environment.get(name, "").strip().casefold()
    if said not in (*_YES, *_NO):
        raise ImproperlyConfigured(f"{name}={said!r}; expected 1 for yes, 0 or nothing for no")
    return said in _YES


def _address(said: str) -> str:
    if said and (not said.startswith(("https://", "http://")) or len(said) > _LONGEST_ADDRESS):
        raise ImproperlyConfigured(
            f"GRAFTWRIGHT_ADDRESS={said[:80]!r}; expected https:// and a name, at most "
            f"{_LONGEST_ADDRESS} signs: it is printed on cards"
        )
    return said
