"""What becomes of S-57 objects: depths, dangers, spans, marks, zones, and doubtful positions.

Codes of attributes and their meanings: IHO S-57 edition 3.1, appendix A, chapter 2.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.errors import BadInput
from routecheck.model.objects import DangerKind, MarkKind, SolidKind
from routecheck.readers.s57 import read_cell
from tests.s57_writer import Cell

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
POINT = shapely.Point(10.05, 54.05)
LINE = shapely.LineString([(10.0, 54.0), (10.05, 54.02), (10.1, 54.0)])


def one(folder: Path, cls: str | int, shape: Any, **values: Any) -> Chart:
    cell = Cell()
    cell.add(cls, shape, **values)
    return read_cell(cell.write(folder))


def test_a_blank_depth_area_is_a_hole(tmp_path: Path) -> None:
    (area,) = one(tmp_path, "DEPARE", HERE, DRVAL1="", DRVAL2="").depth_areas
    assert area.charted_depth_m is None


def test_drying_heights_are_negative_depths(tmp_path: Path) -> None:
    (area,) = one(tmp_path, "DEPARE", HERE, DRVAL1=-2.5, DRVAL2=0).depth_areas
    assert (area.charted_depth_m, area.deep_end_m) == (-2.5, 0.0)


def test_the_shoaler_end_counts_where_the_range_is_turned_round(tmp_path: Path) -> None:
    chart = one(tmp_path, "DEPARE", HERE, DRVAL1=10, DRVAL2=5)
    assert chart.depth_areas[0].charted_depth_m == 5.0
    assert chart.problems[0].severity is Severity.CAUTION


@pytest.mark.parametrize("value", ["99999", "1e300", "-13000"])
def test_an_absurd_depth_is_no_depth_and_told(tmp_path: Path, value: str) -> None:
    chart = one(tmp_path, "DEPARE", HERE, DRVAL1=value)
    assert chart.depth_areas[0].charted_depth_m is None
    (problem,) = chart.problems
    assert problem.severity is Severity.NOT_ASSESSED
    assert problem.bounds == HERE.bounds


def test_soundings_with_depth_and_quality(tmp_path: Path) -> None:
    places = [(10.01, 54.01, 3.4), (10.02, 54.02, -1.2)]
    for code, unreliable, no_bottom in (
        ("1", False, False),
        ("3", True, False),
        ("4", True, False),
    ):
        soundings = one(tmp_path, "SOUNDG", places, QUASOU=code).soundings
        assert [s.charted_depth_m for s in soundings] == [3.4, -1.2]
        assert {(s.unreliable, s.no_bottom) for s in soundings} == {(unreliable, no_bottom)}
        assert len({s.key for s in soundings}) == 2
    assert one(tmp_path, "SOUNDG", places, QUASOU="5").soundings[0].no_bottom


def test_a_contour_without_its_depth_is_left_out_and_told(tmp_path: Path) -> None:
    chart = one(tmp_path, "DEPCNT", LINE)
    assert not chart.contours
    assert [p.severity for p in chart.problems] == [Severity.NOTE]
    assert one(tmp_path, "DEPCNT", LINE, VALDCO=5).contours[0].charted_depth_m == 5.0


@pytest.mark.parametrize(
    ("cls", "values", "kind", "depth", "dangerous"),
    [
        ("UWTROC", {"VALSOU": 1.2, "WATLEV": 3}, DangerKind.ROCK, 1.2, True),
        ("UWTROC", {"WATLEV": 5}, DangerKind.ROCK, None, True),
        ("WRECKS", {"CATWRK": 1}, DangerKind.WRECK, None, False),
        ("WRECKS", {"CATWRK": 2}, DangerKind.WRECK, None, True),
        ("OBSTRN", {"CATOBS": 6}, DangerKind.OBSTRUCTION, None, True),
        ("OBSTRN", {"CATOBS": 7}, DangerKind.FOUL_GROUND, None, False),
        ("OBSTRN", {"VALSOU": 4, "QUASOU": "2"}, DangerKind.OBSTRUCTION, None, True),
        ("MARCUL", {"VALSOU": 3.6}, DangerKind.MARINE_FARM, 3.6, True),
        ("FSHFAC", {}, DangerKind.FISHING_GEAR, None, True),
        ("PIPSOL", {"DRVAL1": 3}, DangerKind.OBSTRUCTION, 3.0, True),
    ],
)
def test_dangers(
    tmp_path: Path, cls: str, values: Any, kind: DangerKind, depth: float | None, dangerous: bool
) -> None:
    (danger,) = one(tmp_path, cls, POINT, **values).dangers
    assert (danger.kind, danger.charted_depth_m, danger.dangerous) == (kind, depth, dangerous)


def test_a_danger_within_the_range_of_its_area_and_one_that_may_not_exist(tmp_path: Path) -> None:
    (danger,) = one(tmp_path, "OBSTRN", POINT, EXPSOU=1, STATUS="18", WATLEV=4).dangers
    assert danger.depth_in_area_range
    assert danger.unreliable
    assert danger.water_level == "covers and uncovers"


def test_spans_and_the_datum_of_their_clearance(tmp_path: Path) -> None:
    cell = Cell(vertical_datum=17)
    cell.add("M_VDAT", shapely.box(10.06, 54.0, 10.1, 54.1), VERDAT=3)
    cell.add("BRIDGE", shapely.LineString([(10.01, 54.0), (10.02, 54.1)]), VERCLR=9, CATBRG="1")
    cell.add("BRIDGE", shapely.LineString([(10.08, 54.0), (10.09, 54.1)]), VERCCL=2.5)
    cell.add("CBLOHD", shapely.LineString([(10.03, 54.0), (10.04, 54.1)]), VERDAT=16)
    cell.add("BRIDGE", shapely.LineString([(10.05, 54.0), (10.05, 54.1)]), CATBRG="6")
    chart = read_cell(cell.write(tmp_path))
    found = [
        (s.vertical_clearance_m, s.vertical_clearance_closed_m, s.clearance_datum)
        for s in chart.spans
    ]
    assert sorted(found, key=str) == [
        (9.0, None, "MHWS"),
        (None, 2.5, "MSL"),
        (None, None, "MHW"),
    ]
    (pontoon,) = chart.solids  # a pontoon bridge lies on the water
    assert pontoon.kind is SolidKind.STRUCTURE


@pytest.mark.parametrize(
    ("cls", "values", "kind"),
    [
        ("BOYLAT", {"CATLAM": 1}, MarkKind.PORT_HAND),
        ("BCNLAT", {"CATLAM": 2}, MarkKind.STARBOARD_HAND),
        ("BOYLAT", {"CATLAM": 3}, MarkKind.PREFERRED_TO_STARBOARD),
        ("BOYLAT", {"CATLAM": 4}, MarkKind.PREFERRED_TO_PORT),
        ("BOYLAT", {"COLOUR": "3"}, MarkKind.LATERAL),
        ("BOYCAR", {"CATCAM": 1}, MarkKind.NORTH),
        ("BCNCAR", {"CATCAM": 4}, MarkKind.WEST),
        ("BOYISD", {}, MarkKind.ISOLATED_DANGER),
    ],
)
def test_marks(tmp_path: Path, cls: str, values: Any, kind: MarkKind) -> None:
    (mark,) = one(tmp_path, cls, POINT, OBJNAM="Nine \x1b[31m", MARSYS=2, **values).marks
    assert (mark.kind, mark.region, mark.name) == (kind, "B", "Nine [31m")
    assert mark.floating is cls.startswith("BOY")


def test_colours_stand_top_to_bottom(tmp_path: Path) -> None:
    (mark,) = one(tmp_path, "BOYLAT", POINT, COLOUR="3,4,3", CATLAM=3).marks
    assert mark.colours == ("red", "green", "red")


@pytest.mark.parametrize("cls", ["BOYCAR", "BCNCAR"])
@pytest.mark.parametrize("values", [{}, {"CATCAM": 9}, {"CATCAM": 0}])
def test_a_cardinal_mark_without_its_quadrant_is_a_mark(
    tmp_path: Path, cls: str, values: dict[str, Any]
) -> None:
    chart = one(tmp_path, cls, POINT, COLOUR="2,6", **values)
    (mark,) = chart.marks
    assert (mark.kind, mark.colours) == (MarkKind.CARDINAL, ("black", "yellow"))
    assert not chart.unknown


def test_zones(tmp_path: Path) -> None:
    cell = Cell()
    cell.add("M_NSYS", HERE, MARSYS=1)
    cell.add("M_NSYS", HERE, ORIENT=360)
    cell.add("M_NSYS", HERE, MARSYS=9)
    cell.add("M_QUAL", HERE, CATZOC=3, SUREND="19980131")
    cell.add("M_QUAL", HERE)
    cell.add("M_SDAT", HERE, VERDAT=3)
    cell.add("M_COVR", HERE, CATCOV=2)
    cell.add("UNSARE", HERE)
    chart = read_cell(cell.write(tmp_path))
    found = [(z.region, z.direction_of_buoyage_deg) for z in chart.buoyage_zones]
    assert found == [("A", None), ("", 0.0), ("", None)]
    assert [z.catzoc for z in chart.quality_zones] == [3, None]
    assert [z.datum for z in chart.datum_zones] == ["MSL"]
    assert [z.covered for z in chart.coverage] == [False]
    assert len(chart.unsurveyed) == 1
    assert chart.source.surveyed == 1998


def test_an_approximate_position_is_500_m_but_not_of_a_buoy_that_swings(tmp_path: Path) -> None:
    assert one(tmp_path, "WRECKS", POINT, quapos=4).dangers[0].position_uncertainty_m == 500.0
    assert one(tmp_path, "WRECKS", POINT, quapos=1).dangers[0].position_uncertainty_m is None
    assert one(tmp_path, "COALNE", LINE, quapos=4).solids[0].position_uncertainty_m == 500.0
    assert one(tmp_path, "BOYLAT", POINT, quapos=4).marks[0].position_uncertainty_m is None
    assert one(tmp_path, "BOYLAT", POINT, quapos=5).marks[0].position_uncertainty_m == 500.0
    assert one(tmp_path, "BOYINB", POINT, quapos=4).solids[0].position_uncertainty_m is None
    assert one(tmp_path, "BCNLAT", POINT, quapos=4).marks[0].position_uncertainty_m == 500.0
    assert one(tmp_path, "DEPARE", HERE, quapos=4).depth_areas[0].position_uncertainty_m == 500.0


def test_a_doubtful_coast_does_not_make_the_areas_along_it_doubtful(real_data: Path) -> None:
    """Half of this cell's coast is marked approximate; the coast lines say so themselves."""
    chart = read_cell(real_data / "s57_noaa_us4md81m" / "US4MD81M.000")
    coast = [s for s in chart.solids if s.cls == "COALNE" and s.position_uncertainty_m]
    assert len(coast) > 800
    assert not [a for a in chart.depth_areas if a.position_uncertainty_m]
    assert not [u for u in chart.unknown if u.position_uncertainty_m]
    assert not [m for m in chart.marks if m.floating and m.position_uncertainty_m]


