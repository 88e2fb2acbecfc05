"""Every address of the program, with something in the place of each of its parts."""

import re
from collections.abc import Iterator

from django.urls import URLPattern

from graftwright.web.urls import urlpatterns

_PARTS = {
    "uuid": "4f1f6c1e-0000-4000-8000-000000000001",
    "int": "1",
    "str": "22223",
}


def every_address() -> Iterator[tuple[str, str]]:
    """Give the name and one address of each line of the resolver."""
    for one in urlpatterns:
        assert isinstance(one, URLPattern), "a nested resolver: walk it here as well"
        assert one.name, f"{one.pattern} has no name, so no table can speak of it"
        yield one.name, "/" + re.sub(r"<(\w+):\w+>", lambda m: _PARTS[m[1]], str(one.pattern))


ADDRESSES = tuple(every_address())
