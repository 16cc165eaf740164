"""Broken geometries: mended without losing area, told with their place, or left out and told."""

from __future__ import annotations

import struct

import numpy as np
import pytest
import shapely

from routecheck.readers.shapes import areal, shapes_of

SQUARE = shapely.box(10.0, 54.0, 11.0, 55.0)
A_PART_IN_A_BILLION = 1e-9


def unclosed(ring: list[tuple[float, float]]) -> bytes:
    body = struct.pack("<BIII", 1, 3, 1, len(ring))
    return body + b"".join(struct.pack("<dd", *place) for place in ring)


def test_whole_shapes_pass_unchanged() -> None:
    shapes, flaws = shapes_of([SQUARE.wkb, shapely.Point(10, 54).wkb])
    assert shapes[0].equals(SQUARE)
    assert not flaws


def test_a_bow_tie_keeps_both_halves() -> None:
    tie = shapely.Polygon([(10, 54), (11, 55), (11, 54), (10, 55)])
    shapes, (flaw,) = shapes_of([tie.wkb])
    assert shapes[0].is_valid
    assert shapes[0].area == pytest.approx(0.5, rel=A_PART_IN_A_BILLION)
    assert shapes[0].contains(shapely.Point(10.1, 54.5))
    assert shapes[0].contains(shapely.Point(10.9, 54.5))
    assert flaw.row == 0
    assert not flaw.lost
    assert flaw.bounds is not None


def test_what_a_ring_goes_round_twice_is_no_hole() -> None:
    # two squares drawn as one ring; the middle lies in both
    ring = [(0, 0), (2, 0), (2, 2), (1, 2), (1, 1), (3, 1), (3, 3), (2, 3), (2, 2), (0, 2), (0, 0)]
    twice = shapely.Polygon([(x + 10, y + 50) for x, y in ring])
    assert not twice.is_valid
    shapes, _ = shapes_of([twice.wkb])
    assert shapes[0].contains(shapely.Point(11.5, 51.5))
    assert shapes[0].contains(shapely.Point(10.5, 50.5))
    assert shapes[0].contains(shapely.Point(12.5, 52.5))


def test_the_place_told_is_where_the_shape_is_in_doubt() -> None:
    # a large square with a small crossing in one corner
    ring = [(10, 54), (11, 54), (11, 55), (10.01, 55), (10, 54.99), (10.01, 54.99), (10, 55)]
    shapes, (flaw,) = shapes_of([shapely.Polygon(ring).wkb])
    assert shapes[0].area > 0.999
    assert flaw.bounds is not None
    west, south, east, north = flaw.bounds
    assert (east - west) < 0.05
    assert (north - south) < 0.05


def test_one_unclosed_ring_loses_no_other_shape() -> None:
    ring = [(12.0, 54.0), (13.0, 54.0), (13.0, 55.0), (12.0, 55.0)]
    shapes, (flaw,) = shapes_of([SQUARE.wkb, unclosed(ring), SQUARE.wkb])
    assert [shape.area for shape in shapes] == pytest.approx([1.0, 1.0, 1.0])
    assert (flaw.row, flaw.bounds) == (1, (12.0, 54.0, 13.0, 55.0))
    assert "not closed" in flaw.wrong


def test_bytes_that_are_no_geometry_lose_only_their_row() -> None:
    shapes, flaws = shapes_of([SQUARE.wkb, b"\x01\x03\x00\x00\x00\xff\xff", b"", None])
    assert shapes[0].equals(SQUARE)
    assert [flaw.row for flaw in flaws if flaw.lost] == [1, 2, 3]
    assert all(shape is None for shape in shapes[1:])


@pytest.mark.parametrize(
    "place", [(181.0, 54.0), (10.0, 91.0), (float("nan"), 54.0), (10.0, float("inf"))]
)
def test_what_is_not_on_the_earth_is_left_out(place: tuple[float, float]) -> None:
    with np.errstate(invalid="ignore"):
        odd = shapely.LineString([(10.0, 54.0), place])
    shapes, flaws = shapes_of([SQUARE.wkb, odd.wkb])
    assert shapes[0] is not None
    assert shapes[1] is None
    assert [flaw.row for flaw in flaws] == [1]
    assert flaws[0].lost


def test_an_uncut_side_over_the_antimeridian_is_left_out_with_its_latitudes() -> None:
    across = shapely.Polygon([(179, -18), (-179, -18), (-179, -17), (179, -17)])
    shapes, (flaw,) = shapes_of([across.wkb])
    assert shapes[0] is None
    assert flaw.bounds == (-180.0, -18.0, 180.0, -17.0)


def test_a_shape_cut_at_the_antimeridian_is_whole() -> None:
    # RFC 7946, clause 3.1.9
    parts = [shapely.box(179, -18, 180, -17), shapely.box(-180, -18, -179, -17)]
    shapes, flaws = shapes_of(
        [shapely.MultiPolygon(parts).wkb, shapely.box(-180, -90, 180, 90).wkb]
    )
    assert not flaws
    assert shapes[0].area == pytest.approx(2.0)
    assert shapes[1].area == pytest.approx(180.0 * 360.0)


def test_points_far_apart_are_no_side() -> None:
    far = shapely.MultiPoint([(-179, 10), (179, 10)])
    shapes, flaws = shapes_of([far.wkb])
    assert not flaws
    assert shapes[0].equals(far)


def test_empty_and_missing_shapes_are_told() -> None:
    shapes, flaws = shapes_of([shapely.Polygon().wkb, None])
    assert all(shape is None for shape in shapes)
    assert all(flaw.missing for flaw in flaws)


def test_the_polygons_of_a_collection() -> None:
    both = shapely.GeometryCollection([SQUARE, shapely.LineString([(0, 0), (1, 1)])])
    found = areal(both)
    assert found is not None
    assert found.equals(SQUARE)
    assert areal(shapely.Point(0, 0)) is None


def test_random_rings_never_lose_area() -> None:
    """A shape mended covers every point that the ring winds round an odd number of times."""
    random = np.random.default_rng(7)
    for _ in range(100):
        ring = random.uniform((10.0, 54.0), (11.0, 55.0), (8, 2))
        raw = shapely.Polygon(ring)
        shapes, _ = shapes_of([raw.wkb])
        odd = shapely.make_valid(raw)  # even-odd reading, by GEOS
        lost = odd.difference(shapes[0].buffer(1e-12))
        assert lost.area < A_PART_IN_A_BILLION
