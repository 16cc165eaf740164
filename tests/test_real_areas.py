"""Regulated areas of real cells: each one that a track crosses is told, and lanes by their ORIENT.

The IHO S-64 test cell GB4X0000 and NOAA's US4MD81M, described with their origin in the README of
the data folder. What lies where is read a second time, by GDAL through geopandas' reader alone.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import pyproj
import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import Finding
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.readers.s57 import read_cell

S64, NOAA = "s57_s64_gb/GB4X0000.000", "s57_noaa_us4md81m/US4MD81M.000"
GEOD = pyproj.Geod(ellps="WGS84")
HALF_LEG_M = 400.0
DANGER, CAUTION, NOTE = Severity.DANGER, Severity.CAUTION, Severity.NOTE
CLASSES = (
    *("RESARE", "CTNARE", "MIPARE", "OSPARE", "PRDARE", "SPLARE", "SUBTLN", "ACHARE", "ACHBRT"),
    *("CTSARE", "ICNARE", "TSSLPT", "TSEZNE", "TSELNE", "TSSRON", "PRCARE", "ISTZNE", "DWRTPT"),
    *("FERYRT", "LOKBSN", "GATCON", "CBLSUB", "CBLARE", "PIPSOL", "PIPARE", "DMPGRD", "SNDWAV"),
    *("ICEARE", "WATTUR", "MARCUL"),
)


@lru_cache(maxsize=2)
def charts(path: Path) -> ChartSet:
    return ChartSet(charts=(read_cell(path),))


@lru_cache(maxsize=2)
def second_reading(path: Path) -> dict[str, list[tuple[str, Any, dict[str, Any]]]]:
    """(long name, shape, attributes) by class, as GDAL has them without any reader of ours."""
    pyogrio = pytest.importorskip("pyogrio", reason="pyogrio is not installed")
    found: dict[str, list[tuple[str, Any, dict[str, Any]]]] = {}
    for layer in {str(name) for name, _ in pyogrio.list_layers(path)} & set(CLASSES):
        frame = pyogrio.read_dataframe(path, layer=layer)
        found[layer] = [
            (str(row.LNAM), row.geometry, row._asdict()) for row in frame.itertuples(index=False)
        ]
    return found


def through(shape: Any, course_deg: float) -> Route:
    """A short leg over a point of the shape."""
    point = shapely.get_parts(shape)[0]
    point = point.interpolate(0.5, normalized=True) if point.length and not point.area else point
    point = point.representative_point()
    ends = [GEOD.fwd(point.x, point.y, c, HALF_LEG_M)[:2] for c in (course_deg + 180.0, course_deg)]
    first, last = (Waypoint(name=str(i), lon_deg=x, lat_deg=y) for i, (x, y) in enumerate(ends))
    return Route(name="short", file="short", legs=(Leg(number=1, start=first, end=last),))


def told(path: Path, shape: Any, course_deg: float = 90.0) -> list[Finding]:
    boat = Boat(name="b", draught_m=1.0, margins=Margins(under_keel_m=0.5, cross_track_m=20.0))
    return list(vet(through(shape, course_deg), charts(path), boat).report.findings)


def keys(findings: list[Finding]) -> set[str]:
    return {key for f in findings for key in (f.object_key, *(e.key for e in f.evidence))}


@pytest.mark.parametrize("cell", [S64, NOAA])
def test_every_area_that_a_track_crosses_is_told(real_data: Path, cell: str) -> None:
    path, missed, tried = real_data / cell, [], 0
    for cls, things in sorted(second_reading(path).items()):
        if cls == "TSSLPT":  # with the flow nothing is wrong: see below
            continue
        for name, shape, _ in things:
            tried += 1
            if not any(f"/{cls}/{name}" in key for key in keys(told(path, shape))):
                missed.append(f"{cls} {name}")
    assert tried > 80
    assert missed == []


def of(path: Path, cls: str, **stated: Any) -> list[Any]:
    """Shapes of the objects of a class whose attributes GDAL reads as given."""
    return [
        shape
        for _, shape, values in second_reading(path).get(cls, [])
        if all(plain(values.get(name)) == value for name, value in stated.items())
    ]


def plain(value: Any) -> Any:
    listed = getattr(value, "tolist", None)
    return (
        ",".join(map(str, listed()))
        if listed is not None and not isinstance(value, float)
        else value
    )


@pytest.mark.parametrize(
    ("cell", "cls", "stated", "check", "severity"),
    [
        (S64, "RESARE", {"RESTRN": "7"}, "entry-prohibited", DANGER),
        (S64, "RESARE", {"RESTRN": "14"}, "area-to-be-avoided", CAUTION),
        (S64, "RESARE", {"CATREA": "1"}, "entry-prohibited", DANGER),
        (S64, "RESARE", {"RESTRN": "1,3"}, "local-restriction", NOTE),
        (S64, "MIPARE", {}, "special-conditions", CAUTION),
        (S64, "ISTZNE", {}, "inshore-traffic-zone", CAUTION),
        (NOAA, "MIPARE", {"RESTRN": "8"}, "entry-prohibited", CAUTION),
        (NOAA, "RESARE", {"RESTRN": "7"}, "entry-prohibited", DANGER),
        (NOAA, "RESARE", {"RESTRN": "4,8"}, "entry-prohibited", CAUTION),
        (NOAA, "RESARE", {"RESTRN": "16"}, "local-restriction", NOTE),
        (NOAA, "CTNARE", {"INFORM": "Shoal reported"}, "special-conditions", CAUTION),
        (NOAA, "DMPGRD", {"CATDPG": "5"}, "depth-may-have-changed", CAUTION),
    ],
)
def test_by_what_is_charted(
    real_data: Path, cell: str, cls: str, stated: dict[str, Any], check: str, severity: Severity
) -> None:
    path = real_data / cell
    shapes = of(path, cls, **stated)
    assert shapes
    for shape in shapes:
        found = [f for f in told(path, shape) if f.check == check and f.cls == cls]
        assert severity in {f.severity for f in found}


def test_lanes_with_against_and_square_to_their_direction(real_data: Path) -> None:
    path, tried = real_data / S64, 0
    for name, shape, values in second_reading(path)["TSSLPT"]:
        flow = values["ORIENT"]
        if flow is None or flow != flow:
            (finding,) = [f for f in told(path, shape) if f.object_key.endswith(name)]
            assert finding.severity is Severity.NOT_ASSESSED
            continue
        for turn, severity in ((0.0, None), (180.0, DANGER), (90.0, NOTE), (60.0, CAUTION)):
            found = [f for f in told(path, shape, flow + turn) if f.object_key.endswith(name)]
            assert [f.severity for f in found] == ([severity] if severity else []), (name, turn)
            tried += 1
    assert tried == 4 * 17  # 18 lanes, one without ORIENT: README of the data


def test_a_one_way_track_backwards(real_data: Path) -> None:
    pyogrio = pytest.importorskip("pyogrio", reason="pyogrio is not installed")
    path = real_data / NOAA
    (row,) = pyogrio.read_dataframe(path, layer="RECTRC").itertuples(index=False)
    assert row.TRAFIC == 3
    for turn, expected in ((0.0, []), (180.0, [CAUTION]), (90.0, [])):
        found = told(path, row.geometry, row.ORIENT + turn)
        assert [f.severity for f in found if f.check == "against-one-way-traffic"] == expected
