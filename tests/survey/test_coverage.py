"""What counts where, over a whole set of charts, for the coverage map."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pyproj
import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.coverage import Coverage, Worth
from routecheck.model.objects import DatumZone, QualityZone
from routecheck.model.source import UNKNOWN_QUALITY, SourceKind
from routecheck.readers.folder import read_charts
from routecheck.survey.coverage import coverage
from tests.survey.charts import covered, depth_area, land, source, unsurveyed, zone
from tests.survey.memory_grid import MemoryGrid

SEA = shapely.box(10.0, 54.0, 10.4, 54.2)
WEST, EAST = shapely.box(10.0, 54.0, 10.2, 54.2), shapely.box(10.2, 54.0, 10.4, 54.2)
BARE = source("cell", quality=UNKNOWN_QUALITY)


def at(found: Coverage, lon: float, lat: float = 54.1) -> tuple[str, str]:
    """(source, worth or "land") of a place; ("", "") where nothing is charted."""
    here = [p for p in found.patches if p.geometry.contains(shapely.Point(lon, lat))]
    assert len(here) <= 1  # disjoint
    return (
        (here[0].source.id, "land" if here[0].land else here[0].worth.value) if here else ("", "")
    )


def cell(name: str, shape: shapely.Geometry, **more: object) -> Chart:
    facts = {"depth_areas": (depth_area("d", shape, 5.0, name),), "coverage": (covered(SEA, name),)}
    return Chart(source=replace(BARE, id=name), **{**facts, **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("catzoc", "worth"), [(1, "known"), (2, "known"), (3, "known"), (4, "rough"), (5, "unknown")]
)
def test_by_quality_zone(catzoc: int, worth: str) -> None:
    found = coverage(ChartSet(charts=(cell("a", SEA, quality_zones=(zone("q", WEST, catzoc),)),)))
    assert at(found, 10.1) == ("a", worth)
    assert at(found, 10.3) == ("a", "unknown")
    assert at(found, 11.0) == ("", "")


def test_a_worse_zone_on_top_of_a_better_one_counts() -> None:
    zones = (zone("q", SEA, 1), zone("r", EAST, 5))
    found = coverage(ChartSet(charts=(cell("a", SEA, quality_zones=zones),)))
    assert [at(found, lon)[1] for lon in (10.1, 10.3)] == ["known", "unknown"]


def test_holes_are_what_is_covered_without_a_depth() -> None:
    for chart in (
        cell("a", WEST),
        cell("a", SEA, unsurveyed=(unsurveyed("u", EAST),)),
        cell("a", WEST, depth_areas=(depth_area("d", WEST, 5.0), depth_area("b", EAST, None))),
        cell("a", SEA, depth_areas=(depth_area("d", SEA, 5.0), depth_area("b", EAST, None))),
    ):
        found = coverage(ChartSet(charts=(chart,)))
        assert [at(found, lon)[1] for lon in (10.1, 10.3)] == ["unknown", "hole"]


def test_another_source_fills_a_hole() -> None:
    charts = (cell("a", WEST), Chart(source=source("b", kind=SourceKind.VECTOR, scale=None),
              depth_areas=(depth_area("d", EAST, 5.0, "b"),)))  # fmt: skip
    assert at(coverage(ChartSet(charts=charts)), 10.3) == ("b", "known")


def test_the_larger_scale_counts_and_hides_even_a_better_survey() -> None:
    small = replace(cell("small", SEA), source=source("small", scale=90_000.0))
    large = replace(
        cell("large", WEST, coverage=(covered(WEST),)), source=replace(BARE, id="large")
    )
    found = coverage(ChartSet(charts=(small, large)))
    assert at(found, 10.1) == ("large", "unknown")
    assert at(found, 10.3) == ("small", "known")


def test_too_coarse_or_without_a_datum_comes_last() -> None:
    coarse = replace(cell("coarse", SEA), source=source("coarse", scale=500_000.0))
    floating = replace(
        cell("floating", SEA), source=source("floating", datum="unknown", kind=SourceKind.VECTOR)
    )
    assert at(coverage(ChartSet(charts=(coarse,))), 10.1) == ("coarse", "coarse")
    assert at(coverage(ChartSet(charts=(floating,))), 10.1) == ("floating", "no-datum")
    fine = cell("a", WEST, coverage=(covered(WEST, "a"),))
    found = coverage(ChartSet(charts=(floating, coarse, fine)))
    assert [at(found, lon) for lon in (10.1, 10.3)] == [("a", "unknown"), ("coarse", "coarse")]


def test_datum_zones() -> None:
    other = DatumZone(key="a/z", cls="M_SDAT", source="a", geometry=EAST, datum="MSL")
    found = coverage(ChartSet(charts=(cell("a", SEA, datum_zones=(other,)),)))
    assert [at(found, lon)[1] for lon in (10.1, 10.3)] == ["unknown", "no-datum"]


def test_land_and_the_year_of_the_survey() -> None:
    dated = QualityZone(key="a/q", cls="M_QUAL", source="a", geometry=WEST, catzoc=3, surveyed=1937)
    charts = cell("a", SEA, solids=(land("l", shapely.box(10.0, 54.0, 10.05, 54.2)),), quality_zones=(dated,))  # fmt: skip  # noqa: E501
    found = coverage(ChartSet(charts=(charts,)))
    assert at(found, 10.02) == ("a", "land")
    years = {(p.worth, p.year) for p in found.patches if not p.land}
    assert years == {(Worth.KNOWN, 1937), (Worth.UNKNOWN, None)}


def test_areas_are_true_areas() -> None:
    (patch,) = coverage(ChartSet(charts=(cell("a", SEA),))).patches
    true_m2 = abs(pyproj.Geod(ellps="WGS84").geometry_area_perimeter(SEA)[0])
    assert patch.area_m2 == pytest.approx(true_m2)


def test_what_proves_no_absence_covers_nothing() -> None:
    chart = replace(cell("osm", SEA, coverage=()), proves_absence=False)
    found = coverage(ChartSet(charts=(chart,)))
    assert found.patches == ()
    ((bare, sides),) = found.bare
    assert (bare.id, sides) == ("osm", SEA.bounds)


def test_holes_of_a_grid_are_found_by_tiles() -> None:
    depth = np.full((100, 200), 20.0)
    depth[:, 120] = np.nan
    depth[30, 20] = np.nan
    grid = MemoryGrid(depth, x=10.001, y=54.199, dx=0.002, dy=0.002)
    found = coverage(ChartSet(grids=(grid,)))
    hole = shapely.union_all([p.geometry for p in found.patches if p.worth is Worth.HOLE])
    rows, columns = np.nonzero(np.isnan(depth))
    lon, lat = grid.to_position(columns.astype(float), rows.astype(float))
    # Round against the boat: every hole lies in a tile that is told, few whole tiles do.
    assert shapely.contains_xy(hole, lon, lat).all()
    shown = shapely.union_all([p.geometry for p in found.patches])
    assert shown.area == pytest.approx(0.4 * 0.2, rel=1e-3)
    assert hole.area < 0.03 * shown.area


def test_a_real_cell(real_data: Path) -> None:
    found = coverage(read_charts([real_data / "s57_noaa_us4md81m" / "US4MD81M.000"]))
    qualities = {p.quality for p in found.patches if not p.land}
    # M_QUAL of the cell: CATZOC 1, 2, 3, 4 and 6 (GDAL's dump).
    assert {f"CATZOC {c}" for c in ("A1", "A2", "B", "C", "U (unassessed)")} <= qualities
    assert {p.datum for p in found.patches if not p.land} == {"MLLW"}
    shapes = [p.geometry for p in found.patches]
    together = shapely.union_all(shapes).area
    assert sum(s.area for s in shapes) == pytest.approx(together, rel=1e-3)
