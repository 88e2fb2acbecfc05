"""The square that a phone reads: a code as a QR symbol (ISO/IEC 18004).

As a rule the symbol holds the five characters and nothing else, so that it reads the same on any
network, with any program, in twenty years. Where the pages have an address of their own it may hold
that of the code's page instead, so that any phone's camera opens it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape

import segno

from graftwright.errors import OutOfRange
from graftwright.tagcode import read_code
from graftwright.tongue import told

MODULE_COUNT = 21
QUIET_MODULE_COUNT = 4
# Any of the eight masks makes a valid symbol. Trying all of them, as the standard advises for the
# best contrast, takes eight times as long; with so small a symbol all eight read equally well.
_MASK = 2
_LONGEST_ADDRESS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbol:
    """A QR symbol: its modules a side, and its dark ones as rectangles from the foot up."""

    module_count: int
    runs: str


@lru_cache(maxsize=16_384)
def symbol_of(code: str, *, address: str = "", is_for_receiver: bool = False) -> Symbol:
    """Return the symbol of a code, or of its page under the address of the pages.

    For a receiver it leads to the tree's card, which asks for no account.

    Raises UnknownCode if the code does not check, OutOfRange for an address that is none.
    """
    if not address:
        return Symbol(module_count=MODULE_COUNT, runs=runs_from_foot(code))
    if not address.startswith(("http://", "https://")) or len(address) > _LONGEST_ADDRESS:
        raise OutOfRange(
            told(
                "address {address!r}; expected http:// or https:// and a name, at most "
                "{LONGEST_ADDRESS} signs; or leave it empty for the plain code",
                address=address[:80],
                LONGEST_ADDRESS=_LONGEST_ADDRESS,
            )
        )
    page = "card" if is_for_receiver else "code"
    whole = f"{address.rstrip('/')}/{page}/{read_code(code)}{'/' if is_for_receiver else ''}"
    try:
        symbol = segno.make_qr(whole, error="m", boost_error=False, mask=_MASK)
    except (ValueError, UnicodeError) as wrong:
        raise OutOfRange(
            told(
                "address {address!r} does not go into a symbol: {wrong}",
                address=address,
                wrong=wrong,
            )
        ) from wrong
    rows = tuple(tuple(map(bool, row)) for row in symbol.matrix)
    return Symbol(module_count=len(rows), runs=_written_runs(_dark_runs(rows), len(rows)))


@lru_cache(maxsize=16_384)
def dark_runs(code: str) -> tuple[tuple[int, int, int], ...]:
    """Return the dark modules of a code's symbol as runs (row, first column, length).

    Smallest symbol (21 x 21 modules), strongest correction: about three tenths may be spoilt.
    Raises UnknownCode if the code does not check.
    """
    symbol = segno.make_qr(read_code(code), version=1, error="h", boost_error=False, mask=_MASK)
    return _dark_runs(symbol.matrix)


def _dark_runs(matrix: Iterable[Sequence[int]]) -> tuple[tuple[int, int, int], ...]:
    runs: list[tuple[int, int, int]] = []
    for row, modules in enumerate(matrix):
        column = 0
        while column < len(modules):
            length = 0
            while column + length < len(modules) and modules[column + length]:
                length += 1
            if length:
                runs.append((row, column, length))
            column += length + 1
    return tuple(runs)


@lru_cache(maxsize=16_384)
def runs_from_foot(code: str) -> str:
    """Return the dark runs as rectangles of the page language, from the lower left corner."""
    return _written_runs(dark_runs(code), MODULE_COUNT)


def _written_runs(runs: Iterable[tuple[int, int, int]], module_count: int) -> str:
    return " ".join(
        f"{column} {module_count - 1 - row} {length} 1 re" for row, column, length in runs
    )


def code_svg(code: str) -> str:
    """Return a code's symbol as SVG with its quiet margin, for a page or a card.

    Raises UnknownCode if the code does not check.
    """
    return _svg(dark_runs(code), MODULE_COUNT, name=f"code {read_code(code)}")  # not said


def address_svg(address: str, *, name: str) -> str:
    """Return the symbol of a whole address as SVG, under a name that is read out in its place.

    Raises OutOfRange for an address too long for any symbol.
    """
    try:
        symbol = segno.make_qr(address, error="m", boost_error=False, mask=_MASK)
    except (ValueError, UnicodeError) as wrong:
        raise OutOfRange(
            told(
                "address {address!r} goes into no symbol: {wrong}",
                address=address[:80],
                wrong=wrong,
            )
        ) from wrong
    return _svg(_dark_runs(symbol.matrix), len(symbol.matrix), name=escape(name, quote=True))


def _svg(runs: Iterable[tuple[int, int, int]], module_count: int, *, name: str) -> str:
    whole = module_count + 2 * QUIET_MODULE_COUNT
    path = "".join(
        f"M{column + QUIET_MODULE_COUNT},{row + QUIET_MODULE_COUNT}h{length}v1h-{length}z"
        for row, column, length in runs
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="code-square" role="img" '
        f'aria-label="{name}" viewBox="0 0 {whole} {whole}" shape-rendering="crispEdges">'
        f"<title>{name}</title>"
        f'<rect width="{whole}" height="{whole}" fill="#fff"/><path d="{path}" fill="#000"/></svg>'
    )
