"""A jumble of files: what is read, what is listed as unread, and what is refused."""

from __future__ import annotations

import json
import os
from pathlib import Path

import numpy as np
import pytest
import shapely

from routecheck.model.chart import ChartSet, Unread
from routecheck.model.errors import BadInput
from routecheck.model.objects import BuoyageZone
from routecheck.readers.folder import read_charts
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
LAND = {"type": "Feature", "properties": {"class": "LNDARE"}, "geometry": None}


def cell(folder: Path, stem: str = "XX5TEST1", *, edition: str = "1", update: int = 0) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    made = Cell(edition=edition, update=update)
    made.add("DEPARE", HERE, DRVAL1=5, DRVAL2=10)
    return made.write(folder, stem)


def vector(path: Path, depth: float = 5.0) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    row = {
        "type": "Feature",
        "properties": {"class": "DEPARE", "DRVAL1": depth},
        "geometry": shapely.geometry.mapping(HERE),
    }
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [row]}), encoding="utf-8")
    return path


def ids(charts: ChartSet) -> list[str]:
    return [chart.source.id for chart in charts.charts]


def why(charts: ChartSet) -> dict[str, tuple[str, bool]]:
    return {Path(u.file).name: (u.why, u.looks_like_chart) for u in charts.unread}


def test_a_jumble(tmp_path: Path) -> None:
    cell(tmp_path / "enc")
    cell(tmp_path / "enc", update=1)
    vector(tmp_path / "b.geojson")
    (tmp_path / "b.geojson.toml").write_text('datum = "LAT"', encoding="utf-8")
    (tmp_path / "marks.csv").write_text("kind,name,lon,lat\nnorth,N,10,54\n", encoding="utf-8")
    (tmp_path / "README.md").write_text("charts", encoding="utf-8")
    (tmp_path / "photo.png").write_bytes(b"\x89PNG\r\n\x1a\n\0\0")
    (tmp_path / "route.gpx").write_text("<gpx/>", encoding="utf-8")
    (tmp_path / "tides.csv").write_text("time,height_m\n", encoding="utf-8")
    (tmp_path / "broken.geojson").write_text("{", encoding="utf-8")
    (tmp_path / "seamarks.pbf").write_bytes(b"\0\0\0\rOSMHeader")
    (tmp_path / "data.json").write_text('{"osm3s": {}, "elements": []}', encoding="utf-8")
    (tmp_path / "empty.geojson").write_text("", encoding="utf-8")
    (tmp_path / "strange.xyz3").write_bytes(b"\0\1\2\3" * 100)
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "x.geojson").write_text("{", encoding="utf-8")
    charts = read_charts([tmp_path])
    assert ids(charts) == ["b.geojson", "XX5TEST1.000", "marks.csv"]
    assert charts.charts[0].source.datum == "LAT"
    assert charts.charts[1].source.updates == 1
    assert len(charts.charts[2].marks) == 1
    unread = why(charts)
    looks = {name for name, (_, looks_like_chart) in unread.items() if looks_like_chart}
    assert looks == {"broken.geojson", "seamarks.pbf", "empty.geojson", "strange.xyz3"}
    others = {"README.md", "photo.png", "route.gpx", "tides.csv", ".git", "data.json"}
    assert unread.keys() - looks == others
    assert all("\n" not in reason and reason for reason, _ in unread.values())


def test_order_and_ids_are_the_same_whatever_the_order_of_writing(tmp_path: Path) -> None:
    for name in ("c", "a", "b"):
        vector(tmp_path / name / "chart.geojson", depth=ord(name))
    charts = read_charts([tmp_path])
    assert ids(charts) == ["chart.geojson", "chart.geojson~2", "chart.geojson~3"]
    depths = [chart.depth_areas[0].charted_depth_m for chart in charts.charts]
    assert depths == [ord("a"), ord("b"), ord("c")]
    keys = [thing.key for chart in charts.charts for thing in chart.objects()]
    assert len(set(keys)) == len(keys)
    for chart in charts.charts:
        assert all(thing.source == chart.source.id for thing in chart.objects())


def test_loops_of_links_are_harmless(tmp_path: Path) -> None:
    vector(tmp_path / "a" / "chart.geojson")
    (tmp_path / "a" / "up").symlink_to(tmp_path, target_is_directory=True)
    (tmp_path / "a" / "copy.geojson").symlink_to(tmp_path / "a" / "chart.geojson")
    (tmp_path / "a" / "self.geojson").symlink_to(tmp_path / "a" / "self.geojson")
    charts = read_charts([tmp_path, tmp_path / "a"])
    assert len(charts.charts) == 1
    assert set(why(charts)) == {"self.geojson"}


def test_a_named_file_that_cannot_be_used_is_an_error(tmp_path: Path) -> None:
    good = vector(tmp_path / "a.geojson")
    for name, text, words in (
        ("b.geojson", "{", "GDAL cannot read it"),
        ("README.md", "x", "a text"),
        ("c.000", "x", "not an S-57 file"),
        ("data.json", '{"elements": []}', "nothing in it carries a seamark tag"),
        ("e.csv", "a,b\n", "CSV is read for marks only"),
    ):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        with pytest.raises(BadInput, match=words) as caught:
            read_charts([good, path])
        assert name in str(caught.value)
    with pytest.raises(BadInput, match="there is no such file or folder"):
        read_charts([tmp_path / "none"])


