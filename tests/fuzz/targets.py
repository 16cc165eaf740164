"""What is fuzzed: every reader of ours that takes a file apart, with seeds to start from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

SAMPLES = Path(__file__).parents[2] / "sample_charts"


@dataclass(frozen=True, kw_only=True)
class Target:
    """One reader: the name of the file that it is given, and what calls it."""

    file: str
    read: Callable[[Path], Any]
    seeds: tuple[bytes, ...]
    allowed: tuple[str, ...] = ()
    """Names of exceptions, beside BadInput, that the caller is told to expect."""


def _sample(*parts: str) -> bytes:
    return SAMPLES.joinpath(*parts).read_bytes()


def _gpx(path: Path) -> Any:
    from routecheck.readers.gpx import read_gpx

    read_gpx(path)
    return read_gpx(path, tracks=True)


def _rtz(path: Path) -> Any:
    from routecheck.readers.rtz import read_rtz

    return read_rtz(path)


def _geojson_route(path: Path) -> Any:
    from routecheck.readers.geojson_route import read_geojson_route

    return read_geojson_route(path)


def _route_sidecar(path: Path) -> Any:
    from routecheck.readers.gpx import read_gpx
    from routecheck.readers.sidecar import apply_sidecar

    return apply_sidecar(read_gpx(SAMPLES / "routes" / "to-the-cove.gpx"), path)


def _boat(path: Path) -> Any:
    from routecheck.readers.settings import read_boat

    return read_boat(path)


def _tide(path: Path) -> Any:
    from routecheck.readers.tides import read_tide

    return read_tide(path)


def _tide_table(path: Path) -> Any:
    from routecheck.readers.tide_csv import read_table

    return read_table(path)


def _tide_series(path: Path) -> Any:
    from routecheck.readers.tide_csv import read_series

    return read_series(path)


def _zones(path: Path) -> Any:
    from routecheck.readers.zones import read_zones

    return read_zones(path)


def _marks(path: Path) -> Any:
    from routecheck.readers.marks import read_marks

    return read_marks(path)


def _chart_sidecar(path: Path) -> Any:
    from routecheck.readers.chart_sidecar import read_sidecar

    return read_sidecar(path.with_name("chart.tif"))


def _overpass(path: Path) -> Any:
    from routecheck.readers.overpass import elements_of

    return elements_of(path)


def _cell_head(path: Path) -> Any:
    from routecheck.readers.iso8211 import looks_like_iso8211, read_head

    data = path.read_bytes()
    looks_like_iso8211(data[:64])
    return read_head(data)


def _s101(path: Path) -> Any:
    from routecheck.readers.s101 import read_cell

    return read_cell(path)


def _sniff(path: Path) -> Any:
    from routecheck.readers.sniff import sniff

    return sniff(path)


_ZONES = (
    b'{"type":"FeatureCollection","features":[{"type":"Feature","properties":'
    b'{"direction_of_buoyage_deg":40.5,"region":"A"},"geometry":{"type":"Polygon",'
    b'"coordinates":[[[10,54],[11,54],[11,55],[10,54]]]}}]}'
)
_MARKS = (
    b"kind,name,colours,lon,lat\nport-hand,No 2,red,10.1,54.2\nnorth,N,black;yellow,10.2,54.3\n",
    b'{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"lateral",'
    b'"name":"3","colours":"green"},"geometry":{"type":"Point","coordinates":[10,54]}}]}',
)
_TABLE = (
    b"time,height_m,kind\n2027-05-14T01:10Z,0.4,low\n2027-05-14T07:20Z,3.1,high\n"
    b"2027-05-14T13:30Z,0.6,low\n"
)
_SERIES = (
    b"time,height_cm\n2027-05-14T01:00+02:00,40\n2027-05-14T01:10+02:00,44\n"
    b"2027-05-14T01:20+02:00,50\n"
)
_TIDE = (
    b'datum = "LAT"\nuncertainty = "0.1 m"\nsurge_down = "0.2 m"\n[[station]]\n'
    b'name = "A"\nlon = 1.0\nlat = 50.0\nmean_level = "2.10 m"\n'
    b'constituents = [{ name = "M2", amplitude = "1.21 m", '
    b'phase_deg = 134.2 }]\n[[station]]\nname = "B"\nlon = 2.0\nlat = 50.0\nsecondary_to = "A"\n'
    b'time_high = "20 min"\ntime_low = "-10 min"\nheight_high = "0.3 m"\nheight_low = 0.9\n',
    b'datum = "chart"\n[[station]]\nconstant = "0.4 m"\n',
)
_BOAT = (
    b'name = "x"\ndraught = "6 ft 3 in"\nbeam = "3.6 m"\nspeed = "5.5 kn"\n[margins]\n'
    b'under_keel = ["1.0 m", "20 % of draught"]\nsquat = { formula = "open", block = 0.4 }\n'
    b'heel_swell = { heel_deg = 15, hull = "box", swell = "1.0 m" }\nsmallest_scale = 180000\n'
)
_SIDECAR = (
    b'quantity = "depth"\nunit = "fm"\ndatum = "MLLW"\ndatum_below_msl = "1.35 m"\n'
    b'vertical_uncertainty = "0.5 m + 1 %"\nhorizontal_uncertainty = "20 m"\nsurveyed = 2019\n'
    b'columns = { depth = "DRVAL1", depth_max = "DRVAL2" }\n'
)
_LEGS = (
    b'[[leg]]\nlegs = "1-2"\ncross_track = "30 m"\nspeed = "4 kn"\nturn_radius = "50 m"\n'
    b"great_circle = false\n"
)
_LINE = (
    b'{"type":"Feature","properties":{"name":"x"},"geometry":{"type":"LineString",'
    b'"coordinates":[[179.9,10],[-179.9,10.2,0]]}}'
)
_OSM = (
    b'{"version":0.6,"elements":[{"type":"node","id":1,"lat":54.1,"lon":10.2,"tags":'
    b'{"seamark:type":"rock","seamark:rock:depth":"1.2"}},{"type":"node","id":2,"lat":54,"lon":10},'
    b'{"type":"way","id":3,"nodes":[1,2],"tags":{"seamark:type":"cable_overhead"}},'
    b'{"type":"relation","id":4,"members":[{"type":"way","ref":3,"role":"outer"}],'
    b'"tags":{"seamark:type":"restricted_area"}}]}'
)


def targets() -> dict[str, Target]:
    """All of them, by name."""
    cove = _sample("routes", "to-the-cove.gpx")
    rtz = _sample("routes", "dawn-inbound.rtz")
    return {
        "gpx": Target(file="a.gpx", read=_gpx, seeds=(cove, _sample("routes", "clean.gpx"))),
        "rtz": Target(file="a.rtz", read=_rtz, seeds=(rtz,)),
        "geojson-route": Target(file="a.geojson", read=_geojson_route, seeds=(_LINE,)),
        "route-sidecar": Target(
            file="a.gpx.toml",
            read=_route_sidecar,
            seeds=(_LEGS, _sample("routes", "to-the-cove.gpx.toml")),
        ),
        "boat": Target(file="boat.toml", read=_boat, seeds=(_BOAT, _sample("boat.toml"))),
        "tide": Target(file="tide.toml", read=_tide, seeds=(*_TIDE, _sample("tide.toml"))),
        "tide-table": Target(file="t.csv", read=_tide_table, seeds=(_TABLE,)),
        "tide-series": Target(file="t.csv", read=_tide_series, seeds=(_SERIES,)),
        "zones": Target(file="zones.geojson", read=_zones, seeds=(_ZONES,)),
        "marks-csv": Target(file="m.csv", read=_marks, seeds=_MARKS[:1]),
        "marks-geojson": Target(file="m.geojson", read=_marks, seeds=_MARKS[1:]),
        "chart-sidecar": Target(file="chart.tif.toml", read=_chart_sidecar, seeds=(_SIDECAR,)),
        "overpass": Target(file="o.json", read=_overpass, seeds=(_OSM,)),
        "cell-head": Target(file="c.000", read=_cell_head, seeds=(_cell(),), allowed=("Damaged",)),
        "s101": Target(file="c.000", read=_s101, seeds=(_s101_cell(),)),
        "sniff": Target(file="s.bin", read=_sniff, seeds=(_cell(), cove, b"CDF\x01", b"II*\x00")),
    }


def _cell() -> bytes:
    import shapely

    from tests.s57_writer import Cell

    cell = Cell()
    cell.add("DEPARE", shapely.box(10.0, 54.0, 10.1, 54.1), DRVAL1=5.0, DRVAL2=10.0)
    return cell.bytes("XX5TEST1.000")


def _s101_cell() -> bytes:
    import shapely

    from tests.s101_writer import Cell

    box = shapely.box(10.0, 54.0, 10.1, 54.1)
    hole = shapely.box(10.04, 54.04, 10.06, 54.06)
    cell = Cell()
    cell.add("DataCoverage", box, maximumDisplayScale=12_000)
    cell.add("DepthArea", box.difference(hole), depthRangeMinimumValue=5.0)
    cell.add("DepthContour", shapely.LineString([(10.0, 54.0), (10.05, 54.02), (10.1, 54.0)]))
    cell.add("Sounding", [(10.01, 54.01, -1.2), (10.02, 54.02, 7.5)])
    cell.add("LateralBuoy", shapely.Point(10.05, 54.05), quality=4, categoryOfLateralMark=1)
    zones = [
        {"categoryOfZoneOfConfidenceInData": 4, "verticalUncertainty": {"uncertaintyFixed": 2}}
    ]
    cell.add("QualityOfBathymetricData", box, zoneOfConfidence=zones)
    span = cell.add(
        "SpanFixed",
        shapely.LineString([(10.0, 54.0), (10.1, 54.1)]),
        verticalClearanceFixed={"verticalClearanceValue": 3.0},
    )
    cell.add("Bridge", None, featureName={"name": "x"}, spans=[span])
    return cell.bytes()
