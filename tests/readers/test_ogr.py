"""GDAL in a process of its own: nothing around it changes what is read, nothing in it ends us."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
import shapely

from routecheck.readers import ogr
from routecheck.readers.ogr import Request, read_all
from routecheck.readers.s57 import read_cell
from routecheck.readers.s57_classes import NUMBERS, TEXTS
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)


@pytest.fixture
def cell(tmp_path: Path) -> Path:
    made = Cell()
    made.add("DEPARE", HERE, DRVAL1=5, DRVAL2=10)
    made.add("SOUNDG", [(10.01, 54.01, 3.4), (10.02, 54.02, -1.2)])
    made.add("COALNE", shapely.LineString([(10.0, 54.0), (10.1, 54.1)]), quapos=4)
    return made.write(tmp_path)


STRAY = {
    "S57_CSV": "/nonexistent",
    "S57_PROFILE": "iw",
    "OGR_S57_OPTIONS": "UPDATES=IGNORE,SPLIT_MULTIPOINT=ON,RETURN_LINKAGES=OFF",
    "GDAL_DATA": "/nonexistent",
    "OGR_GEOMETRY_ACCEPT_UNCLOSED_RING": "NO",
    "GDAL_SKIP": "S57",
    "OGR_SKIP": "S57",
    "PYTHONPATH": "/nonexistent",
    "PROJ_DATA": "/nonexistent",
    "CPL_LOG": "/nonexistent/log",
}


@pytest.mark.parametrize("name", STRAY)
def test_a_stray_variable_changes_nothing(
    cell: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = read_cell(cell)
    monkeypatch.setenv(name, STRAY[name])
    assert read_cell(cell) == before


def test_a_stray_settings_file_changes_nothing(
    cell: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = read_cell(cell)
    (tmp_path / ".gdal").mkdir()
    settings = "[configoptions]\nS57_PROFILE=iw\nS57_CSV=/nonexistent\nGDAL_SKIP=S57\n"
    (tmp_path / ".gdal" / "gdalrc").write_text(settings)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("GDAL_CONFIG_FILE", str(tmp_path / ".gdal" / "gdalrc"))
    assert read_cell(cell) == before


def test_real_cells_with_stray_variables(real_data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = real_data / "s57_s58" / "AA400008" / "AA400008.000"
    before = read_cell(path)
    for name, value in STRAY.items():
        monkeypatch.setenv(name, value)
    assert read_cell(path) == before
    assert before.source.updates == 1


def request_of(cell: Path) -> dict[str, object]:
    return {"file": str(cell), "numbers": NUMBERS, "texts": TEXTS, "bare": []}


def asked(cell: Path) -> Request:
    return Request(task="cell", file=cell, numbers=NUMBERS, texts=TEXTS, size=1000)


def test_layer_by_layer_gives_the_same_as_all_at_once(cell: Path) -> None:
    """What is done where the union of layers fails, run with a union that always does."""
    (answer,) = read_all([asked(cell)])
    code = (
        "import json, sys\n"
        f"sys.path[:] = {sys.path!r}\n"
        "from routecheck.readers import ogr_cell\n"
        "plain = ogr_cell._union\n"
        "ogr_cell._union = lambda p, n, f: plain(p, n, f) if 'RCNM' in f else 'broken'\n"
        f"request = {request_of(cell)!r}\n"
        "answer, blob = ogr_cell.read_cell(request)\n"
        "answer['blob'] = blob.size\n"
        "sys.stdout.buffer.write(json.dumps(answer).encode() + b'\\n' + b''.join(blob.parts))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, timeout=60)
    line, _, blob = done.stdout.partition(b"\n")
    other = ogr._answer(json.loads(line), blob)
    assert [t.name for t in other.tables] == [t.name for t in answer.tables]
    for ours, theirs in zip(answer.tables, other.tables, strict=True):
        assert ours.wkb == theirs.wkb
        assert ours.columns == theirs.columns


def test_a_layer_that_the_union_loses_is_read_by_itself(cell: Path) -> None:
    code = (
        "import sys\n"
        f"sys.path[:] = {sys.path!r}\n"
        "from routecheck.readers import ogr_cell\n"
        "plain = ogr_cell._union\n"
        "ogr_cell._union = lambda p, n, f: plain(p, [x for x in n if x != 'DEPARE'], f)\n"
        f"request = {request_of(cell)!r}\n"
        "answer, blob = ogr_cell.read_cell(request)\n"
        "print(sorted((t['name'], t['rows']) for t in answer['tables']))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, timeout=60)
    assert done.stdout.decode().strip() == "[('COALNE', 1), ('DEPARE', 1), ('SOUNDG', 1)]"


def test_answers_come_in_order_and_errors_stand_in_their_place(cell: Path, tmp_path: Path) -> None:
    broken = tmp_path / "XX5BAD.000"
    broken.write_bytes(b"nothing")
    answers = list(read_all([asked(cell), asked(broken), Request(), asked(cell)]))
    assert [bool(answer.error) for answer in answers] == [False, True, False, False]
    assert [len(answer.tables) for answer in answers] == [3, 0, 0, 3]


def test_a_process_that_dies_costs_only_its_own_file(
    cell: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[ogr._Child] = []
    plain = ogr._Child

    def watched() -> ogr._Child:
        child = plain()
        made.append(child)
        if len(made) == 1:
            child._process.kill()
        return child

    monkeypatch.setattr(ogr, "_Child", watched)
    monkeypatch.setattr(ogr, "_ready", [])
    first, second = read_all([asked(cell), asked(cell)])
    assert "broke down" in first.error
    assert "signal 9" in first.error
    assert len(second.tables) == 3


def test_a_file_that_takes_too_long_is_given_up(
    cell: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    endless = tmp_path / "endless.geojson"
    os.mkfifo(endless)  # never delivers a byte
    monkeypatch.setattr(ogr, "SECONDS", 2.0)
    start = time.monotonic()
    first, second = read_all([Request(task="layers", file=endless), asked(cell)])
    assert "longer than 2 s" in first.error
    assert len(second.tables) == 3
    assert time.monotonic() - start < 10.0


def test_a_child_made_ready_is_the_one_that_is_used(cell: Path) -> None:
    ogr.warm_up()
    ogr.warm_up()
    (child,) = ogr._ready
    (answer,) = read_all([asked(cell)])
    assert len(answer.tables) == 3
    assert not ogr._ready
    assert child.over
    assert not child.folder.exists()


def test_the_parent_imports_no_gdal(cell: Path) -> None:
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from routecheck.readers.s57 import read_cell\n"
        f"read_cell(Path({str(cell)!r}))\n"
        "print([m for m in ('pyogrio', 'fiona', 'geopandas', 'pandas', 'rasterio') "
        "if m in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True, timeout=60, cwd=Path.cwd()
    )
    assert done.stdout.decode().strip() == "[]"
