"""What a packed workbook would take in memory, measured before it is read.

An archive is not believed when it says that it is small: each member is unpacked piece by piece and
forgotten, so the measuring itself takes no more than a piece. The same pass looks how far the cells
reach, since a reader sets room aside for the whole rectangle. Stored and deflated members alone are
taken, as in every workbook; format of the archive: PKWARE APPNOTE 6.3.10, 4.3.7 and 4.4.5.
"""

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from typing import Final

from graftwright.errors import DamagedFile
from graftwright.tongue import told

MOST_UNPACKED_BYTES: Final = 200_000_000
MOST_MEMBERS: Final = 10_000
_PIECE: Final = 1 << 18
_LOCAL_HEAD: Final = 30
_OVERLAP: Final = 40
_REACHED: Final = re.compile(rb"\br\s*=\s*[\"']\$?([A-Za-z]{0,3})\$?([0-9]{1,7})[\"']")


def check_unpacked(content: bytes, name: str, *, most_cells: int) -> None:
    """Raise DamagedFile for an archive that takes too much room, or that cannot be unpacked.

    Raises what zipfile and zlib raise for an archive that is damaged.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as whole:
        members = whole.infolist()
    if len(members) > MOST_MEMBERS:
        raise DamagedFile(
            told(
                "{name} holds {count} parts; expected at most {MOST_MEMBERS}: save it "
                "again as XLSX or CSV from the spreadsheet and read that",
                name=name,
                count=len(members),
                MOST_MEMBERS=MOST_MEMBERS,
            )
        )
    if sum(member.file_size for member in members) > MOST_UNPACKED_BYTES:
        raise _too_large(name)
    left = MOST_UNPACKED_BYTES
    for member in members:
        rows, columns, tail = 0, 0, b""
        for piece in _pieces(content, member):
            left -= len(piece)
            if left < 0:
                raise _too_large(name)
            rows, columns = _reach(tail + piece, rows, columns)
            tail = piece[-_OVERLAP:]
            if rows * columns > most_cells:
                raise DamagedFile(
                    told(
                        "{name}: a sheet reaches to row {rows} and column {columns}; expected "
                        "at most {most_cells} cells in all: delete what stands far below or to "
                        "the right",
                        name=name,
                        rows=rows,
                        columns=columns,
                        most_cells=most_cells,
                    )
                )


def _too_large(name: str) -> DamagedFile:
    return DamagedFile(
        told(
            "{name} unpacks to more than {MOST_UNPACKED_BYTES:.0f} MB; expected at "
            "most that: take pictures and unused sheets out, or split it",
            name=name,
            MOST_UNPACKED_BYTES=MOST_UNPACKED_BYTES / 1000000.0,
        )
    )


def _pieces(content: bytes, member: zipfile.ZipInfo) -> Iterator[bytes]:
    """Yield what a member unpacks to, by pieces, whatever sizes it claims."""
    start = member.header_offset
    head = content[start : start + _LOCAL_HEAD]
    if start < 0 or not head.startswith(b"PK\x03\x04") or len(head) < _LOCAL_HEAD:
        raise zipfile.BadZipFile(
            told("no part begins where {filename!r} should", filename=member.filename)
        )
    start += _LOCAL_HEAD + int.from_bytes(head[26:28], "little")
    start += int.from_bytes(head[28:30], "little")
    packed = memoryview(content)[start : start + member.compress_size]
    if member.compress_type == zipfile.ZIP_STORED:
        for place in range(0, len(packed), _PIECE):
            yield bytes(packed[place : place + _PIECE])
    elif member.compress_type == zipfile.ZIP_DEFLATED:
        yield from _inflated(packed)
    else:
        raise NotImplementedError(f"{member.filename!r} is packed in another way than deflate")


def _inflated(packed: memoryview) -> Iterator[bytes]:
    unpacking = zlib.decompressobj(-zlib.MAX_WBITS)
    for place in range(0, len(packed), _PIECE):
        rest = bytes(packed[place : place + _PIECE])
        while rest and not unpacking.eof:
            yield unpacking.decompress(rest, _PIECE)
            rest = unpacking.unconsumed_tail
    while not unpacking.eof:
        piece = unpacking.decompress(b"", _PIECE)
        if not piece:
            return
        yield piece


def _reach(text: bytes, rows: int, columns: int) -> tuple[int, int]:
    """Return the last row and column that cells stand in, so far."""
    for letters, digits in _REACHED.findall(text):
        rows = max(rows, int(digits))
        column = 0
        for letter in letters.upper():
            column = 26 * column + letter - ord("A") + 1
        columns = max(columns, column)
    return rows, columns
