"""Photos: known by their bytes, freed of where they were taken, kept whole under their own sum."""

import hashlib
import io

import pytest
from PIL import ExifTags, Image

from graftwright.errors import DamagedFile, NotUnderstood, UnknownCode
from graftwright.store.photo_bytes import MOST_BYTES, photo_from_bytes
from graftwright.store.photos import (
    bring_photos_in,
    copy_photos_out,
    keep_photo,
    photos_missing,
    read_photo,
)


@pytest.fixture(autouse=True)
def folder(tmp_path, settings):
    settings.NOTEBOOK_FOLDER = tmp_path / "notebook"
    return settings.NOTEBOOK_FOLDER / "photos"


def picture(kind="JPEG", *, turned=1, progressive=False):
    """A picture whose left half is green, as a phone writes it: turned, with a position."""
    image = Image.new("RGB", (64, 40), "white")
    image.paste((30, 120, 40), (0, 0, 32, 40))
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = turned
    exif[ExifTags.Base.Model] = "Telephone of Th. Oldroyd"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[1] = "N"
    out = io.BytesIO()
    image.save(out, kind, exif=exif, progressive=progressive)
    return out.getvalue()


@pytest.mark.parametrize("progressive", [False, True])
def test_the_picture_stays_the_same_to_the_last_dot_and_the_position_goes(progressive):
    raw = picture(turned=6, progressive=progressive)
    kept = photo_from_bytes(raw)
    before, after = Image.open(io.BytesIO(raw)), Image.open(io.BytesIO(kept.content))
    assert after.convert("RGB").tobytes() == before.convert("RGB").tobytes()
    assert after.getexif()[ExifTags.Base.Orientation] == 6
    assert dict(after.getexif()) == {ExifTags.Base.Orientation: 6}
    assert not after.getexif().get_ifd(ExifTags.IFD.GPSInfo)
    assert b"Oldroyd" in raw
    assert b"Oldroyd" not in kept.content


def test_a_png_keeps_its_picture_and_loses_its_camera_data():
    raw = picture("PNG")
    kept = photo_from_bytes(raw)
    assert kept.media_type == "image/png"
    assert Image.open(io.BytesIO(kept.content)).tobytes() == Image.open(io.BytesIO(raw)).tobytes()
    assert b"Oldroyd" not in kept.content


def test_what_hangs_behind_the_picture_is_left_out():
    kept = photo_from_bytes(picture() + b"behind the picture")
    assert kept.content.endswith(b"\xff\xd9")


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"GIF89a" + bytes(50), "no photo of a kind kept here"),
        (b"", "no photo of a kind kept here"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no photo of a kind kept here"),
        (b"\xff\xd8\xff" + bytes(MOST_BYTES), "at most 10 are kept"),
        (picture()[:200], "cut off"),
        (picture("PNG")[:100], "cut off"),
        (picture("PNG").replace(b"IDAT", b"IDAD"), "damaged inside"),
    ],
)
def test_what_is_no_whole_photo_is_refused_with_the_way_out_and_nothing_is_kept(raw, words, folder):
    with pytest.raises(NotUnderstood, match=words):
        keep_photo(raw)
    assert not folder.exists()


def test_every_shorter_part_of_a_photo_is_refused_or_whole():
    raw = picture()
    for length in range(len(raw)):
        with pytest.raises(NotUnderstood):
            photo_from_bytes(raw[:length])


def test_a_photo_is_kept_once_under_the_sum_of_its_bytes(folder):
    first, photo = keep_photo(picture())
    second, _ = keep_photo(picture())
    assert first == second == hashlib.sha256(photo.content).hexdigest()
    assert [path.name for path in folder.iterdir()] == [f"{first}.jpg"]
    assert read_photo(f"{first}.jpg") == ("image/jpeg", photo.content)


@pytest.mark.parametrize("name", ["../secret-key", "a.jpg", "0" * 64 + ".jpg", "0" * 64 + ".svg"])
def test_nothing_but_a_photo_can_be_asked_for(name, folder):
    folder.mkdir(parents=True)
    (folder.parent / "secret-key").write_text("secret", encoding="ascii")
    with pytest.raises(UnknownCode):
        read_photo(name)


def test_photos_go_out_and_come_back_and_a_changed_one_is_refused(folder, tmp_path):
    sha256, _ = keep_photo(picture())
    name, away = f"{sha256}.jpg", tmp_path / "away"
    assert copy_photos_out([name, "1" * 64 + ".jpg"], away) == 1
    (folder / name).unlink()
    assert photos_missing([name]) == (name,)
    assert bring_photos_in([name], away) == 1
    assert bring_photos_in([name], away) == 0
    (folder / name).unlink()
    (away / name).write_bytes(b"\xff\xd8\xffsomething else")
    with pytest.raises(DamagedFile, match="not what its name says"):
        bring_photos_in([name], away)
    assert not (folder / name).exists()
