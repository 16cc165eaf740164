"""What touches a piece of corridor in its plane, and where: by hand, in metres along and across."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from routecheck.model.view import Place, Touch
from tests.survey.test_plane import PORT_OUT_M, STARBOARD_OUT_M, four, held, one


def place_of(shape: shapely.Geometry, belt_m: float = 0.0) -> Place | None:
    plane = one()
    found = plane.places(held(shapely.Point(0.0, 9e6), shape), np.array([0.0, belt_m]))
    if not found:
        return None
    ((index, place, reach),) = found
    assert index == 1 and not reach.is_empty
    if 0.0 < place.along_m < plane.to_m:
        assert (place.lon_deg, place.lat_deg) == plane.to_position(place.along_m, place.cross_m)
    return place


def numbers(place: Place | None) -> tuple[float, ...]:
    assert place is not None
    return place.along_m, place.cross_m, place.along_from_m, place.along_to_m


def test_where_an_object_lies_on_the_leg() -> None:
    box, line = shapely.box, shapely.LineString
    # On the track: the middle of its longest part there; off it: the nearest point.
    cases = [
        (box(500.0, -20.0, 700.0, 60.0), (600.0, 0.0, 500.0, 700.0)),
        (line([(500.0, -500.0), (500.0, 500.0)]), (500.0, 0.0, 500.0, 500.0)),
        (shapely.Point(0.25, 0.0), (0.25, 0.0, 0.25, 0.25)),
        (box(0.25, -1.0, 0.5, 1.0), (0.375, 0.0, 0.25, 0.5)),
        (box(500.0, 30.0, 700.0, 60.0), (pytest.approx(600.0, abs=100.0), 30.0, 500.0, 700.0)),
        (line([(500.0, -40.0), (700.0, -60.0)]), (500.0, -40.0, 500.0, 700.0)),
        (line([(700.0, -40.0), (500.0, -60.0)]), (700.0, -40.0, 500.0, 700.0)),
    ]
    for shape, expected in cases:
        assert numbers(place_of(shape)) == expected
    two = shapely.union_all([box(100.0, -5.0, 130.0, 5.0), box(900.0, -5.0, 1300.0, 5.0)])
    assert numbers(place_of(two)) == (1100.0, 0.0, 100.0, 1300.0)
    twice = shapely.GeometryCollection([line([(200.0, -5.0), (200.0, 5.0)]), box(300, -5, 310, 5)])
    assert numbers(place_of(twice))[:2] == (305.0, 0.0)


def test_beyond_the_ends_of_the_leg_along_is_its_end() -> None:
    """Round ends belong to the leg, and what lies there to its first and last metre."""
    end_m = one().to_m
    before = place_of(shapely.box(-50.0, -10.0, -20.0, 10.0))
    assert numbers(before) == pytest.approx((0.0, 0.0, 0.0, 0.0), abs=10.0)
    assert before is not None and before.along_m == before.along_from_m == before.along_to_m == 0.0
    after = place_of(shapely.box(end_m + 20.0, -10.0, end_m + 50.0, 10.0))
    assert after is not None
    assert after.along_m == after.along_from_m == after.along_to_m == one().corridor.length_m
    over = place_of(shapely.box(-50.0, 40.0, end_m + 50.0, 50.0))
    assert over is not None and over.cross_m == pytest.approx(40.0)
    assert (over.along_from_m, over.along_to_m) == (0.0, one().corridor.length_m)


def test_only_what_lies_in_the_corridor_is_its_reach() -> None:
    """Of an object that lies in it, whatever its uncertainty; a belt counts for the others."""
    aslant = shapely.LineString(
        [(200.0, 0.0), (200.0 + 2.0 * STARBOARD_OUT_M, STARBOARD_OUT_M * 2)]
    )
    for belt_m in (0.0, 500.0):
        place = place_of(aslant, belt_m)
        assert place is not None and place.touch is Touch.CORRIDOR and place.belt_m == belt_m
        assert place.along_to_m == pytest.approx(200.0 + STARBOARD_OUT_M, abs=1e-6)


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_the_corridors_edge_and_the_belts(side: float) -> None:
    edge_m = PORT_OUT_M if side < 0.0 else STARBOARD_OUT_M

    def on(off_m: float, belt_m: float) -> Touch | None:
        place = place_of(shapely.Point(900.0, side * (edge_m + off_m)), belt_m)
        if place is None:
            return None
        assert place.cross_m == pytest.approx(side * (edge_m + off_m), abs=1e-6)
        return place.touch

    assert on(0.0, 0.0) is Touch.CORRIDOR
    assert on(5e-10, 0.0) is Touch.CORRIDOR
    assert on(1e-6, 0.0) is None
    assert on(1e-6, 1.0) is Touch.BELT
    assert on(50.0, 50.0) is Touch.BELT
    assert on(50.001, 50.0) is None
    assert on(49.0, 50.0) is Touch.BELT


def test_a_shape_along_the_rim_of_its_belt_is_met_along_all_of_it() -> None:
    """Fifty metres off, and its position fifty metres uncertain: all of it may lie in there. On a
    piece without bends, whose edge is one straight line."""
    plane = four()[1]
    edge_m, begin_m = STARBOARD_OUT_M + 50.0, plane.from_m + 300.0
    rim = shapely.box(begin_m, edge_m, begin_m + 500.0, edge_m + 20.0)
    ((_, place, _),) = plane.places(held(rim), np.array([50.0]))
    assert place.touch is Touch.BELT
    assert (place.along_from_m, place.along_to_m) == pytest.approx(
        (begin_m, begin_m + 500.0), abs=1e-6
    )
    assert place.cross_m == pytest.approx(edge_m, abs=1e-9)


@pytest.mark.parametrize(("off_m", "met"), [(0.0, True), (3.0, True), (9.0, True), (11.0, False)])
def test_what_may_only_stand_in_a_part_of_the_corridor_is_never_in_it_as_charted(
    off_m: float, met: bool
) -> None:
    """However near to that part it lies, and be it on its very limit: it reaches it by its belt."""
    left = shapely.box(0.0, -50.0, 400.0, 50.0)
    rock = shapely.Point(400.0 + off_m, 20.0)
    found = one().places(held(rock), np.array([10.0]), left)
    assert [(p.touch, p.hidden, p.cross_m) for _, p, _ in found] == (
        [(Touch.BELT, True, 20.0)] if met else []
    )
    ((_, whole, _),) = one().places(held(rock), np.array([10.0]))
    assert (whole.touch, whole.hidden) == (Touch.CORRIDOR, False)
