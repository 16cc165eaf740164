"""One seabed in every format: the same route meets the same dangers in each, within one cell.

What is dangerous is worked out here from the array that all files are written from, with shapely
and a plane about the place alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import rasterio
import shapely
from rasterio.transform import from_origin

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.finding import Finding
from routecheck.readers.folder import read_charts
from routecheck.units import METRES_PER_FATHOM, METRES_PER_FOOT
from tests.readers.rasters import geotiff, netcdf
from tests.readers.s102_files import write_s102
from tests.s57_writer import Cell
from tests.survey.charts import route

WEST, SOUTH, DX, DY = 10.0, 53.0, 0.001, 0.0006
ROWS, COLUMNS = 30, 44
NEEDED_M, HALF_M = 3.0, 60.0
METRES_LAT = 111_286.0  # of a degree at 53 N (WGS 84, from memory)
METRES_LON = 111_320.0 * math.cos(math.radians(53.009)) * 1.0023  # good to a metre here
POINTS = [(10.004, 53.003), (10.022, 53.0135), (10.04, 53.004)]
BOAT = Boat(
    name="twin",
    draught_m=2.0,
    speed_kn=5.0,
    margins=Margins(under_keel_m=1.0, cross_track_m=HALF_M),
)


def seabed() -> np.ndarray:
    """Depths in quarters of a metre, north first: a bar, a lump, a drying bank, deep water."""
    row, column = np.mgrid[0:ROWS, 0:COLUMNS]
    depth = 9.0 + 3.0 * np.sin(column / 5.0) * np.cos(row / 7.0)
    depth -= 8.5 * np.exp(-(((column - 13) / 1.6) ** 2))  # a bar across the first leg
    depth -= 10.0 * np.exp(-(((column - 32) / 1.8) ** 2 + ((row - 16) / 2.0) ** 2))
    return np.asarray(np.floor(depth * 4.0) / 4.0)


DEPTH = seabed()
LIES = from_origin(WEST, SOUTH + ROWS * DY, DX, DY)


def cells() -> list[tuple[float, shapely.Polygon]]:
    return [
        (
            float(DEPTH[r, c]),
            shapely.box(
                WEST + c * DX,
                SOUTH + (ROWS - 1 - r) * DY,
                WEST + (c + 1) * DX,
                SOUTH + (ROWS - r) * DY,
            ),
        )
        for r in range(ROWS)
        for c in range(COLUMNS)
    ]


def say(path: Path, text: str = "") -> None:
    path.with_name(path.name + ".toml").write_text(text + 'datum = "LAT"\n')


def tiff(folder: Path, name: str = "a.tif", *, unit: str = "m", unit_m: float = 1.0) -> None:
    values = (DEPTH / unit_m).astype("float64")
    said = unit if unit != "fm" else None
    geotiff(folder / name, values, name="depth", unit=said, transform=LIES)
    say(folder / name, 'unit = "fm"\n' if unit == "fm" else "")


def elevation(folder: Path) -> None:
    attributes = {"units": "m", "positive": "up"}
    import netCDF4

    path = netcdf(folder / "a.nc", {"z": -DEPTH[::-1]}, attributes=attributes)
    with netCDF4.Dataset(path, "a") as out:
        out["lon"][:] = WEST + (np.arange(COLUMNS) + 0.5) * DX
        out["lat"][:] = SOUTH + (np.arange(ROWS) + 0.5) * DY
    say(path)


def bag(folder: Path) -> None:
    lies = {"crs": "EPSG:4326", "transform": LIES, "width": COLUMNS, "height": ROWS}
    with rasterio.open(
        folder / "a.bag", "w", driver="BAG", count=1, dtype="float32", nodata=1e6, **lies
    ) as out:
        out.write(-DEPTH.astype("float32"), 1)
    say(folder / "a.bag")


def s102(folder: Path) -> None:
    values = DEPTH[::-1].astype("float32")
    write_s102(folder / "a.h5", values, west=WEST + DX / 2, south=SOUTH + DY / 2, step=(DX, DY))


def polygons(folder: Path, driver: str, suffix: str) -> None:
    geopandas = pytest.importorskip("geopandas", reason="geopandas is not installed")
    found = cells()
    columns = {"DRVAL1": [d for d, _ in found], "DRVAL2": [d for d, _ in found]}
    frame = geopandas.GeoDataFrame(columns, geometry=[s for _, s in found], crs=4326)
    frame.to_file(folder / f"a{suffix}", driver=driver, layer="DEPARE")
    say(folder / f"a{suffix}", 'class = "DEPARE"\nunit = "m"\n')


def s57(folder: Path) -> None:
    cell = Cell()
    for depth_m, shape in cells():
        cell.add("DEPARE", shape, DRVAL1=f"{depth_m:g}", DRVAL2=f"{depth_m:g}")
    whole = shapely.box(WEST, SOUTH, WEST + COLUMNS * DX, SOUTH + ROWS * DY)
    cell.add("M_COVR", whole, CATCOV=1)
    cell.write(folder)


TWINS: dict[str, Callable[[Path], None]] = {
    "GeoTIFF, depth in metres": tiff,
    "GeoTIFF, feet": lambda folder: tiff(folder, unit="ft", unit_m=METRES_PER_FOOT),
    "GeoTIFF, fathoms": lambda folder: tiff(folder, unit="fm", unit_m=METRES_PER_FATHOM),
    "NetCDF, elevation": elevation,
    "BAG": bag,
    "S-102": s102,
    "S-57": s57,
    "GeoJSON": lambda folder: polygons(folder, "GeoJSON", ".geojson"),
    "GeoPackage": lambda folder: polygons(folder, "GPKG", ".gpkg"),
}
NODES = ("NetCDF, elevation", "BAG", "S-102")
"""Whose values stand at nodes, or may: every one is used a cell either way."""


def flat(shape: shapely.Geometry) -> shapely.Geometry:
    """In metres east and north of the south-western corner."""
    scale = np.array([METRES_LON, METRES_LAT])
    return shapely.transform(shape, lambda at: (at - np.array([WEST, SOUTH])) * scale)


LEGS = [flat(shapely.LineString(POINTS[i : i + 2])) for i in range(2)]
CELL_M = max(DX * METRES_LON, DY * METRES_LAT)


def dangerous(leg: int, grow_m: float = 0.0) -> list[tuple[float, shapely.Geometry]]:
    """Depth and cell of all that is too shoal and shares a point with the leg's corridor."""
    corridor = LEGS[leg].buffer(HALF_M + grow_m, cap_style="round" if grow_m else "flat")
    found = [(depth_m, flat(shape)) for depth_m, shape in cells()]
    return [(d, s) for d, s in found if d < NEEDED_M and s.intersects(corridor)]


