"""Gaps and outer parts at the limit of a larger-scale chart: what of the smaller one counts there.

A leg along the equator, where a degree is 110.6 km of latitude and 111.3 km of longitude (NGA
STND.0036 (2014), table 3.1); the smaller scale is accurate to 45 m, 0.5 mm at 1:90,000 (common
practice).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.source import SourceKind
from routecheck.model.view import Touch
from tests.survey.charts import covered, depth_area, land
from tests.survey.equator import EAST_M, box, locals_on, plane
from tests.survey.test_limits_of_scale import EAST, WHOLE, a_rock, large, small, view_of


def split_at(at_m: float, gap_m: float) -> Chart:
    """The larger scale's water as two areas, with so much between them that belongs to none."""
    west, south, east, north = EAST.bounds
    middle, half = at_m / EAST_M, gap_m / 2.0 / EAST_M
    halves = (
        depth_area("w", shapely.box(west, south, middle - half, north), 20.0, "harbour"),
        depth_area("e", shapely.box(middle + half, south, east, north), 20.0, "harbour"),
    )
    return replace(large(), depth_areas=halves)


@pytest.mark.parametrize(
    ("gap_m", "told"),
    # Two hairs of a tenth of a metre each are none; what is wider is a hole in the larger scale.
    [(0.0, False), (0.01, False), (0.21, False), (0.24, True), (2.0, True)],
)
def test_a_hair_between_two_areas_of_the_larger_scale_is_no_hole(gap_m: float, told: bool) -> None:
    """20 m from the gap: by its 45 m the rock of the smaller scale may stand in it."""
    view = view_of(small(a_rock(3020.0)), split_at(3000.0, gap_m))
    assert [m.place.touch for m in view.dangers] == ([Touch.BELT] if told else [])
    assert not view_of(small(a_rock(3060.0)), split_at(3000.0, gap_m)).dangers


def test_the_hole_is_no_wider_than_it_is() -> None:
    """A rock 45 m and a little more from its edge cannot stand in it."""
    hole = split_at(3000.0, 100.0)
    (near,) = view_of(small(a_rock(3050.0 + 44.0)), hole).dangers
    assert near.place.hidden
    assert not view_of(small(a_rock(3050.0 + 46.0)), hole).dangers


def test_what_is_left_of_the_corridor_is_what_the_larger_scale_leaves() -> None:
    """5 km of corridor with its round end, all but 2.5 km of which the larger scale hides; where it
    hides nothing, nothing is looked at."""
    coast, harbour = small(), large()
    of = {c.source.id: c for c in locals_on(plane(), coast, harbour)}
    assert of["harbour"].left.is_empty and of["harbour"].hidden.is_empty
    west, south, east, north = of["coast"].left.bounds
    assert (west, east) == pytest.approx((-100.0, 2500.0), abs=0.2)
    assert (south, north) == pytest.approx((-100.0, 100.0), abs=0.2)
    assert of["coast"].left.area == pytest.approx(2500.0 * 200.0 + np.pi * 100.0**2 / 2.0, rel=1e-3)
    (alone,) = locals_on(plane(), coast)
    assert alone.left.is_empty and alone.hidden.is_empty
    of = {c.source.id: c for c in locals_on(plane(), coast, large(cover=WHOLE))}
    assert of["coast"].left.is_empty and not of["coast"].hidden.is_empty


def test_a_users_own_file_is_hidden_by_none_whatever_scale_it_states() -> None:
    """Its rock lies a kilometre within the larger scale."""
    cell = small(a_rock(3500.0))
    loose = replace(cell, source=replace(cell.source, kind=SourceKind.VECTOR))
    assert not view_of(cell, large()).dangers
    (met,) = view_of(loose, large()).dangers
    assert met.place.touch is Touch.CORRIDOR and not met.place.hidden


def test_a_part_that_counts_outside_the_corridor_is_no_reason_to_drop_the_rest() -> None:
    """A spit 10 m within the limit, drawn on to where the larger scale ends abeam, 300 m off."""
    narrow = box(2500.0, 5900.0, -300.0, 300.0)
    harbour = replace(large(cover=narrow), coverage=(covered(narrow, "harbour"),))
    spit = land("spit", box(2510.0, 2520.0, -10.0, 500.0), of="coast")
    (met,) = view_of(small(solids=(spit,)), harbour).solids
    assert met.place.touch is Touch.BELT and met.place.hidden
    assert 2510.0 <= met.place.along_m <= 2520.0
    assert met.place.cross_m == pytest.approx(0.0, abs=0.1)
    inland = land("spit", box(2560.0, 2570.0, -10.0, 500.0), of="coast")
    assert not view_of(small(solids=(inland,)), harbour).solids