def test_a_point_on_two_nodes_is_told(tmp_path: Path) -> None:
    chart = one(tmp_path, "WRECKS", POINT, links=2)
    assert any("more places than one" in problem.text for problem in chart.problems)


def test_a_depth_on_another_datum_is_told(tmp_path: Path) -> None:
    chart = one(tmp_path, "DEPARE", HERE, DRVAL1=5, VERDAT=3)
    assert any("stands on MSL" in problem.text for problem in chart.problems)


@pytest.mark.parametrize(("unit", "metres"), [(1, 1.0), (3, 0.3048), (4, 1.8288)])
def test_units_of_depth(tmp_path: Path, unit: int, metres: float) -> None:
    # Feet and fathoms: NIST SP 811 (2008), Appendix B.8; DUNI: S-57 part 3, clause 7.3.2.1
    cell = Cell(depth_unit=unit)
    cell.add("DEPARE", HERE, DRVAL1=10)
    cell.add("SOUNDG", [(10.01, 54.01, 10.0)])
    chart = read_cell(cell.write(tmp_path))
    assert chart.depth_areas[0].charted_depth_m == pytest.approx(10 * metres)
    assert chart.soundings[0].charted_depth_m == pytest.approx(10 * metres)


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ({"depth_unit": 2}, "depths are in a unit that is not read"),
        ({"height_unit": 9}, "heights are in a unit that is not read"),
        ({"horizontal_datum": 5}, "not on WGS 84"),
        ({"purpose": 2}, "update 0 of a cell"),
    ],
)
def test_heads_that_are_refused(tmp_path: Path, head: Any, words: str) -> None:
    cell = Cell(**head)
    cell.add("DEPARE", HERE, DRVAL1=10)
    with pytest.raises(BadInput, match=words):
        read_cell(cell.write(tmp_path))


def test_an_object_that_is_missing_from_the_cell_is_told(tmp_path: Path) -> None:
    cell = Cell(stated=3)
    cell.add("DEPARE", HERE, DRVAL1=10)
    (problem,) = read_cell(cell.write(tmp_path)).problems
    assert problem.severity is Severity.NOT_ASSESSED
    assert "3 objects and has 1" in problem.text
