"""Turns that fit, and turns that do not."""

from __future__ import annotations

import pytest

from routecheck.model.route import Leg, Route, Waypoint
from routecheck.nav.rhumb import rhumb_direct
from routecheck.readers.turns import with_turns_remarked


def route(radii_m: tuple[float, float, float, float]) -> Route:
    """A square turn each at the second and third waypoint, legs of a kilometre."""
    at = (10.0, 0.0)
    points = [Waypoint(name="W0", lon_deg=at[0], lat_deg=at[1], turn_radius_m=radii_m[0])]
    for number, course in enumerate((0.0, 90.0, 0.0), start=1):
        at = rhumb_direct(*at, course, 1000.0)
        points.append(
            Waypoint(name=f"W{number}", lon_deg=at[0], lat_deg=at[1], turn_radius_m=radii_m[number])
        )
    legs = tuple(Leg(number=n, start=points[n - 1], end=points[n]) for n in (1, 2, 3))
    return Route(name="r", legs=legs, file="r.gpx", remarks=("first",))


@pytest.mark.parametrize(
    "radii_m", [(0, 0, 0, 0), (0, 499, 499, 0), (0, 990, 0, 0), (9e3, 0, 0, 9e3)]
)
def test_turns_that_fit(radii_m: tuple[float, float, float, float]) -> None:
    # A square turn touches its legs one radius from the waypoint.
    assert with_turns_remarked(route(radii_m)).remarks == ("first",)


@pytest.mark.parametrize(
    ("radii_m", "legs"),
    [
        ((0, 501, 501, 0), ["2 ('W1' to 'W2')"]),
        ((0, 1010, 0, 0), ["1 ('W0' to 'W1')", "2 ("]),
        ((0, 0, 1010, 0), ["2 (", "3 ("]),
    ],
)
def test_turns_that_do_not_fit(radii_m: tuple[float, float, float, float], legs: list[str]) -> None:
    first, said = with_turns_remarked(route(radii_m)).remarks
    assert first == "first" and "cannot be made" in said
    assert all(leg in said for leg in legs)
    assert said.count("' to '") == len(legs)
