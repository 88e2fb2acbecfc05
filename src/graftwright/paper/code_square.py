"""The square that a phone reads: the plain code as a QR symbol (ISO/IEC 18004).

The symbol holds the five characters and nothing else, so that it reads the same on any network,
with any program, in twenty years.
"""

from functools import lru_cache

import segno

from graftwright.tagcode import read_code

MODULE_COUNT = 21
QUIET_MODULE_COUNT = 4
# Any of the eight masks makes a valid symbol. Trying all of them, as the standard advises for the
# best contrast, takes eight times as long; with so small a symbol all eight read equally well.
_MASK = 2


@lru_cache(maxsize=16_384)
def dark_runs(code: str) -> tuple[tuple[int, int, int], ...]:
    """Return the dark modules of a code's symbol as runs (row, first column, length).

    Smallest symbol (21 x 21 modules), strongest correction: about three tenths may be spoilt.
    Raises UnknownCode if the code does not check.
    """
    symbol = segno.make_qr(read_code(code), version=1, error="h", boost_error=False, mask=_MASK)
    runs: list[tuple[int, int, int]] = []
    for row, modules in enumerate(symbol.matrix):
        column = 0
        while column < MODULE_COUNT:
            length = 0
            while column + length < MODULE_COUNT and modules[column + length]:
                length += 1
            if length:
                runs.append((row, column, length))
            column += length + 1
    return tuple(runs)


@lru_cache(maxsize=16_384)
def runs_from_foot(code: str) -> str:
    """Return the dark runs as rectangles of the page language, from the lower left corner."""
    return " ".join(
        f"{column} {MODULE_COUNT - 1 - row} {length} 1 re"
        for row, column, length in dark_runs(code)
    )


def code_svg(code: str) -> str:
    """Return a code's symbol as SVG with its quiet margin, for a page or a card.

    Raises UnknownCode if the code does not check.
    """
    whole = MODULE_COUNT + 2 * QUIET_MODULE_COUNT
    path = "".join(
        f"M{column + QUIET_MODULE_COUNT} {row + QUIET_MODULE_COUNT}h{length}v1h-{length}z"
        for row, column, length in dark_runs(code)
    )
    name = f"code {read_code(code)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="code-square" role="img" '
        f'aria-label="{name}" viewBox="0 0 {whole} {whole}" shape-rendering="crispEdges">'
        f"<title>{name}</title>"
        f'<rect width="{whole}" height="{whole}" fill="#fff"/><path d="{path}" fill="#000"/></svg>'
    )
