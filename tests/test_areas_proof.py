"""Every class of feature that a route check must know: across the route, just outside the
corridor, and within its position uncertainty, from an S-57 cell to the report.

Classes and attributes: IHO S-57 edition 3.1, appendix A; areas with special conditions: IMO Res.
MSC.232(82), appendix 4. Position uncertainty of what is drawn: 0.5 mm at the scale (common
practice), 10 m at 1:20,000; of underwater dangers CATZOC B, 50 m (S-57 attribute 72).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pyproj
import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet, Severity
from routecheck.model.finding import Finding, Report
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.readers.s57 import read_cell
from tests.s57_writer import Cell

HALF_M, DRAWN_M, ZONE_B_M = 100.0, 10.0, 50.0
DANGER, CAUTION, NOTE = Severity.DANGER, Severity.CAUTION, Severity.NOTE
BLIND = Severity.NOT_ASSESSED
GEOD = pyproj.Geod(ellps="WGS84")
STEP_DEG, SIZE_DEG = 0.02, 0.002
SOUTH_DEG, WEST_DEG, EAST_DEG = 54.0, 10.0, 10.1


@dataclass(frozen=True)
class Case:
    """One feature. `across` is the worst severity with the feature on the route, `near` within
    its position uncertainty (None: nothing). The track runs east."""

    cls: str
    values: dict[str, Any]
    across: Severity
    near: Severity | None = CAUTION
    shape: str = "area"
    belt_m: float = DRAWN_M
    says: str = ""

    def __str__(self) -> str:
        return "-".join([self.cls, *(f"{k}{v}" for k, v in self.values.items())])


CASES = (
    # restricted and prohibited areas, areas to be avoided, PSSA
    Case("RESARE", {"RESTRN": "7"}, DANGER, says="entry prohibited"),
    Case("RESARE", {"RESTRN": "1,8"}, CAUTION, says="entry restricted"),
    Case("RESARE", {"CATREA": "14"}, DANGER, says="minefield"),
    Case("RESARE", {"CATREA": "1"}, DANGER, says="safety zone"),
    Case("RESARE", {"RESTRN": "14"}, CAUTION, says="area to be avoided"),
    Case("RESARE", {"RESTRN": "14", "STATUS": "9"}, DANGER, says="area to be avoided"),
    Case("RESARE", {}, CAUTION),
    Case("RESARE", {"CATREA": "28", "RESTRN": "1"}, CAUTION, says="sensitive sea area"),
    Case("RESARE", {"RESTRN": "1,3"}, NOTE, None, says="anchoring prohibited"),
    Case("RESARE", {"RESTRN": "27"}, NOTE, None, says="speed restricted"),
    # the rest of appendix 4
    Case("CTNARE", {"INFORM": "Shoal reported"}, CAUTION, says="Shoal reported"),
    Case("CTNARE", {"INFORM": "Discoloured water"}, CAUTION, shape="point"),
    Case("MIPARE", {}, CAUTION),
    Case("OSPARE", {}, CAUTION),
    Case("SPLARE", {}, CAUTION),
    Case("SUBTLN", {}, CAUTION),
    Case("ACHARE", {}, CAUTION, says="at anchor"),
    Case("ACHARE", {}, CAUTION, shape="point"),
    Case("ACHBRT", {}, CAUTION, shape="point"),
    Case("MARCUL", {"WATLEV": 3}, DANGER, belt_m=ZONE_B_M, says="marine farm"),
    Case("MARCUL", {"VALSOU": 30, "WATLEV": 3}, CAUTION, belt_m=ZONE_B_M),
    # routeing
    Case("TSSLPT", {"ORIENT": 270}, DANGER, says="goes against it"),
    Case("TSSLPT", {"ORIENT": 30}, CAUTION, says="at a slant"),
    Case("TSSLPT", {}, BLIND, says="direction is not charted"),
    Case("TSEZNE", {}, CAUTION, says="crossed by the track"),
    Case("TSELNE", {}, CAUTION, shape="line"),
    Case("TSSCRS", {}, CAUTION),
    Case("TSSRON", {}, CAUTION),
    Case("PRCARE", {}, CAUTION, says="particular caution"),
    Case("ISTZNE", {}, CAUTION, says="length is not known"),
    Case("RECTRC", {"TRAFIC": 3, "ORIENT": 270}, CAUTION, shape="along", says="its one way"),
    Case("RCTLPT", {"ORIENT": 270}, CAUTION),
    Case("DWRTPT", {"TRAFIC": 4, "ORIENT": 90}, NOTE, None),
    # on the bed
    Case("CBLSUB", {}, NOTE, None, shape="line", says="Do not anchor"),
    Case("CBLARE", {"RESTRN": "1,6"}, NOTE, None),
    Case("PIPSOL", {}, NOTE, None, shape="line"),
    Case("PIPSOL", {"CATPIP": "2"}, CAUTION, shape="line", says="outfall"),
    Case("PIPARE", {}, NOTE, None),
    Case("DMPGRD", {"CATDPG": "5"}, CAUTION, says="Spoil"),
    Case("SNDWAV", {}, CAUTION),
    Case("OBSTRN", {"CATOBS": 5}, DANGER, belt_m=ZONE_B_M),  # fish haven
    Case("OBSTRN", {"CATOBS": 7, "WATLEV": 3}, CAUTION, belt_m=ZONE_B_M, says="Foul ground"),
    # unsurveyed areas
    Case("UNSARE", {}, BLIND),
    # pile and pontoon obstructions
    Case("PILPNT", {}, DANGER, shape="point"),
    Case("PONTON", {}, DANGER),
    # locks, gates, ferries
    Case("LOKBSN", {}, CAUTION, says="may be shut"),
    Case("GATCON", {"CATGAT": 4}, CAUTION, shape="line", says="may be shut"),
    Case("FERYRT", {"CATFRY": 2}, CAUTION, shape="line", says="cable"),
    Case("FERYRT", {"CATFRY": 1}, NOTE, None, shape="line", says="Ferries cross"),
    # others
    Case("ICEARE", {}, CAUTION),
    Case("WATTUR", {}, CAUTION, shape="point"),
    Case("FSHGRD", {}, NOTE, None),
)


def row_deg(case: Case) -> float:
    return SOUTH_DEG + STEP_DEG * (CASES.index(case) + 1)


def shape_of(case: Case) -> shapely.Geometry:
    lat, lon = row_deg(case), 10.05
    if case.shape == "point":
        return shapely.Point(lon, lat)
    if case.shape == "line":
        return shapely.LineString([(lon, lat - SIZE_DEG), (lon, lat + SIZE_DEG)])
    if case.shape == "along":
        return shapely.LineString([(lon - SIZE_DEG, lat), (lon + SIZE_DEG, lat)])
    return shapely.box(lon - SIZE_DEG, lat - SIZE_DEG, lon + SIZE_DEG, lat + SIZE_DEG)


@pytest.fixture(scope="module")
def chart(tmp_path_factory: pytest.TempPathFactory) -> Chart:
    north = SOUTH_DEG + STEP_DEG * (len(CASES) + 1)
    sea = shapely.box(WEST_DEG - 0.05, SOUTH_DEG, EAST_DEG + 0.05, north)
    holes = shapely.union_all([shape_of(case) for case in CASES if case.cls == "UNSARE"])
    cell = Cell(scale=20_000)
    cell.add("M_COVR", sea, CATCOV=1)
    cell.add("M_QUAL", sea, CATZOC=3)
    cell.add("DEPARE", sea.difference(holes), DRVAL1=50, DRVAL2=100)
    for case in CASES:
        cell.add(case.cls, shape_of(case), **case.values)
    return read_cell(cell.write(tmp_path_factory.mktemp("cell")))


def track(lat: float) -> Route:
    ends = [Waypoint(name=n, lon_deg=x, lat_deg=lat) for n, x in (("A", WEST_DEG), ("B", EAST_DEG))]
    return Route(name="east", file="east", legs=(Leg(number=1, start=ends[0], end=ends[1]),))


def report(chart: Chart, lat: float) -> Report:
    boat = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0, cross_track_m=HALF_M))
    return vet(track(lat), ChartSet(charts=(chart,)), boat).report


def told(chart: Chart, case: Case, off_m: float | None) -> list[Finding]:
    """Findings with the track through the feature (None), or so far south of it."""
    lat = row_deg(case)
    if off_m is not None:
        edge = shape_of(case).bounds[1]
        lat = GEOD.fwd(10.05, edge, 180.0, off_m)[1]
    return list(report(chart, lat).findings)


def worst(findings: list[Finding]) -> Severity | None:
    order = list(Severity)
    return min((f.severity for f in findings), key=order.index, default=None)


def test_the_cell_holds_nothing_that_is_not_judged(chart: Chart) -> None:
    assert chart.unknown == ()
    assert [p.text for p in chart.problems] == []


@pytest.mark.parametrize("case", CASES, ids=str)
def test_across_the_route(chart: Chart, case: Case) -> None:
    found = told(chart, case, None)
    assert worst(found) is case.across
    assert case.says in " ".join(f"{f.title} {f.explanation}" for f in found)
    own = [f for f in found if f.cls == case.cls]
    assert len(own) == (0 if case.cls == "UNSARE" else 1)  # a hole has no object


@pytest.mark.parametrize("case", CASES, ids=str)
def test_just_outside_the_corridor(chart: Chart, case: Case) -> None:
    assert told(chart, case, HALF_M + case.belt_m + 0.5) == []


@pytest.mark.parametrize("case", CASES, ids=str)
def test_within_the_position_uncertainty(chart: Chart, case: Case) -> None:
    for off_m in (HALF_M + 0.5, HALF_M + case.belt_m - 0.5):
        assert worst(told(chart, case, off_m)) is case.near
