"""Files that no reader takes are told, with why, and so is what may hold charts unseen."""

from __future__ import annotations

import gzip
import io
import os
import tarfile
import zipfile
from pathlib import Path

import pytest

from routecheck.model.errors import BadInput
from routecheck.readers.folder import read_charts
from routecheck.readers.sniff import Kind, sniff
from tests.readers.test_folder import cell, vector, why

XYZ = "10.051 54.051 3.2\n10.052 54.051 3.4\n10.053 54.051 3.1\n"
UTM = "431200 5988000 -3.2\n431210 5988001 -3.4\n431223 5988003 -3.5\n"
CSV = "longitude;latitude;depth\n10.05;54.05;3.2\n10.06;54.05;3.3\n"
BARE_CSV = "10.05,54.05,3.2\n10.06,54.05,3.3\n"
NUMBERED = "id,x,y,z\n1,431200.5,5988000.1,3.2\n2,431201.5,5988000.9,3.2\n"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("soundings.dat", "# surveyed\n" + XYZ),
        ("soundings.txt", XYZ),
        ("soundings", XYZ),
        ("utm.pts", UTM),
        ("semicolons.csv", CSV),
        ("bare.csv", BARE_CSV),
        ("numbered.csv", NUMBERED),
        ("tabs.tsv", XYZ.replace(" ", "\t")),
        ("old.log", XYZ),
        ("one.pts", XYZ.splitlines()[0]),
        ("commas.pts", "10,05;54,05;3,2\n10,06;54,05;3,3\n"),
        ("minutes.pts", "10 03.0E 54 03.0N 3.2\n"),
    ],
)
def test_soundings_as_text_are_told(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    vector(tmp_path / "good.geojson")
    told, looks = why(read_charts([tmp_path]))[name]
    assert looks
    assert "soundings" in told


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("tides.csv", "time,height_m\n2019-01-01T00:00Z,1.32\n2019-01-01T00:10Z,1.28\n"),
        ("tides.txt", "2019-01-01 00:00 132\n2019-01-01 00:10 128\n"),
        ("notes.txt", "10 sheets, 3 pencils, 2 dividers\nDepart at 10.30, 54 miles, 5.5 kn\n"),
        ("README", "charts\n"),
        ("constants.csv", "name,amplitude,phase\nM2,1.21,134.2\nS2,0.4,170.1\n"),
    ],
)
def test_other_texts_are_listed_only(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    vector(tmp_path / "good.geojson")
    assert not why(read_charts([tmp_path]))[name][1]


def test_points_called_xyz_that_are_no_grid_are_told(tmp_path: Path) -> None:
    (tmp_path / "one.xyz").write_text(XYZ.splitlines()[0], encoding="utf-8")
    vector(tmp_path / "good.geojson")
    assert why(read_charts([tmp_path]))["one.xyz"][1]


def archives(folder: Path) -> dict[str, Path]:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        packed.writestr("a.000", "x")
    (folder / "cells.zip").write_bytes(made.getvalue())
    (folder / "cells.exchange").write_bytes(made.getvalue())
    (folder / "one.gz").write_bytes(gzip.compress(b"x"))
    with tarfile.open(folder / "some.tar.bz2", "w:bz2") as tar:
        tar.addfile(tarfile.TarInfo("a.000"))
    return {path.name: path for path in folder.iterdir()}


def test_archives_are_told_whatever_they_are_called(tmp_path: Path) -> None:
    names = archives(tmp_path)
    vector(tmp_path / "good.geojson")
    told = why(read_charts([tmp_path]))
    assert {name: told[name][1] for name in names} == dict.fromkeys(names, True)
    assert all("unpack" in told[name][0] for name in names)
    with pytest.raises(BadInput, match="unpack"):
        read_charts([names["cells.zip"]])


def test_a_hidden_folder_with_charts_is_told(tmp_path: Path) -> None:
    cell(tmp_path / ".old" / "deep")
    (tmp_path / ".notes").mkdir()
    (tmp_path / ".notes" / "a.txt").write_text("x", encoding="utf-8")
    cell(tmp_path / ".git")
    vector(tmp_path / "good.geojson")
    charts = read_charts([tmp_path])
    assert [c.source.id for c in charts.charts] == ["good.geojson"]
    told = why(charts)
    assert {name: looks for name, (_, looks) in told.items()} == {
        ".old": True,
        ".notes": False,
        ".git": False,
    }
    assert "1 files in it may be charts" in told[".old"][0]
    # … and is read where it is named.
    assert len(read_charts([tmp_path / ".old"]).charts) == 1


def test_a_hidden_folder_with_soundings_or_too_many_files_is_told(tmp_path: Path) -> None:
    for name, text in ((".deep", XYZ), (".notes", "ten sheets\n"), (".many", "")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "a.txt").write_text(text, encoding="utf-8")
    for number in range(5_001):
        (tmp_path / ".many" / f"{number}").touch()
    vector(tmp_path / "good.geojson")
    told = why(read_charts([tmp_path]))
    looks = {name: looks for name, (_, looks) in told.items()}
    assert looks == {".deep": True, ".notes": False, ".many": True}
    assert "1 files in it may be charts" in told[".deep"][0]


def test_a_hidden_file_is_read_as_any_other(tmp_path: Path) -> None:
    vector(tmp_path / ".hidden.geojson")
    (tmp_path / "._hidden.geojson").write_bytes(b"\0\x05\x16\x07\0\2\0\0Mac OS X")
    charts = read_charts([tmp_path])
    assert [c.source.id for c in charts.charts] == [".hidden.geojson"]
    assert not why(charts)["._hidden.geojson"][1]


def test_links_that_lead_nowhere_or_to_themselves_are_told(tmp_path: Path) -> None:
    vector(tmp_path / "good.geojson")
    (tmp_path / "lost.000").symlink_to(tmp_path / "gone.000")
    (tmp_path / "a.000").symlink_to(tmp_path / "b.000")
    (tmp_path / "b.000").symlink_to(tmp_path / "a.000")
    told = why(read_charts([tmp_path]))
    assert {name for name, (_, looks) in told.items() if looks} >= {"lost.000", "a.000"}


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads everything")
def test_what_may_not_be_read_is_told(tmp_path: Path) -> None:
    vector(tmp_path / "good.geojson")
    closed, folder = vector(tmp_path / "closed.geojson"), tmp_path / "closed"
    cell(folder)
    closed.chmod(0)
    folder.chmod(0)
    try:
        told = why(read_charts([tmp_path]))
    finally:
        folder.chmod(0o700)
    assert {name for name, (_, looks) in told.items() if looks} == {"closed.geojson", "closed"}


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("harbour.kap", b"!Copyright\r\nBSB/NA=Harbour\r\n"),
        ("harbour.dat", b"!\r\nBSB/NA=Harbour,NU=1,RA=100,100\r\n" + b"VER/3.0\r\n" * 300),
        ("layer.tab", b"!table\n!version 300\n"),
        ("cell.xml", b'<x xmlns:gml="http://www.opengis.net/gml/3.2"></x>'),
    ],
)
def test_charts_of_other_kinds_are_told(tmp_path: Path, name: str, data: bytes) -> None:
    (tmp_path / name).write_bytes(data)
    vector(tmp_path / "good.geojson")
    assert why(read_charts([tmp_path]))[name][1]


def test_real_s101_cells_are_known_from_s57(real_data: Path) -> None:
    assert sniff(real_data / "s101_fr_treguier" / "101FR00571260.000").kind is Kind.S101
    assert sniff(real_data / "s101_s164_gb" / "10100AA_X0000.000").kind is Kind.S101
    assert sniff(real_data / "s57_gdal_autotest" / "1B5X02NE.000").kind is Kind.CELL
