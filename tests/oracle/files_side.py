"""A world written to files as others write them, and read back with the package's readers.

Cells become S-57, grids GeoTIFF with a sidecar, the loose file GeoJSON or GeoPackage. What a
format cannot say is taken out of the world first (`told`), so that both sides hear the same.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import geopandas
import numpy as np
import shapely
from rasterio.transform import from_origin

from routecheck.model.chart import ChartSet
from routecheck.readers.folder import read_charts
from tests.oracle.files_rows import CATCAM, CATLAM, VERDAT, rows, told_areas
from tests.oracle.package_side import coverage
from tests.readers.rasters import geotiff
from tests.s57_writer import Cell

World = dict[str, Any]
_NODATA = -9999.0


def told(world: World) -> World | None:
    """The world as files can tell it; None where it lies across the antimeridian."""
    if abs(world["lon"]) > 179.0 or abs(world["lat"]) > 80.0:
        return None
    charts = [
        _told_chart(c) for c in world["charts"] if c["datum"] in VERDAT or c["kind"] == "loose"
    ]
    grids = [{**_told_datum(g), "reach": 0.5} for g in world["grids"]]
    return {**world, "charts": charts, "grids": grids, "zones": []}


def _told_datum(source: dict[str, Any]) -> dict[str, Any]:
    return {**source, "datum": "LAT" if source["datum"] == "chart datum" else source["datum"]}


def _told_chart(chart: dict[str, Any]) -> dict[str, Any]:
    cell = chart["kind"] == "cell"
    own = {"datum_below_msl_m": None, "quality": None} if cell else {}
    return {
        **_told_datum(chart),
        **own,
        "dangers": [
            {
                **d,
                "kind": "rock",
                "in_area_range": False,
                "dangerous": True,
                "stands_out": False,
                "uncovers": False,
                "unreliable": False,
                "accuracy_m": None,
            }
            for d in chart["dangers"]
        ],
        "datum_zones": [z for z in chart["datum_zones"] if z["datum"] in VERDAT],
        "spans": [
            {
                **s,
                "datum": s["datum"] if s["datum"] in VERDAT else "MHWS",
                # What has a clearance when closed opens.
                "opens": s["opens"] or s["closed_m"] is not None,
            }
            for s in chart["spans"]
        ],
        "regulated": told_areas(chart["regulated"]),
        "soundings": [{**s, "unreliable": False} for s in chart["soundings"]],
        "marks": [
            {**m, "region": "", "accuracy_m": None, "floating": True}
            for m in chart["marks"]
            if m["kind"] in CATCAM or m["kind"] in CATLAM
        ],
    }


def read(world: World, folder: Path) -> ChartSet:
    """Write a told world into a folder and read it back."""
    for number, chart in enumerate(world["charts"]):
        if chart["kind"] == "cell":
            _write_cell(chart, folder, f"XX5WRLD{number + 1}")
        else:
            ending = "gpkg" if world["seed"] % 200 else "geojson"
            _write_loose(chart, folder, f"loose.{ending}")
    for grid in world["grids"]:
        _write_grid(grid, folder)
    if not world["charts"] and not world["grids"]:
        return ChartSet()
    return read_charts([folder])


def _write_cell(chart: dict[str, Any], folder: Path, stem: str) -> None:
    cell = Cell(scale=int(chart["scale"]), sounding_datum=VERDAT[chart["datum"]])
    for covered, shape in coverage(chart):
        cell.add("M_COVR", shape, CATCOV=1 if covered else 2)
    for cls, shape, stated in rows(chart):
        if cls == "SOUNDG":
            cell.add(cls, [(shape.x, shape.y, stated["VALSOU"])])  # type: ignore[attr-defined]
        else:
            cell.add(cls, shape, **stated)
    cell.write(folder, stem)


def _write_loose(chart: dict[str, Any], folder: Path, name: str) -> None:
    """One file of all classes: GeoJSON, or GeoPackage by the layer of each class."""
    held = list(rows(chart))
    path = folder / name
    if path.suffix == ".geojson":
        made = [
            {
                "type": "Feature",
                "properties": {"class": cls, **stated},
                "geometry": shapely.geometry.mapping(shape),
            }
            for cls, shape, stated in held
        ]
        path.write_text(json.dumps({"type": "FeatureCollection", "features": made}))
    else:
        for cls in dict.fromkeys(cls for cls, _, _ in held):
            mine = [(shape, stated) for c, shape, stated in held if c == cls]
            keys = dict.fromkeys(key for _, stated in mine for key in stated)
            columns = {key: [stated.get(key) for _, stated in mine] for key in keys}
            frame = geopandas.GeoDataFrame(columns, geometry=[s for s, _ in mine], crs=4326)
            frame.to_file(path, layer=cls)
    _write_sidecar(chart, path)


def _write_grid(grid: dict[str, Any], folder: Path) -> None:
    values = np.array(
        [[_NODATA if v is None else v for v in row] for row in grid["depth_m"]], dtype=np.float32
    )
    path = geotiff(
        folder / f"{grid['id']}.tif",
        values,
        name="depth",
        transform=from_origin(
            grid["x"] - grid["dx"] / 2.0, grid["y"] + grid["dy"] / 2.0, grid["dx"], grid["dy"]
        ),
        nodata=_NODATA,
        crs=f"EPSG:{grid['epsg'] or 4326}",
    )
    _write_sidecar(grid, path)


def _write_sidecar(source: dict[str, Any], path: Path) -> None:
    lines = ['quantity = "depth"']
    if source["datum"] != "unknown":
        lines.append(f"datum = {json.dumps(source['datum'])}")
    if source["datum_below_msl_m"] is not None:
        lines.append(f'datum_below_msl = "{source["datum_below_msl_m"]} m"')
    quality = source["quality"]
    if quality is not None:
        lines.append(
            f'vertical_uncertainty = "{quality["vertical_m"]} m + {100.0 * quality["share"]:g} %"'
        )
        if quality["horizontal_m"] is not None:
            lines.append(f'horizontal_uncertainty = "{quality["horizontal_m"]} m"')
    path.with_name(f"{path.name}.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
