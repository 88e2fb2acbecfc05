"""Files made to unpack to more than a machine holds; the archives are made by zipfile itself."""

import io
import struct
import tracemalloc
import zipfile

import pytest
import xlsxwriter

from graftwright.errors import DamagedFile
from graftwright.intake import unpacked
from graftwright.intake.tables import MOST_CELLS, tables_from


def _bomb(size: int, *, name: str = "xl/worksheets/sheet1.xml") -> bytes:
    kept = io.BytesIO()
    with (
        zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as whole,
        whole.open(name, "w") as part,
    ):
        for _ in range(size >> 20):
            part.write(bytes(1 << 20))
    return kept.getvalue()


def _says(content: bytes, size: int) -> bytes:
    """Return an archive of one part whose heads claim that it unpacks to `size` bytes."""
    lying = bytearray(content)
    struct.pack_into("<I", lying, lying.rindex(b"PK\x01\x02") + 24, size)
    struct.pack_into("<I", lying, 22, size)
    return bytes(lying)


@pytest.mark.parametrize("claimed", [None, 10])
@pytest.mark.parametrize("name", ["xl/worksheets/sheet1.xml", "wood.csv"])
def test_what_unpacks_to_too_much_is_refused_before_memory_is_spent(
    claimed: int | None, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(unpacked, "MOST_UNPACKED_BYTES", 20_000_000)  # as for 200, in less time
    content = _bomb(22 << 20, name=name)
    content = content if claimed is None else _says(content, claimed)
    assert len(content) < 1_000_000
    tracemalloc.start()
    try:
        with pytest.raises(DamagedFile, match="unpacks to more than 20 MB"):
            tables_from(content, name="wood.xlsx")
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


def _workbook(*cells: tuple[int, int]) -> bytes:
    kept = io.BytesIO()
    with xlsxwriter.Workbook(kept) as workbook:
        sheet = workbook.add_worksheet("Wood")
        for row, column in cells:
            sheet.write(row, column, 7)
    return kept.getvalue()


def test_a_cell_at_the_far_corner_is_refused_before_room_is_set_aside_for_all_between() -> None:
    with pytest.raises(DamagedFile, match="row 1048576 and column 16384"):
        tables_from(_workbook((0, 0), (1_048_575, 16_383)), name="wood.xlsx")


def test_cells_within_the_limit_are_read_as_before() -> None:
    far = MOST_CELLS // 1000 - 1
    (table,) = tables_from(_workbook((0, 0), (far, 999)), name="wood.xlsx")
    assert [row.row_number for row in table.rows] == [1, far + 1]


def test_an_archive_of_very_many_parts_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(unpacked, "MOST_MEMBERS", 3)
    with pytest.raises(DamagedFile, match="expected at most 3"):
        tables_from(_workbook((0, 0)), name="wood.xlsx")


@pytest.mark.parametrize("way", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_another_way_of_packing_is_refused(way: int) -> None:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", way) as whole:
        whole.writestr("wood.csv", "code;sticks\n")
    with pytest.raises(DamagedFile, match="another way"):
        tables_from(kept.getvalue(), name="wood.zip")
