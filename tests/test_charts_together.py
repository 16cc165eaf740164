"""Several charts of one water: overlaps, disagreements, holes, edges, usage bands, end to end.

S-57 cells of different scales; GeoJSON files with contours or soundings alone.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import Report, Verdict
from routecheck.readers.folder import read_charts
from tests.s57_writer import Cell
from tests.test_areas_proof import DANGER, HALF_M, track

SEA = shapely.box(9.9, 53.9, 10.2, 54.1)
WEST, EAST = shapely.box(9.9, 53.9, 10.05, 54.1), shapely.box(10.05, 53.9, 10.2, 54.1)
BOAT = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0, cross_track_m=HALF_M))


def cell(
    folder: Path,
    name: str,
    area: shapely.Geometry,
    depths: tuple[float, float],
    *,
    scale: int = 20_000,
    cover: shapely.Geometry | None = None,
) -> None:
    made = Cell(scale=scale)
    made.add("M_COVR", cover or area, CATCOV=1)
    made.add("M_QUAL", cover or area, CATZOC=3)
    made.add("DEPARE", area, DRVAL1=depths[0], DRVAL2=depths[1])
    made.write(folder, name)


def report(folder: Path, lat: float = 54.0) -> Report:
    return vet(track(lat), read_charts([folder]), BOAT).report


def severities(found: Report, check: str) -> list[Severity]:
    return [f.severity for f in found.findings if f.check == check]


# Overlaps and disagreements.


@pytest.mark.parametrize(
    ("other", "scale", "told"),
    [
        ((30.0, 50.0), 20_000, True),
        ((30.0, 50.0), 90_000, True),  # of another usage band
        ((10.0, 20.0), 20_000, False),
        ((20.0, 30.0), 90_000, False),  # they meet at 20 m
        ((21.0, 30.0), 20_000, False),  # 1 m: within 1 m + 2 % of each, CATZOC B
        ((23.0, 30.0), 20_000, True),  # 3 m: beyond 1.40 m and 1.46 m together
        ((30.0, 50.0), 500_000, False),  # too coarse to say anything
    ],
)
def test_cells_that_contradict_each_other(
    tmp_path: Path, other: tuple[float, float], scale: int, told: bool
) -> None:
    cell(tmp_path, "AA5ONE", SEA, (10.0, 20.0))
    cell(tmp_path, "AA5TWO", SEA, other, scale=scale)
    notes = [f for f in report(tmp_path).findings if f.check == "sources-disagree"]
    assert len(notes) == told
    if told:
        assert notes[0].severity is Severity.NOTE
        assert notes[0].sums["shoaler_depth_m"] == 20.0
        assert notes[0].sums["deeper_depth_m"] == other[0]
        assert "AA5ONE.000 shows 20.0 m where AA5TWO.000" in notes[0].title


def test_cells_that_only_meet_do_not_disagree(tmp_path: Path) -> None:
    cell(tmp_path, "AA5ONE", WEST, (10.0, 20.0))
    cell(tmp_path, "AA5TWO", EAST, (30.0, 50.0))
    assert severities(report(tmp_path), "sources-disagree") == []


def test_a_strip_no_wider_than_the_scales_can_draw_is_no_disagreement(tmp_path: Path) -> None:
    # 10 m on each chart at 1:20,000; 0.0001 degrees of longitude are 6.5 m here.
    cell(tmp_path, "AA5ONE", WEST, (10.0, 20.0))
    cell(tmp_path, "AA5TWO", shapely.box(10.0499, 53.9, 10.2, 54.1), (30.0, 50.0))
    assert severities(report(tmp_path), "sources-disagree") == []


@pytest.mark.parametrize(("large_m", "small_m", "danger"), [(2.0, 30.0, True), (30.0, 2.0, False)])
def test_the_larger_scale_counts(
    tmp_path: Path, large_m: float, small_m: float, danger: bool
) -> None:
    cell(tmp_path, "AA5LARGE", SEA, (large_m, large_m + 8.0))
    cell(tmp_path, "AA3SMALL", SEA, (small_m, small_m + 8.0), scale=90_000)
    found = report(tmp_path)
    assert (DANGER in severities(found, "too-little-water")) is danger
    assert severities(found, "sources-disagree") == [Severity.NOTE]


def test_of_two_cells_of_one_scale_neither_hides_the_other(tmp_path: Path) -> None:
    cell(tmp_path, "AA5ONE", SEA, (30.0, 50.0))
    cell(tmp_path, "AA5TWO", SEA, (2.0, 5.0))
    assert DANGER in severities(report(tmp_path), "too-little-water")


# Holes, edges, several usage bands.


def test_a_smaller_scale_fills_what_the_larger_leaves(tmp_path: Path) -> None:
    cell(tmp_path, "AA5LARGE", WEST, (30.0, 50.0))
    assert report(tmp_path).verdict is Verdict.INCOMPLETE
    cell(tmp_path, "AA3SMALL", SEA, (20.0, 30.0), scale=90_000)
    assert report(tmp_path).verdict is Verdict.NO_HAZARD_FOUND


def test_a_hole_and_the_edge_of_coverage_are_told_where_they_lie(tmp_path: Path) -> None:
    cell(tmp_path, "AA5LARGE", WEST, (30.0, 50.0), cover=SEA)
    gaps = [f for f in report(tmp_path).findings if f.check == "water-not-covered"]
    assert gaps
    assert all(f.severity is Severity.NOT_ASSESSED for f in gaps)
    # The western half of the leg is covered: the hole begins half-way, at 3,280 m.
    assert min(f.along_m for f in gaps) == pytest.approx(3280.0, abs=15.0)


# Contours alone, soundings alone.


def features(path: Path, *rows: tuple[str, shapely.Geometry, dict[str, Any]]) -> None:
    made = [
        {
            "type": "Feature",
            "properties": {"class": cls, **values},
            "geometry": shapely.geometry.mapping(shape),
        }
        for cls, shape, values in rows
    ]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": made}), encoding="utf-8")
    sidecar = 'datum = "LAT"\nvertical_uncertainty = "0.1 m"\nhorizontal_uncertainty = "5 m"\n'
    path.with_name(f"{path.name}.toml").write_text(sidecar, encoding="utf-8")


def parallel(lat: float) -> shapely.LineString:
    return shapely.LineString([(9.9, lat), (10.2, lat)])


def contours(folder: Path, *lats_and_depths: tuple[float, float]) -> None:
    rows = [("DEPCNT", parallel(lat), {"VALDCO": depth}) for lat, depth in lats_and_depths]
    features(folder / "contours.geojson", *rows)


@pytest.mark.parametrize("depths", [(2.0, 30.0), (30.0, 2.0)])
def test_between_two_contours_nothing_is_interpolated(
    tmp_path: Path, depths: tuple[float, float]
) -> None:
    # 1.1 km apart, the track half-way between: interpolated it would have 16 m; the boat needs 3.
    contours(tmp_path, (53.995, depths[0]), (54.005, depths[1]))
    found = report(tmp_path)
    (danger,) = [f for f in found.findings if f.check == "too-little-water"]
    assert danger.severity is DANGER
    assert danger.sums["charted_depth_m"] == 2.0
    assert Severity.NOT_ASSESSED in severities(found, "water-not-covered")
    # Beyond the deeper one nothing is known; beyond the shoaler one neither.
    beyond = report(tmp_path, 53.99 if depths[0] == 30.0 else 54.01)
    assert severities(beyond, "too-little-water") == []
    assert beyond.verdict is Verdict.INCOMPLETE


def test_rings_within_rings(tmp_path: Path) -> None:
    middle = shapely.Point(10.05, 54.0)
    rings = [
        (shapely.LineString(middle.buffer(radius).exterior), depth)
        for radius, depth in ((0.04, 30.0), (0.03, 20.0), (0.02, 10.0), (0.008, 2.0))
    ]
    features(tmp_path / "c.geojson", *(("DEPCNT", ring, {"VALDCO": d}) for ring, d in rings))
    # 0.009 north of the middle: between 10 m and 2 m; 0.025: between 20 m and 10 m.
    assert DANGER in severities(report(tmp_path, 54.010), "too-little-water")
    assert severities(report(tmp_path, 54.025), "too-little-water") == []
    assert report(tmp_path, 54.025).verdict is Verdict.INCOMPLETE


def test_a_shoal_contour_in_the_corridor_is_a_danger(tmp_path: Path) -> None:
    contours(tmp_path, (54.0005, 2.0), (54.005, 30.0))  # 56 m off the track
    found = report(tmp_path)
    assert DANGER in severities(found, "too-little-water")
    contours(tmp_path, (54.0005, 30.0), (54.005, 20.0))
    found = report(tmp_path)
    assert severities(found, "too-little-water") == []
    assert found.verdict is Verdict.INCOMPLETE  # a deep contour clears nothing


def test_deep_contours_on_both_sides_clear_nothing(tmp_path: Path) -> None:
    contours(tmp_path, (53.9995, 30.0), (54.0005, 30.0))
    assert report(tmp_path).verdict is Verdict.INCOMPLETE


@pytest.mark.parametrize("depth_m", [2.0, 30.0])
def test_soundings_alone_clear_nothing(tmp_path: Path, depth_m: float) -> None:
    spots = [shapely.Point(10.0 + i / 1000, 54.0) for i in range(100)]
    features(tmp_path / "s.geojson", *(("SOUNDG", spot, {"VALSOU": depth_m}) for spot in spots))
    found = report(tmp_path)
    assert Severity.NOT_ASSESSED in severities(found, "water-not-covered")
    assert (DANGER in severities(found, "too-little-water")) is (depth_m < 3.0)


def test_a_contour_counts_beside_areas_that_would_clear(tmp_path: Path) -> None:
    rows = [("DEPARE", SEA, {"DRVAL1": 10.0, "DRVAL2": 20.0})]
    features(tmp_path / "a.geojson", *rows, ("DEPCNT", parallel(54.0), {"VALDCO": 2.0}))
    assert DANGER in severities(report(tmp_path), "too-little-water")


def test_nothing_at_all_is_never_cleared() -> None:
    found = vet(track(54.0), ChartSet(), BOAT).report
    assert found.verdict is Verdict.INCOMPLETE
