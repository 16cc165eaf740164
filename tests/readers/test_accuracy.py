"""Zones of the accuracy of positions, from files to objects and to the report.

IHO S-57 edition 3.1, appendix A: M_ACCY, POSACC 401 (metres); S-101:
QualityOfNonBathymetricData, horizontalPositionUncertainty.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.objects import Solid, SolidKind
from routecheck.readers.accuracy import IN_ZONES, with_zones
from routecheck.readers.s57 import read_cell
from tests.readers.test_s101 import AT, BOX, covered
from tests.readers.test_s101 import read as read_s101
from tests.readers.test_vector import read as read_vector
from tests.s57_writer import Cell
from tests.test_areas_proof import GEOD, HALF_M, report

LAT, LON = 54.0, 10.05
SEA = shapely.box(9.9, 53.9, 10.2, 54.1)
STATED = {"class": "M_ACCY", "geometry": SEA}
LAND = {"class": "LNDARE", "geometry": shapely.box(10.0, 54.0, 10.1, 54.05)}


def zone(**values: Any) -> dict[str, Any]:
    return {**STATED, **values}


def land_m(chart: Chart) -> float | None:
    (land,) = chart.solids
    return land.position_uncertainty_m


def beside(cls: str, values: dict[str, Any]) -> tuple[str, Any, dict[str, Any]]:
    """An object 278 m outside the corridor, south of a track that runs east."""
    south = GEOD.fwd(LON, LAT, 180.0, HALF_M + 278.0)[1]
    shapes: dict[str, Any] = {
        **dict.fromkeys(("LNDARE", "RESARE"), shapely.box(10.04, south - 0.002, 10.06, south)),
        "BRIDGE": shapely.LineString([(10.04, south), (10.06, south)]),
    }
    return cls, shapes.get(cls, shapely.Point(LON, south)), values


@pytest.mark.parametrize("posacc", [None, 100, 500])
@pytest.mark.parametrize(
    ("thing", "check"),
    [
        (beside("LNDARE", {}), "land-in-the-way"),
        (beside("RESARE", {"RESTRN": "7"}), "entry-prohibited"),
        (beside("BRIDGE", {"VERCLR": 3, "VERDAT": 30}), "span-overhead"),
        (beside("UWTROC", {"VALSOU": 1.0, "WATLEV": 3}), "underwater-danger"),
        (beside("PILPNT", {}), "land-in-the-way"),
    ],
)
def test_what_may_reach_the_corridor_is_told(
    tmp_path: Path, thing: tuple[str, Any, dict[str, Any]], check: str, posacc: float | None
) -> None:
    cell = Cell(scale=20_000)
    for cls, values in (("M_COVR", {"CATCOV": 1}), ("M_QUAL", {"CATZOC": 1})):
        cell.add(cls, SEA, **values)
    cell.add("DEPARE", SEA, DRVAL1=20, DRVAL2=60)
    cell.add("M_ACCY", SEA, **({} if posacc is None else {"POSACC": posacc}))
    cell.add(thing[0], thing[1], **thing[2])
    found = report(read_cell(cell.write(tmp_path)), LAT).findings
    # Nobody says how high the boat's mast is.
    told = Severity.NOT_ASSESSED if check == "span-overhead" else Severity.CAUTION
    wanted = [(check, told)] if posacc == 500 else []
    assert [(f.check, f.severity) for f in found] == wanted


@pytest.mark.parametrize(
    ("own", "stated", "counts_m"),
    [(None, 500, 500.0), (50, 500, 500.0), (500, 50, 500.0), (None, "300", 300.0), (None, 0, None)],
)
def test_the_worse_counts(tmp_path: Path, own: Any, stated: Any, counts_m: float | None) -> None:
    chart = read_vector(tmp_path, {**LAND, "POSACC": own}, zone(POSACC=stated))
    assert land_m(chart) == counts_m
    assert chart.problems == ()


@pytest.mark.parametrize(("stated", "counts_m"), [(20, None), (25, None), (30, 30.0)])
def test_it_is_no_better_than_the_charts_scale(
    tmp_path: Path, stated: float, counts_m: float | None
) -> None:
    cell = Cell(scale=50_000)  # 25 m
    cell.add("LNDARE", LAND["geometry"])
    cell.add("M_ACCY", SEA, POSACC=stated)
    assert land_m(read_cell(cell.write(tmp_path))) == counts_m


@pytest.mark.parametrize("turn_deg", [-360.0, 0.0, 360.0])
@pytest.mark.parametrize(
    "shape",
    [
        shapely.Point(179.9, 54.0),
        shapely.LineString([(179.8, 54.0), (179.9, 54.0)]),
        shapely.box(179.8, 54.0, 179.9, 54.1),
    ],
)
def test_what_touches_the_zone_however_longitudes_are_written(shape: Any, turn_deg: float) -> None:
    pile = Solid(kind=SolidKind.STRUCTURE, key="c/x/1", cls="PILPNT", source="c", geometry=shape)
    for west_deg, counts_m in ((179.89, 400.0), (179.91, None)):
        edge = shapely.box(west_deg + turn_deg, 53.9, west_deg + turn_deg + 0.1, 54.1)
        for field in IN_ZONES:
            (held,) = with_zones({field: (pile,)}, [(edge, 400.0)], 10.0)[field]
            assert held.position_uncertainty_m == counts_m


def test_of_two_zones_the_worse_counts(tmp_path: Path) -> None:
    assert land_m(read_vector(tmp_path, zone(POSACC=80), dict(LAND), zone(POSACC=60))) == 80.0


def test_a_mark_drawn_wide_lies_in_a_zone_that_its_outline_touches(tmp_path: Path) -> None:
    mark = {"class": "BOYLAT", "CATLAM": 1, "geometry": shapely.box(10.205, 54.0, 10.211, 54.003)}
    (held,) = read_vector(tmp_path, mark, zone(POSACC=400)).marks
    assert held.position_uncertainty_m is None
    (held,) = read_vector(tmp_path, {**mark, "geometry": shapely.box(10.199, 54.0, 10.206, 54.003)},
                          zone(POSACC=400)).marks  # fmt: skip
    assert held.position_uncertainty_m == 400.0


def test_depths_have_zones_of_their_own(tmp_path: Path) -> None:
    water = {"class": "DEPARE", "DRVAL1": 5.0, "DRVAL2": 10.0, "geometry": SEA}
    chart = read_vector(tmp_path, water, zone(POSACC=400))
    assert chart.depth_areas[0].position_uncertainty_m is None


@pytest.mark.parametrize("stated", ["about 50", -5, 1e9])
def test_a_figure_that_is_none_is_told(tmp_path: Path, stated: Any) -> None:
    chart = read_vector(tmp_path, dict(LAND), zone(POSACC=stated))
    (problem,) = chart.problems
    assert "is no accuracy in metres and was left out" in problem.text
    assert problem.severity is Severity.NOT_ASSESSED
    assert (problem.bounds, land_m(chart)) == (SEA.bounds, None)


def test_a_zone_without_it_changes_nothing(tmp_path: Path) -> None:
    chart = read_vector(tmp_path, dict(LAND), zone(SOUACC=3))
    assert (chart.problems, land_m(chart)) == ((), None)
    assert chart.harmless == {"M_ACCY": 1}


def test_one_that_is_no_area_is_not_judged(tmp_path: Path) -> None:
    chart = read_vector(tmp_path, zone(POSACC=400, geometry=shapely.Point(10.0, 54.0)))
    assert "M_ACCY as Point" in chart.unknown[0].why


@pytest.mark.parametrize(("stated", "counts_m"), [("400", 400.0), ("far", None)])
def test_in_s101(tmp_path: Path, stated: str, counts_m: float | None) -> None:
    cell = covered()
    far = {"uncertaintyFixed": stated}
    cell.add("QualityOfNonBathymetricData", BOX, horizontalPositionUncertainty=far)
    cell.add("Pile", AT)
    chart = read_s101(tmp_path, cell)
    assert land_m(chart) == counts_m
    assert [p.text.count("POSACC 'far' is no accuracy") for p in chart.problems] == (
        [] if counts_m else [1]
    )
