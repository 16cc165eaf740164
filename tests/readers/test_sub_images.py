"""Images that hang below the pages of a TIFF file are told; nothing in the file is trusted.

TIFF 6.0, sections 2 and 8; Adobe PageMaker 6.0 TIFF Technical Notes, "TIFF Trees"; libtiff's page
"BigTIFF Design".
"""

from __future__ import annotations

import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from routecheck.readers import tiffdirs
from routecheck.readers.tiffdirs import sub_images
from tests.readers.rasters import geotiff
from tests.readers.test_grid_axes import unread
from tests.readers.test_grids import sidecar
from tests.readers.test_vrt import TWO, vrt
from tests.readers.test_vrt_tiles import tile

DEEP = np.full((8, 12), 25.0, dtype="float32")
LONG, IFD, IFD8 = 4, 13, 18
FORMS = pytest.mark.parametrize(
    "profile",
    [{}, {"ENDIANNESS": "BIG"}, {"BIGTIFF": "YES"}, {"BIGTIFF": "YES", "ENDIANNESS": "BIG"}],
)


class Tiff:
    """A TIFF file whose first directory is written anew, with more below it."""

    def __init__(self, path: Path) -> None:
        self.path, self.data = path, bytearray(path.read_bytes())
        self.order = "<" if self.data.startswith(b"II") else ">"
        self.big = struct.unpack_from(f"{self.order}H", self.data, 2)[0] == 43
        self.number, self.counter = ("Q", "Q") if self.big else ("I", "H")
        self.width = 8 if self.big else 4
        (self.at,) = struct.unpack_from(f"{self.order}{self.number}", self.data, self.width)
        (count,) = struct.unpack_from(f"{self.order}{self.counter}", self.data, self.at)
        start, size = self.at + (8 if self.big else 2), 4 + 2 * self.width
        self.own = [bytes(self.data[start + i * size :][:size]) for i in range(count)]
        (self.next,) = struct.unpack_from(
            f"{self.order}{self.number}", self.data, start + count * size
        )

    def entry(self, tag: int, kind: int, *values: int, many: int | None = None) -> bytes:
        """An entry; more values than it can hold go to the end of the file."""
        form = {3: "H", 4: "I", 13: "I"}.get(kind, "Q")
        raw = struct.pack(f"{self.order}{len(values)}{form}", *values)
        if len(raw) > self.width:
            self.data += raw
            raw = struct.pack(f"{self.order}{self.number}", len(self.data) - len(raw))
        count = len(values) if many is None else many
        head = struct.pack(f"{self.order}HH{self.number}", tag, kind, count)
        return head + raw.ljust(self.width, b"\0")

    def directory(self, *entries: bytes, after: int = 0) -> int:
        """Write a directory; where it stands."""
        self.data += b"\0" * (len(self.data) % 2)
        at = len(self.data)
        self.data += struct.pack(f"{self.order}{self.counter}", len(entries))
        tag = f"{self.order}H"
        self.data += b"".join(sorted(entries, key=lambda e: struct.unpack(tag, e[:2])))
        self.data += struct.pack(f"{self.order}{self.number}", after)
        return at

    def image(self, *more: bytes, kind: int = 0, after: int = 0) -> int:
        """A directory like the file's first."""
        return self.directory(*self.own, self.entry(254, LONG, kind), *more, after=after)

    def save(self, *more: bytes) -> Path:
        """Give the first page what is to hang below it."""
        at = self.directory(*self.own, *more, after=self.next)
        struct.pack_into(f"{self.order}{self.number}", self.data, self.width, at)
        self.path.write_bytes(self.data)
        return self.path

    def below(self, *offsets: int) -> bytes:
        """The entry of sub-images."""
        return self.entry(330, IFD8 if self.big else IFD, *offsets)


def tiff(folder: Path, **profile: Any) -> Tiff:
    return Tiff(geotiff(folder / "a.tif", DEEP, name="depth", **profile))


@FORMS
def test_sub_images_are_told(tmp_path: Path, profile: dict[str, str]) -> None:
    made = tiff(tmp_path, **profile)
    assert unread(made.path) == []
    (text,) = unread(made.save(made.below(made.image())))
    assert "left unread: a sub-image. Give each sub-image as a file of its own" in text
    made = tiff(tmp_path, **profile)
    (text,) = unread(made.save(made.below(*[made.image() for _ in range(3)])))
    assert "left unread: 3 sub-images. Give" in text


