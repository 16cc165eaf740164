"""The limits of a low sun ahead, to either side, against the sun's own path."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from routecheck.checks.low_sun_ahead import low_sun_ahead
from routecheck.model.finding import Finding
from routecheck.model.objects import Danger, DangerKind
from routecheck.nav.sun import sun_position
from tests.checks.test_arrival_in_the_dark import LEG, ONE_HOUR_M, at
from tests.checks.test_depth_findings import grid
from tests.checks.views import POINT, depth, met, run, view

SHOAL = {"depths": (depth(4.0),)}
LON, LAT = LEG.start.lon_deg, LEG.start.lat_deg


def path(end: str) -> tuple[list[float], list[float]]:
    """(altitudes, bearings) of the sun in the hour that ends then, minute by minute."""
    end_s = datetime.fromisoformat(end).replace(tzinfo=UTC).timestamp()
    altitude, bearing = sun_position(LON, LAT, end_s - 60.0 * np.arange(61.0))
    return altitude.tolist(), bearing.tolist()


def found(
    end: str, course_deg: float, end_course_deg: float | None = None, **of: Any
) -> list[Finding]:
    """A leg of an hour, ended at a time."""
    leg = view(
        leg=LEG,
        length_m=ONE_HOUR_M,
        course_deg=course_deg,
        end_course_deg=course_deg if end_course_deg is None else end_course_deg,
        **(of or SHOAL),
    )
    return run(low_sun_ahead, leg, at(end))


# London on 1 December 2015. From 10:00 to 11:00 the sun goes from south-east to south.
MORNING = "2015-12-01T11:00"


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_45_degrees_to_either_side(side: float) -> None:
    altitudes, bearings = path(MORNING)
    assert min(altitudes) > 0.0 and max(altitudes) < 20.0
    nearest = max(bearings) if side > 0.0 else min(bearings)
    assert len(found(MORNING, nearest + side * 44.9)) == 1
    assert found(MORNING, nearest + side * 45.1) == []


def test_either_end_of_the_leg() -> None:
    (ahead,) = path(MORNING)[1][:1]
    for courses in ((ahead, ahead + 180.0), (ahead + 180.0, ahead)):
        (one,) = found(MORNING, *courses)
        assert one.sums["course_deg"] == courses[0]
    assert found(MORNING, ahead + 90.0, ahead - 90.0) == []


def test_across_north_of_the_compass() -> None:
    """By evening in summer the sun stands to the north-west; a course is an angle, not a number."""
    evening = "2015-06-21T20:00"
    altitudes, bearings = path(evening)
    assert max(altitudes) < 20.0 and min(bearings) > 290.0
    assert len(found(evening, (bearings[0] + 40.0) % 360.0)) == 1
    assert found(evening, (bearings[0] + 80.0) % 360.0) == []


def test_up_to_20_degrees_high() -> None:
    """The noon sun stands at 19 degrees in the last week of January, at 21 in the next."""
    lower, higher = "2015-01-24T12:31", "2015-02-02T12:31"
    assert min(path(lower)[0]) > 18.0
    assert max(path(lower)[0]) < 20.0 < min(path(higher)[0])
    assert max(path(higher)[0]) < 22.0
    assert len(found(lower, 180.0)) == 1
    assert found(higher, 180.0) == []


def test_under_the_horizon() -> None:
    """The hour to sunset (15:55), and an hour after it."""
    assert len(found("2015-12-01T15:50", 230.0)) == 1
    assert max(path("2015-12-01T17:05")[0]) < 0.0
    assert found("2015-12-01T17:05", 230.0) == []


def test_less_than_a_degree_high() -> None:
    """The minutes before it sets count to the last."""
    altitudes, bearings = path("2015-12-01T16:48")
    assert 0.0 < max(altitudes) < 1.0
    assert len(found("2015-12-01T16:48", max(bearings))) == 1


def test_the_sun_most_ahead_is_told() -> None:
    altitudes, bearings = path(MORNING)
    (one,) = found(MORNING, 140.0)
    assert min(bearings) > 140.0  # so the first minute is the one most ahead
    assert one.title == f"low sun ahead: {altitudes[-1]:.0f}° high, bearing {bearings[-1]:.0f}°"
    assert one.explanation == "Reefs and the colour of the water are hard to see against it."
    assert one.sums == {
        "sun_altitude_deg": round(altitudes[-1], 1),
        "sun_bearing_deg": round(bearings[-1], 1),
        "course_deg": 140.0,
    }
    assert (one.along_m, one.along_to_m, one.object_key) == (0.0, ONE_HOUR_M, "sun")
    (later,) = found(MORNING, 179.0)
    assert max(bearings) < 179.0
    assert later.sums["sun_bearing_deg"] == round(bearings[0], 1)


def test_figures_to_the_tenth_of_a_degree() -> None:
    altitudes, bearings = path("2015-12-01T10:40")
    (one,) = found("2015-12-01T10:40", 130.0)
    told = (one.sums["sun_altitude_deg"], one.sums["sun_bearing_deg"])
    assert told == (round(altitudes[-1], 1), round(bearings[-1], 1))
    # Neither is a whole number, by which a figure of fewer digits would go unnoticed.
    assert all(isinstance(figure, float) and figure % 1.0 for figure in told)


ROCK = met(
    Danger(key="r", cls="UWTROC", source="cell", geometry=POINT, kind=DangerKind.ROCK,
           charted_depth_m=None)
)  # fmt: skip


@pytest.mark.parametrize(
    ("of", "told"),
    [
        # Three times the 3 m that the boat needs.
        ({"depths": (depth(8.9),)}, True),
        ({"depths": (depth(9.0),)}, False),
        ({"depths": (depth(9.5),)}, False),
        ({"depths": (depth(30.0), depth(4.0))}, True),
        ({"depths": (depth(4.0, counts=False),)}, False),
        ({"depths": (depth(30.0, counts=False), depth(30.0))}, False),
        ({"grids": (grid([8.9]),)}, True),
        ({"grids": (grid([9.0]),)}, False),
        ({"grids": (grid([30.0, 4.0]),)}, True),
        ({"grids": (grid([30.0]), grid([4.0]))}, True),
        ({"grids": (grid([4.0, 30.0], counts=np.array([False, True])),)}, False),
        ({"dangers": (ROCK,)}, True),
        ({"dangers": (ROCK,), "depths": (depth(30.0),)}, True),
        ({"depths": ()}, False),
    ],
)
def test_where_there_is_something_to_see(of: dict[str, Any], told: bool) -> None:
    assert bool(found(MORNING, 160.0, **of)) is told


def test_without_an_eta_nothing_is_told() -> None:
    of = view(leg=LEG, length_m=ONE_HOUR_M, course_deg=160.0, end_course_deg=160.0, **SHOAL)
    assert run(low_sun_ahead, of, replace(at(MORNING), speed_kn=None)) == []
