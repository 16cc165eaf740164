"""Squat, heel and current against worked examples."""

from __future__ import annotations

import pytest

from routecheck.nav.current import speed_over_ground_kn
from routecheck.nav.heel import box_draught_m, fin_keel_draught_m, simple_heel_increase_m
from routecheck.nav.squat import (
    barrass_newer_squat_m,
    barrass_squat_m,
    blockage_share,
    icorels_bow_squat_m,
    simple_confined_squat_m,
    simple_open_squat_m,
    width_of_influence_m,
)

ONE_CENTIMETRE = 0.01


# A ship-handling text with Barrass's formula (scribd.com/document/523158420): Cb 0.78, beam
# 32.26 m, draught 11.9 m, depth 14 m; a channel 200 m wide, and open water 8.1004 beams wide.
@pytest.mark.parametrize(
    ("width_m", "speed_kn", "squat_m"),
    [
        (200.0, 9.0, 0.74),
        (200.0, 10.0, 0.92),
        (200.0, 5.0, 0.22),
        (200.0, 12.0, 1.34),
        (200.0, 15.0, 2.13),
        (8.1004 * 32.26, 9.0, 0.60),
        (8.1004 * 32.26, 10.0, 0.75),
        (8.1004 * 32.26, 5.0, 0.18),
        (8.1004 * 32.26, 12.0, 1.09),
        (8.1004 * 32.26, 15.0, 1.74),
    ],
)
def test_barrass(width_m: float, speed_kn: float, squat_m: float) -> None:
    share = blockage_share(beam_m=32.26, draught_m=11.9, depth_m=14.0, width_m=width_m)
    found = barrass_squat_m(block_share=0.78, blockage_share=share, speed_kn=speed_kn)
    assert found == pytest.approx(squat_m, abs=ONE_CENTIMETRE)


def test_width_of_influence() -> None:
    """The same text: Cw 0.9057 gives 8.1004 beams."""
    found = width_of_influence_m(beam_m=32.26, waterplane_coefficient_share=0.9057)
    assert found / 32.26 == pytest.approx(8.1004, abs=0.0005)


# Barrass, simplified, open water, Cb 0.9 (tstarmet.com/squat).
@pytest.mark.parametrize(
    ("speed_kn", "squat_m"), [(4, 0.144), (8, 0.576), (12, 1.296), (16, 2.304), (20, 3.600)]
)
def test_simplified_in_open_water(speed_kn: float, squat_m: float) -> None:
    found = simple_open_squat_m(block_share=0.9, speed_kn=speed_kn)
    assert found == pytest.approx(squat_m, abs=0.0005)


def test_simplified_confined_is_twice_the_open() -> None:
    """Formulae: scribd.com/document/311106883; Cb 0.8 at 10 kn (arithmetic)."""
    assert simple_confined_squat_m(block_share=0.8, speed_kn=10.0) == pytest.approx(1.6)
    assert simple_open_squat_m(block_share=0.8, speed_kn=10.0) == pytest.approx(0.8)


def test_newer_formula() -> None:
    """Cb 0.8, S 0.10, 10 kn (arithmetic on a formula from memory)."""
    found = barrass_newer_squat_m(block_share=0.8, blockage_share=0.10, speed_kn=10.0)
    assert found == pytest.approx(0.745, abs=0.0005)


def test_icorels_grows_without_bound_towards_the_critical_speed() -> None:
    """2.4 . (40000 / 200^2) . F^2 / sqrt(1 - F^2), F^2 = (10 kn)^2 / (g 14 m) = 0.19276."""
    hull = {"displacement_m3": 40_000.0, "length_m": 200.0, "depth_m": 14.0}
    assert icorels_bow_squat_m(**hull, speed_kn=10.0) == pytest.approx(0.5149, abs=0.0005)
    assert icorels_bow_squat_m(**hull, speed_kn=22.0) > 7.0
    with pytest.raises(ValueError, match="critical speed"):
        icorels_bow_squat_m(**hull, speed_kn=23.0)


@pytest.mark.parametrize("width_m", [32.26, 20.0, 0.5])
def test_a_hull_that_does_not_fit(width_m: float) -> None:
    with pytest.raises(ValueError, match="does not fit"):
        blockage_share(beam_m=32.26, draught_m=11.9, depth_m=14.0, width_m=width_m)


def test_heel_of_a_box() -> None:
    """A course text on the increase in draught due to list: B 12 m, d 6.7 m, 18 degrees gives
    8.226 m; B 20 m, d 6 m, rise of floor 0.25 m, 15 degrees gives 8.14 m."""
    assert box_draught_m(beam_m=12.0, draught_m=6.7, heel_deg=18.0) == pytest.approx(
        8.226, abs=0.0005
    )
    assert box_draught_m(
        beam_m=20.0, draught_m=6.0, heel_deg=-15.0, rise_of_floor_m=0.25
    ) == pytest.approx(8.14, abs=0.005)


def test_simple_heel() -> None:
    """An examination question (oic-nwreviewer.blogspot.com, 2014): B 78 ft, 8 degrees: 5.43 ft."""
    assert simple_heel_increase_m(beam_m=78.0, heel_deg=8.0) == pytest.approx(5.43, abs=0.005)


def test_a_fin_keel_comes_up() -> None:
    """Common practice: the draught times the cosine of the heel."""
    assert fin_keel_draught_m(draught_m=2.0, heel_deg=0.0) == 2.0
    assert fin_keel_draught_m(draught_m=2.0, heel_deg=60.0) == pytest.approx(1.0)
    assert fin_keel_draught_m(draught_m=2.0, heel_deg=-20.0) < 2.0


# The current triangle (arithmetic).
@pytest.mark.parametrize(
    ("course", "speed", "set_deg", "drift", "heading", "over_ground"),
    [
        (90.0, 5.0, 180.0, 2.0, 66.42, 4.583),
        (0.0, 6.0, 90.0, 1.5, 345.52, 5.809),
        (45.0, 5.0, 225.0, 1.0, 45.0, 4.0),
        (200.0, 5.0, 10.0, 0.0, 200.0, 5.0),
    ],
)
def test_current_triangle(
    course: float, speed: float, set_deg: float, drift: float, heading: float, over_ground: float
) -> None:
    found = speed_over_ground_kn(course_deg=course, speed_kn=speed, set_deg=set_deg, drift_kn=drift)
    assert found is not None
    assert found[0] == pytest.approx(heading, abs=0.005)
    assert found[1] == pytest.approx(over_ground, abs=0.0005)


@pytest.mark.parametrize(
    ("set_deg", "drift"), [(180.0, 5.0), (0.0, 6.0), (270.0, 5.0), (250.0, 5.2)]
)
def test_a_course_that_cannot_be_made_good(set_deg: float, drift: float) -> None:
    found = speed_over_ground_kn(course_deg=90.0, speed_kn=5.0, set_deg=set_deg, drift_kn=drift)
    assert found is None
