"""The demo's tag codes: each thing of the cast has a key, each key its own code."""

from collections.abc import Iterator

from graftwright.tagcode import codes_in_block

FIRST_NUMBER = 1
BLOCK_COUNT = 1000


def demo_codes() -> Iterator[str]:
    """Yield the codes of the block that the demo's things carry."""
    return codes_in_block(FIRST_NUMBER, BLOCK_COUNT)


class CodeBook:
    """Codes by key; a key that is new takes the next code."""

    def __init__(self, codes: Iterator[str]) -> None:
        self._codes = codes
        self._by_key: dict[str, str] = {}

    def code(self, key: str) -> str:
        """Return the code of the thing with this key; no key, no code."""
        if not key:
            return ""
        if key not in self._by_key:
            self._by_key[key] = next(self._codes)
        return self._by_key[key]

    def knows(self, key: str) -> bool:
        """Whether the key has its code already."""
        return key in self._by_key
