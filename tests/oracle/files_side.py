"""A world written to files as others write them, and read back with the package's readers.

Cells become S-57, grids GeoTIFF with a sidecar, the loose file GeoJSON. What a format cannot say
is taken out of the world first (`told`), so that both sides hear the same.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from rasterio.transform import from_origin

from routecheck.model.chart import ChartSet
from routecheck.readers.folder import read_charts
from tests.readers.rasters import geotiff
from tests.s57_writer import Cell

World = dict[str, Any]
_VERDAT = {"LAT": 23, "MLLW": 12, "MSL": 3}
_COLOUR = {"red": 3, "green": 4, "black": 2, "yellow": 6}
_CATCAM = {"north": 1, "east": 2, "south": 3, "west": 4}
_CATLAM = {"port-hand": 1, "starboard-hand": 2}
_NODATA = -9999.0


def told(world: World) -> World | None:
    """The world as files can tell it; None where it lies across the antimeridian."""
    if abs(world["lon"]) > 179.0 or abs(world["lat"]) > 80.0:
        return None
    charts = [
        _told_chart(c) for c in world["charts"] if c["datum"] in _VERDAT or c["scale"] is None
    ]
    grids = [
        {**g, "reach": 0.5, "datum": g["datum"] if g["datum"] != "chart datum" else "LAT"}
        for g in world["grids"]
    ]
    charts = [c for c in charts if c["kind"] == "cell"]
    return {**world, "charts": charts, "grids": grids, "zones": []}


def _told_chart(chart: dict[str, Any]) -> dict[str, Any]:
    return {
        **chart,
        "datum_below_msl_m": None,
        "quality": None,
        "areas": [a for a in chart["areas"]],
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
        "spans": [],
        "soundings": [{**s, "unreliable": False} for s in chart["soundings"]],
        "marks": [
            {**m, "region": "", "accuracy_m": None, "floating": True}
            for m in chart["marks"]
            if m["kind"] in _CATCAM or m["kind"] in _CATLAM
        ],
    }


def read(world: World, folder: Path) -> ChartSet:
    """Write a told world into a folder and read it back."""
    for number, chart in enumerate(world["charts"]):
        _write_cell(chart, folder, f"XX5WRLD{number + 1}")
    for grid in world["grids"]:
        _write_grid(grid, folder)
    if not world["charts"] and not world["grids"]:
        return ChartSet()
    return read_charts([folder])


def _write_cell(chart: dict[str, Any], folder: Path, stem: str) -> None:
    cell = Cell(scale=int(chart["scale"]), sounding_datum=_VERDAT[chart["datum"]])

    def ring(one: Any) -> shapely.Polygon:
        return shapely.Polygon(one)

    cell.add("M_COVR", ring(chart["coverage"]), CATCOV=1)
    for zone in chart["qualities"]:
        cell.add("M_QUAL", ring(zone["ring"]), CATZOC=zone["catzoc"])
    for zone in chart["buoyage"]:
        stated: dict[str, Any] = {"MARSYS": 1 if zone["region"] == "A" else 2}
        if zone["direction_deg"] is not None:
            stated["ORIENT"] = zone["direction_deg"]
        cell.add("M_NSYS", ring(zone["ring"]), **stated)
    for area in chart["areas"]:
        depth = area["depth_m"]
        stated = {} if depth is None else {"DRVAL1": depth, "DRVAL2": depth + 10.0}
        cell.add("DEPARE", ring(area["ring"]), **stated)
    for line in chart["contours"]:
        cell.add("DEPCNT", shapely.LineString(line["line"]), VALDCO=line["depth_m"])
    for one in chart["soundings"]:
        cell.add("SOUNDG", [(*one["at"], one["depth_m"])])
    for one in chart["dangers"]:
        stated = {} if one["depth_m"] is None else {"VALSOU": one["depth_m"]}
        cell.add("UWTROC", shapely.Point(one["at"]), **stated)
    for one in chart["lands"]:
        cell.add("LNDARE", ring(one["ring"]))
    for one in chart["unsurveyed"]:
        cell.add("UNSARE", ring(one["ring"]))
    for one in chart["marks"]:
        cls, key, code = (
            ("BOYCAR", "CATCAM", _CATCAM[one["kind"]])
            if one["kind"] in _CATCAM
            else ("BOYLAT", "CATLAM", _CATLAM[one["kind"]])
        )
        stated = {key: code, "BOYSHP": 1}
        if one["colours"]:
            stated["COLOUR"] = ",".join(str(_COLOUR[c]) for c in one["colours"])
        cell.add(cls, shapely.Point(one["at"]), **stated)
    cell.write(folder, stem)


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
    )
    lines = ['quantity = "depth"']
    if grid["datum"] != "unknown":
        lines.append(f"datum = {json.dumps(grid['datum'])}")
    if grid["datum_below_msl_m"] is not None:
        lines.append(f'datum_below_msl = "{grid["datum_below_msl_m"]} m"')
    quality = grid["quality"]
    if quality is not None:
        lines.append(
            f'vertical_uncertainty = "{quality["vertical_m"]} m + {100.0 * quality["share"]:g} %"'
        )
        if quality["horizontal_m"] is not None:
            lines.append(f'horizontal_uncertainty = "{quality["horizontal_m"]} m"')
    path.with_suffix(".tif.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