def test_the_same_file_in_a_folder_is_listed(tmp_path: Path) -> None:
    vector(tmp_path / "a.geojson")
    (tmp_path / "c.000").write_text("x", encoding="utf-8")
    charts = read_charts([tmp_path])
    assert why(charts) == {"c.000": ("this is not an S-57 file", True)}


def test_nothing_readable_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "README.md").write_text("x", encoding="utf-8")
    with pytest.raises(BadInput, match="nothing in it can be read as a chart"):
        read_charts([tmp_path])
    with pytest.raises(BadInput, match="nothing in it can be read as a chart"):
        read_charts([])


def test_updates_belong_to_their_cell(tmp_path: Path) -> None:
    base, update = cell(tmp_path), cell(tmp_path, update=1)
    named = read_charts([update, base])  # as a shell makes of XX5TEST1.*
    assert ids(named) == ["XX5TEST1.000"]
    assert not named.unread
    base.unlink()
    with pytest.raises(BadInput, match=r"update 1 of a cell whose base is not beside it"):
        read_charts([update])
    vector(tmp_path / "a.geojson")
    assert why(read_charts([tmp_path]))["XX5TEST1.001"][1]


def test_a_cell_with_a_gap_in_its_updates_is_named(tmp_path: Path) -> None:
    cell(tmp_path)
    cell(tmp_path, update=2)
    vector(tmp_path / "a.geojson")
    ((name, (reason, looks)),) = why(read_charts([tmp_path])).items()
    assert (name, looks) == ("XX5TEST1.000", True)
    assert reason.startswith("XX5TEST1.002: update 1 is missing")


def test_an_older_edition_of_a_cell_is_not_used(tmp_path: Path) -> None:
    cell(tmp_path / "old", edition="3")
    cell(tmp_path / "new", edition="12")
    charts = read_charts([tmp_path])
    assert [chart.source.edition for chart in charts.charts] == ["12"]
    ((reason, looks),) = why(charts).values()
    assert "superseded by" in reason
    assert not looks


def test_a_copy_is_read_once(tmp_path: Path) -> None:
    vector(tmp_path / "a.geojson")
    vector(tmp_path / "b.geojson")
    charts = read_charts([tmp_path])
    assert len(charts.charts) == 1
    assert why(charts)["b.geojson"][0].startswith("the same as")


def test_unreadable_and_odd_files(tmp_path: Path) -> None:
    vector(tmp_path / "a.geojson")
    os.mkfifo(tmp_path / "pipe.tif")
    (tmp_path / "lonely.dbf").write_bytes(b"\x03")
    (tmp_path / "gone.geojson").symlink_to(tmp_path / "nowhere")
    charts = read_charts([tmp_path])
    assert why(charts)["pipe.tif"] == ("this is not a plain file", True)
    assert "whose .shp is missing" in why(charts)["lonely.dbf"][0]
    assert "gone.geojson" in why(charts)


def test_a_geopackage_with_objects_and_a_grid_gives_both(tmp_path: Path) -> None:
    geopandas = pytest.importorskip("geopandas", reason="geopandas is not installed")
    rasterio = pytest.importorskip("rasterio", reason="rasterio is not installed")
    path = tmp_path / "both.gpkg"
    frame = geopandas.GeoDataFrame({"DRVAL1": [5.0]}, geometry=[HERE], crs=4326)
    frame.to_file(path, layer="DEPARE")
    profile = {"driver": "GPKG", "width": 256, "height": 256, "count": 1, "dtype": "float32"}
    profile |= {"crs": 4326, "transform": rasterio.Affine(0.001, 0, 10, 0, -0.001, 54.256)}
    options = {"APPEND_SUBDATASET": "YES", "RASTER_TABLE": "depths", "TILE_FORMAT": "TIFF"}
    with rasterio.open(path, "w", **profile, **options) as grid:
        grid.write(np.full((1, 256, 256), -7.5, dtype="float32"))
    (tmp_path / "both.gpkg.toml").write_text('unit = "m"\n', encoding="utf-8")
    charts = read_charts([tmp_path])
    assert (len(charts.charts), len(charts.grids)) == (1, 1)
    assert charts.charts[0].source.id != charts.grids[0].source.id


def test_zones_and_progress(tmp_path: Path) -> None:
    cell(tmp_path)
    vector(tmp_path / "a.geojson")
    zone = BuoyageZone(key="z", cls="zone", source="z", geometry=HERE, region="A", from_user=True)
    told: list[tuple[int, int, str]] = []
    charts = read_charts([tmp_path], zones=(zone,), progress=lambda *step: told.append(step))
    assert charts.zones == (zone,)
    assert told == [(0, 2, "XX5TEST1.000"), (1, 2, "a.geojson"), (2, 2, "")]


def test_the_real_jumble(real_data: Path) -> None:
    charts = read_charts([real_data])
    cells = {chart.source.id: chart for chart in charts.charts}
    assert len(cells) == 40
    assert cells["US4MD81M.000"].source.updates == 3
    unread = {Path(u.file).name: u for u in charts.unread}
    assert isinstance(unread["bug1526.000"], Unread)
    assert "update 7" in unread["bug1526.000"].why
    s101 = [chart for chart in charts.charts if chart.source.format == "S-101"]
    assert len(s101) == 14
    assert not [u for u in charts.unread if "s101" in u.file and ".000" in u.file]
    assert not unread["US4MD81A.TXT"].looks_like_chart