def dangers(name: str, folder: Path) -> list[Finding]:
    TWINS[name](folder)
    charts = read_charts([folder])
    assert not [one for one in charts.unread if one.looks_like_chart]
    found = vet(route(POINTS), charts, BOAT).report.findings
    return [f for f in found if f.check == "too-little-water" and f.severity == "danger"]


@pytest.mark.parametrize("name", TWINS)
def test_a_twin_gives_the_same_dangers_within_one_cell(tmp_path: Path, name: str) -> None:
    found = dangers(name, tmp_path)
    room_m = CELL_M * (2.0 if name in NODES else 1.0)
    for leg in range(2):
        expected, near = dangerous(leg), dangerous(leg, room_m)
        assert len(expected) > 3, "the test has nothing to find"
        mine = [f for f in found if f.leg == leg + 1]
        # Nothing is missed: every dangerous cell lies in the reach of a finding, give or take one
        # cell and the stretch that a grid is read by (0.05 nmi).
        for _, shape in expected:
            along = [LEGS[leg].project(shapely.Point(at)) for at in shape.exterior.coords]
            middle = sum(along[:4]) / 4.0
            assert any(
                f.along_m - room_m - 92.6 <= middle <= f.along_to_m + room_m + 92.6 for f in mine
            ), f"{name}: nothing told at {middle:.0f} m of leg {leg + 1}"
        # Nothing is made up: every finding's own place is that of a dangerous cell.
        for f in mine:
            at = flat(shapely.Point(f.lon_deg, f.lat_deg))
            assert min(shape.distance(at) for _, shape in near) <= room_m
        # The shoalest is the shoalest, to the last millimetre.
        shoalest = min(float(str(f.sums["charted_depth_m"])) for f in mine)
        assert min(d for d, _ in near) - 0.001 <= shoalest <= min(d for d, _ in expected) + 1e-9
        if name not in NODES:
            assert shoalest == pytest.approx(min(d for d, _ in expected), abs=0.001)


def test_the_seabed_has_what_it_takes() -> None:
    assert DEPTH.min() < 0.0 < NEEDED_M < DEPTH.max()
    assert all(0 < len(dangerous(leg)) < 60 for leg in range(2))
