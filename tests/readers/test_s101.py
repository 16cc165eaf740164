"""S-101 cells written for the test: names of both editions, complex attributes, datums, updates."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.areas import AreaKind
from routecheck.model.chart import Chart, Severity
from routecheck.model.errors import BadInput
from routecheck.model.objects import DangerKind, MarkKind
from routecheck.readers.folder import read_charts
from routecheck.readers.s101 import read_cell
from tests.s101_writer import Cell

BOX = shapely.box(10.0, 54.0, 10.1, 54.1)
_ORDER = ("WRECKS", "UWTROC", "OBSTRN")
AT = shapely.Point(10.05, 54.05)
LINE = shapely.LineString([(10.0, 54.05), (10.05, 54.06), (10.1, 54.05)])


def covered(**head: Any) -> Cell:
    cell = Cell(**head)
    cell.add("DataCoverage", BOX, maximumDisplayScale=12_000, minimumDisplayScale=45_000)
    return cell


def read(tmp_path: Path, cell: Cell, name: str = "101XX00TEST1.000") -> Chart:
    path = tmp_path / name
    path.write_bytes(cell.bytes(name))
    return read_cell(path)


def one(tmp_path: Path, cls: str, shape: Any, **values: Any) -> Chart:
    cell = covered()
    cell.add(cls, shape, **values)
    return read(tmp_path, cell)


@pytest.mark.parametrize("curly", [False, True])
def test_the_head(tmp_path: Path, curly: bool) -> None:
    chart = read(tmp_path, covered(edition="3.2", curly=curly))
    source = chart.source
    assert (source.format, source.edition, source.updates) == ("S-101", "3", 2)
    assert (source.issued, source.datum, source.scale) == ("2027-01-02", "LAT", 22_000.0)
    assert chart.coverage[0].covered
    assert chart.problems == ()


@pytest.mark.parametrize(
    ("cls", "values", "kind"),
    [
        ("BuoyLateral", {"categoryOfLateralMark": 1}, MarkKind.PORT_HAND),
        ("LateralBuoy", {"categoryOfLateralMark": 2}, MarkKind.STARBOARD_HAND),
        ("LateralBeacon", {"categoryOfLateralMark": None}, MarkKind.LATERAL),
        ("BeaconCardinal", {"categoryOfCardinalMark": 3}, MarkKind.SOUTH),
        ("BeaconCardinal", {"categoryOfCardinalMark": None}, MarkKind.CARDINAL),
        ("CardinalBuoy", {"categoryOfCardinalMark": 9}, MarkKind.CARDINAL),
        ("CardinalBuoy", {"categoryOfCardinalMark": 4}, MarkKind.WEST),
        ("SafeWaterBuoy", {}, MarkKind.SAFE_WATER),
        ("BuoyIsolatedDanger", {}, MarkKind.ISOLATED_DANGER),
        ("SpecialPurposeGeneralBeacon", {}, MarkKind.SPECIAL),
        ("EmergencyWreckMarkingBuoy", {}, MarkKind.EMERGENCY_WRECK),
    ],
)
def test_marks_by_their_names_of_both_editions(
    tmp_path: Path, cls: str, values: dict[str, Any], kind: MarkKind
) -> None:
    (mark,) = one(tmp_path, cls, AT, **values).marks
    assert mark.kind is kind
    assert mark.floating is ("Beacon" not in cls)


def test_what_a_mark_says(tmp_path: Path) -> None:
    (mark,) = one(
        tmp_path,
        "LateralBuoy",
        AT,
        categoryOfLateralMark=3,
        colour=[4, 3, 4],
        marksNavigationalSystemOf=1,
        featureName={"name": "No 2", "displayName": "true"},
        topmark={"topmarkDaymarkShape": 1, "colour": 4},
    ).marks
    assert (mark.name, mark.colours, mark.region) == ("No 2", ("green", "red", "green"), "A")
    assert mark.top_mark == "cone, point up, green"


def test_a_light_of_sectors_is_told_with_all_of_them(tmp_path: Path) -> None:
    cell = covered()
    cell.add("LateralBeacon", AT, categoryOfLateralMark=1)

    def limits(one: float, two: float) -> dict[str, Any]:
        return {
            "sectorLimitOne": {"sectorBearing": one},
            "sectorLimitTwo": {"sectorBearing": two},
        }

    sectors = [
        {"colour": 3, "valueOfNominalRange": 5, "sectorLimit": limits(10, 100)},
        {"colour": 4, "valueOfNominalRange": 4, "sectorLimit": limits(100, 190)},
    ]
    cell.add(
        "LightSectored",
        AT,
        sectorCharacteristics={"lightCharacteristic": 2, "lightSector": sectors},
    )
    (mark,) = read(tmp_path, cell).marks
    assert "red" in mark.light and "010° to 100°" in mark.light
    assert "green" in mark.light and "100° to 190°" in mark.light


def test_depths(tmp_path: Path) -> None:
    cell = covered()
    cell.add("DepthArea", BOX, depthRangeMinimumValue=-2.5, depthRangeMaximumValue=0.0)
    cell.add("DredgedArea", BOX, depthRangeMinimumValue=None, qualityOfVerticalMeasurement=[11, 10])
    cell.add("DepthContour", LINE, valueOfDepthContour=5.0)
    cell.add("Sounding", [(10.01, 54.01, -1.2), (10.02, 54.02, 7.5)])
    cell.add("Sounding", [(10.03, 54.03, 3.0)], qualityOfVerticalMeasurement=3)
    cell.add("DepthNoBottomFound", [(10.04, 54.04, 60.0)])
    cell.add("UnsurveyedArea", BOX)
    chart = read(tmp_path, cell)
    drying, dredged = chart.depth_areas
    assert (drying.charted_depth_m, drying.deep_end_m) == (-2.5, 0.0)
    assert (dredged.charted_depth_m, dredged.unreliable) == (None, True)
    assert [line.charted_depth_m for line in chart.contours] == [5.0]
    told = [(s.charted_depth_m, s.unreliable, s.no_bottom) for s in chart.soundings]
    assert told == [
        (-1.2, False, False),
        (7.5, False, False),
        (3.0, True, False),
        (60.0, False, True),
    ]
    assert len(chart.unsurveyed) == 1


def test_a_depth_that_is_no_number_is_told(tmp_path: Path) -> None:
    chart = one(tmp_path, "DepthArea", BOX, depthRangeMinimumValue="deep")
    assert chart.depth_areas[0].charted_depth_m is None
    assert "DRVAL1" in chart.problems[0].text


def test_the_least_depth_of_a_berth(tmp_path: Path) -> None:
    (sill,) = one(tmp_path, "Berth", BOX, minimumBerthDepth=1.5).dangers
    assert sill.charted_depth_m == 1.5


def test_dangers(tmp_path: Path) -> None:
    cell = covered()
    cell.add("Wreck", AT, categoryOfWreck=2, waterLevelEffect=3, valueOfSounding=None)
    cell.add("UnderwaterAwashRock", AT, waterLevelEffect=4, valueOfSounding=-0.3)
    cell.add("Obstruction", BOX, categoryOfObstruction=6, waterLevelEffect=3)
    cell.add("FoulGround", AT, waterLevelEffect=3)
    doubt = {"uncertaintyFixed": 0.5, "uncertaintyVariableFactor": 0.1}
    cell.add("Wreck", AT, valueOfSounding=8.0, waterLevelEffect=3, verticalUncertainty=doubt)
    dangers = read(tmp_path, cell).dangers
    wreck, known, rock, area, foul = sorted(dangers, key=lambda one: _ORDER.index(one.cls))
    assert (wreck.kind, wreck.charted_depth_m, wreck.dangerous) == (DangerKind.WRECK, None, True)
    assert (rock.charted_depth_m, rock.uncovers) == (-0.3, True)
    assert area.geometry.geom_type == "Polygon"
    assert (foul.kind, foul.dangerous) == (DangerKind.FOUL_GROUND, False)
    assert known.depth_uncertainty_m == pytest.approx(0.5 + 0.1 * 8.0)


def test_spans_take_their_bridges_kind_and_name(tmp_path: Path) -> None:
    cell = covered()
    fixed = cell.add(
        "SpanFixed",
        LINE,
        verticalClearanceFixed={"verticalClearanceValue": 3},
        horizontalClearanceFixed={"horizontalClearanceValue": 12},
        verticalDatum=17,
    )
    opening = cell.add("SpanOpening", LINE, verticalClearanceClosed={"verticalClearanceValue": 2.1})
    cell.add("Bridge", None, featureName={"name": "Old Bridge"}, spans=[fixed, opening])
    first, second = read(tmp_path, cell).spans
    assert (first.vertical_clearance_m, first.opens, first.name) == (3.0, False, "Old Bridge")
    assert first.clearance_datum == "MHWS"
    assert (second.vertical_clearance_closed_m, second.opens) == (2.1, True)


def test_a_bridge_without_place_and_spans_is_told(tmp_path: Path) -> None:
    chart = one(tmp_path, "Bridge", None)
    assert [p.severity for p in chart.problems] == [Severity.NOT_ASSESSED]


def test_quality_counts_the_worst_of_its_zones(tmp_path: Path) -> None:
    stated = {"uncertaintyFixed": 0.5, "uncertaintyVariableFactor": 0.01}
    zones = [
        {"categoryOfZoneOfConfidenceInData": 1, "verticalUncertainty": stated},
        {"categoryOfZoneOfConfidenceInData": 4},
    ]
    (zone,) = one(tmp_path, "QualityOfBathymetricData", BOX, zoneOfConfidence=zones).quality_zones
    assert (zone.catzoc, zone.depth_uncertainty_m) == (4, None)


def test_direction_of_buoyage_is_a_feature_of_its_own(tmp_path: Path) -> None:
    cell = covered()
    cell.add("NavigationalSystemOfMarks", BOX, marksNavigationalSystemOf=2)
    cell.add("LocalDirectionOfBuoyage", BOX, marksNavigationalSystemOf=2, orientationValue=345.0)
    region, local = read(tmp_path, cell).buoyage_zones
    assert (region.region, region.direction_of_buoyage_deg) == ("B", None)
    assert (local.region, local.direction_of_buoyage_deg) == ("B", 345.0)


def test_areas_and_seasons(tmp_path: Path) -> None:
    cell = covered()
    season = {"dateStart": "----0401", "dateEnd": "----0930"}
    cell.add("RestrictedAreaNavigational", BOX, restriction=[7, 1], periodicDateRange=season)
    cell.add(
        "RestrictedArea", BOX, restriction=8, periodicDateRange=[season, {"dateStart": "----1101"}]
    )
    cell.add("SeparationZoneOrLine", LINE)
    cell.add("SeparationZoneOrLine", BOX, information={"text": "keep out", "language": "eng"})
    once, always, line, zone = read(tmp_path, cell).areas
    assert (once.restrictions, once.period.season_start) == ((7, 1), "--0401")
    assert (always.restrictions, always.period.season_start) == ((8,), "")
    assert (line.kind, zone.kind) == (AreaKind.SEPARATION_LINE, AreaKind.SEPARATION_ZONE)
    assert zone.information == "keep out"


def test_a_class_that_no_one_knows_is_kept_by_its_name(tmp_path: Path) -> None:
    chart = one(tmp_path, "DiscolouredWater", BOX)
    (unknown,) = chart.unknown
    assert (unknown.cls, "DiscolouredWater" in unknown.why) == ("DiscolouredWater", True)
    assert chart.harmless.get("DiscolouredWater") is None


def test_harmless_features_are_counted(tmp_path: Path) -> None:
    chart = one(tmp_path, "SeabedArea", BOX)
    assert chart.harmless == {"SBDARE": 1}
    (area,) = one(tmp_path, "SeabedArea", BOX, restriction=7).areas  # entry prohibited
    assert area.restrictions == (7,)


def test_positions_that_are_approximate(tmp_path: Path) -> None:
    cell = covered()
    cell.add("Wreck", AT, waterLevelEffect=3, quality=4)
    assert read(tmp_path, cell).dangers[0].position_uncertainty_m == 500.0  # common practice


def test_datums(tmp_path: Path) -> None:
    cell = covered(datum="12")
    cell.add("SoundingDatum", BOX, verticalDatum=23)
    cell.add("VerticalDatumOfData", BOX, verticalDatum=16)
    cell.add("SpanFixed", LINE, verticalClearanceFixed={"verticalClearanceValue": 9})
    chart = read(tmp_path, cell)
    assert chart.source.datum == "MLLW"
    assert chart.datum_zones[0].datum == "LAT"
    assert chart.spans[0].clearance_datum == "MHW"


def test_a_cell_with_updates_beside_it_is_never_current(tmp_path: Path) -> None:
    (tmp_path / "101XX00TEST1.001").write_bytes(covered(profile="2").bytes())
    path = tmp_path / "101XX00TEST1.000"
    path.write_bytes(covered().bytes())
    (problem,) = read_charts([tmp_path]).charts[0].problems
    assert "101XX00TEST1.001" in problem.text and "out of date" in problem.text
    assert (problem.severity, problem.bounds) == (Severity.NOT_ASSESSED, None)


@pytest.mark.parametrize(
    ("head", "wrong"),
    [
        ({"profile": "2"}, "an update of a cell"),
        ({"product": "INT.IHO.S-121.1.0"}, "no S-101 cell"),
        ({"horizontal": "32631"}, "WGS 84"),
    ],
)
def test_what_is_refused(tmp_path: Path, head: dict[str, Any], wrong: str) -> None:
    cell = covered(**head)
    if "horizontal" in head:
        path = tmp_path / "a.000"
        path.write_bytes(cell.bytes().replace(b"WGS84", b"ED50 "))
        with pytest.raises(BadInput, match=wrong):
            read_cell(path)
        return
    with pytest.raises(BadInput, match=wrong):
        read(tmp_path, cell)


def test_soundings_that_are_heights_or_in_feet_are_refused(tmp_path: Path) -> None:
    for axis in ((11, 4), (12, 5)):
        cell = covered(axis=axis)
        cell.add("Sounding", [(10.01, 54.01, -1.2)])
        with pytest.raises(BadInput, match="not stated to be depths in metres"):
            read(tmp_path, cell)
