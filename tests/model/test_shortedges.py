"""Cutting long edges never loses a part of a shape.

The first case was found by the campaign on 2026-11-25: GEOS 3.14's own cutting keeps a splinter of
6 corners of this polygon, a hole of 30,000 square metres in the coverage of a leg.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from routecheck.model.shortedges import all_valid, with_short_edges

PRONGED = shapely.Polygon(
    [
        (-180.03876359583205, 69.99716168329583),
        (-180.04247146445914, 69.99638881891019),
        (-180.04305761087733, 69.99626666356673),
        (-180.04394754032364, 69.99608114715024),
        (-180.04761708924008, 69.99531627008632),
        (-180.0514317870576, 69.99452106787223),
        (-180.05209482264877, 69.99488906471514),
        (-180.044604465491, 69.99645052925584),
        (-180.04312839935284, 69.9967582009938),
        (-180.0142979866987, 70.00276661767866),
        (-180.01429798669866, 70.00276661767866),
        (-180.03754347453403, 69.99792213006646),
        (-180.03672192398201, 69.99758720959935),
    ]
)
BOW = shapely.Polygon([(0.0, 0.0), (4.0, 0.0), (0.0, 2.0), (4.0, 2.0)])
HOLED = shapely.Polygon(
    [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)],
    [[(2.0, 2.0), (7.0, 2.0), (7.0, 7.0), (2.0, 7.0)]],
)


def held(*shapes: shapely.Geometry | None) -> np.ndarray:
    made = np.empty(len(shapes), dtype=object)
    made[:] = shapes
    return made


@pytest.mark.parametrize("shape", [PRONGED, HOLED, shapely.MultiPolygon([PRONGED, HOLED])])
def test_the_area_stays(shape: shapely.Geometry) -> None:
    (cut,) = all_valid(with_short_edges(held(shape), 0.004))
    assert cut.area == pytest.approx(shape.area, rel=1e-6)
    assert shapely.hausdorff_distance(cut, shape) < 1e-9
    assert shapely.get_num_coordinates(cut) > shape.length / 0.004


def test_what_crosses_itself_is_left_for_the_reader_to_mend() -> None:
    (cut,) = with_short_edges(held(BOW), 0.5)
    assert not cut.is_valid
    assert cut.length == pytest.approx(BOW.length)
    assert all_valid(held(cut))[0].area == pytest.approx(4.0)


def test_lines_points_collections_and_nothing() -> None:
    line, point = shapely.LineString([(0.0, 0.0), (3.0, 0.0)]), shapely.Point(1.0, 2.0)
    mixed = shapely.GeometryCollection([PRONGED, line, point])
    cut = with_short_edges(held(line, point, None, mixed), 1.0)
    assert shapely.get_num_coordinates(cut[0]) == 4
    assert cut[1] == point and cut[2] is None
    assert cut[3].area == pytest.approx(PRONGED.area, rel=1e-6)
    assert cut[3].length == pytest.approx(mixed.length, rel=1e-6)