@pytest.mark.parametrize("kind", [1, 4, 5])
def test_reduced_images_and_masks_are_not_told(tmp_path: Path, kind: int) -> None:
    made = tiff(tmp_path)
    assert unread(made.save(made.below(made.image(kind=kind)))) == []
    made = tiff(tmp_path)
    held = made.below(made.image())
    assert sub_images(made.save(made.below(made.image(held, kind=kind)))) == 1, "below it"
    made = tiff(tmp_path)
    doubly = made.entry(254, LONG, 0)
    assert sub_images(made.save(made.below(made.image(doubly, kind=kind)))) == 1, "said twice"


def test_those_of_a_second_page_and_chains_of_them_count(tmp_path: Path) -> None:
    made = tiff(tmp_path)
    chain = made.image(after=made.image(after=made.image()))
    made.next = made.image(made.below(chain))
    assert sub_images(made.save()) == 3


def test_a_page_that_is_also_hung_below_one_is_a_page(tmp_path: Path) -> None:
    made = tiff(tmp_path)
    made.next = made.image()
    made.save(made.below(made.next, made.next, 0))
    (text,) = unread(made.path)
    assert "a second page" in text


def test_rings_come_to_an_end(tmp_path: Path) -> None:
    made = tiff(tmp_path)
    at = len(made.data) + len(made.data) % 2
    assert made.image(made.below(at), after=at) == at
    made.next = at
    assert sub_images(made.save(made.below(at))) == 0
    made = tiff(tmp_path)
    assert made.image(made.below(at), after=at) == at
    assert sub_images(made.save(made.below(at))) == 1


@pytest.mark.parametrize("profile", [{}, {"BIGTIFF": "YES"}])
def test_what_cannot_be_read_counts_as_an_image(tmp_path: Path, profile: dict[str, str]) -> None:
    far = 2**32 - 1 if not profile else 2**64 - 1
    made = tiff(tmp_path, **profile)
    assert sub_images(made.save(made.below(far))) == 1
    made = tiff(tmp_path, **profile)
    assert sub_images(made.save(made.entry(330, LONG, 8, many=far))) == 1, "a huge count"
    made = tiff(tmp_path, **profile)
    assert sub_images(made.save(made.entry(330, LONG, 2**32 - 1, many=9000))) == 1, "a list far off"
    made = tiff(tmp_path, **profile)
    assert sub_images(made.save(made.entry(330, 12, 8))) == 1, "offsets that are fractions"
    made = tiff(tmp_path, **profile)
    made.data += b"\0" * (len(made.data) % 2) + b"\xff" * 8
    at = len(made.data) - 8
    made.data += bytes(100)
    assert sub_images(made.save(made.below(at))) == 1, "a huge directory"


def test_no_more_is_looked_at_than_is_bearable(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = tiff(tmp_path)
    made.save(made.below(*[made.directory() for _ in range(50)]))
    assert sub_images(made.path) == 50
    monkeypatch.setattr(tiffdirs, "MOST", 20)
    assert sub_images(made.path) == 1, "its list is longer than is read"
    monkeypatch.setattr(tiffdirs, "MOST", 50)
    monkeypatch.setattr(tiffdirs, "_MOST_BYTES", 600)
    assert sub_images(made.path) == 50, "what is not looked at counts"


@pytest.mark.parametrize("data", [b"", b"II*", b"II*\0\xff\xff\xff\xff", b"MM\0+\0\x08\0\0", b"PK"])
def test_what_is_no_sound_tiff_has_none(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "a.tif").write_bytes(data)
    assert sub_images(tmp_path / "a.tif") == 0
    assert sub_images(tmp_path / "none.tif") == 0


def test_those_of_a_tile_of_a_virtual_raster_are_told(tmp_path: Path) -> None:
    (tmp_path / "tiles").mkdir()
    tile(tmp_path / "tiles/east.tif", 6)
    made = Tiff(tile(tmp_path / "west.tif", 0))
    made.save(made.below(made.image()))
    sidecar(tmp_path / "a.vrt", 'datum = "LAT"\n')
    (text,) = unread(vrt(tmp_path / "a.vrt", TWO))
    assert "left unread of its tiles: a sub-image." in text
