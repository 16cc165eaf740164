"""The sidecar of a route: which legs it sets, and how it says what is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from routecheck.model.errors import BadInput
from routecheck.model.route import Leg, LegLine, Route, Waypoint
from routecheck.readers.sidecar import apply_sidecar
from routecheck.readers.waypoints import REPEATED


def route(name: str = "R", count: int = 6, remarks: tuple[str, ...] = ()) -> Route:
    points = [Waypoint(name=f"W{n}", lon_deg=10.0, lat_deg=50.0 + n) for n in range(count + 1)]
    legs = tuple(
        Leg(number=n, start=points[n - 1], end=points[n], xtd_port_m=7.0)
        for n in range(1, count + 1)
    )
    return Route(name=name, legs=legs, file="r.gpx", remarks=remarks)


def apply(tmp_path: Path, text: str, *routes: Route) -> tuple[Route, ...]:
    path = tmp_path / "r.gpx.toml"
    path.write_text(text, encoding="utf-8")
    return apply_sidecar(routes or (route(),), path)


def refused(tmp_path: Path, text: str, *routes: Route) -> str:
    with pytest.raises(BadInput) as caught:
        apply(tmp_path, text, *routes)
    line = str(caught.value)
    assert line.startswith(str(tmp_path / "r.gpx.toml"))
    return line


def test_widths_speeds_and_lines_by_leg(tmp_path: Path) -> None:
    text = """
[[leg]]
legs = "1,4-6"
cross_track = "30 m"
[[leg]]
legs = "2"
starboard = "0.1 nmi"
speed = "4 kn"
great_circle = true
"""
    (made,) = apply(tmp_path, text)
    widths = [(leg.xtd_port_m, leg.xtd_starboard_m) for leg in made.legs]
    thirty = (30.0, 30.0)
    assert widths == [thirty, (7.0, pytest.approx(185.2)), (7.0, None), thirty, thirty, thirty]
    assert [leg.speed_kn for leg in made.legs] == [None, 4.0, None, None, None, None]
    assert [leg.line is LegLine.GREAT_CIRCLE for leg in made.legs] == [n == 2 for n in range(1, 7)]
    assert "r.gpx.toml" in made.remarks[-1]


def test_a_turn_is_made_at_the_end_of_its_leg(tmp_path: Path) -> None:
    (made,) = apply(tmp_path, '[[leg]]\nlegs = "2-3"\nturn_radius = "50 m"')
    assert [w.turn_radius_m for w in made.waypoints] == [0, 0, 50.0, 50.0, 0, 0, 0]
    assert all(a.end is b.start for a, b in zip(made.legs, made.legs[1:], strict=False))


def test_all_legs_come_first_wherever_they_stand(tmp_path: Path) -> None:
    text = '[[leg]]\nlegs = "3"\nport = "5 m"\n[[leg]]\nlegs = "all"\ncross_track = "50 m"'
    (made,) = apply(tmp_path, text)
    assert [leg.xtd_port_m for leg in made.legs] == [50, 50, 5, 50, 50, 50]
    assert {leg.xtd_starboard_m for leg in made.legs} == {50.0}


def test_several_routes_are_told_apart_by_name(tmp_path: Path) -> None:
    text = '[[leg]]\nlegs = "1"\nroute = "Back"\nspeed = "3 kn"'
    out, back = apply(tmp_path, text, route("Out"), route("Back"))
    assert (out.legs[0].speed_kn, back.legs[0].speed_kn) == (None, 3.0)
    assert out.remarks == ()
    both = apply(tmp_path, '[[leg]]\nlegs = "all"\nspeed = "3 kn"', route("Out"), route("Back"))
    assert [r.legs[5].speed_kn for r in both] == [3.0, 3.0]
    bare = '[[leg]]\nlegs = "1"\nspeed = "3 kn"'
    assert "does not say which" in refused(tmp_path, bare, route("Out"), route("Back"))
    assert "2 routes" in refused(tmp_path, text, route("Back"), route("Back"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file is empty"),
        ("# nothing", "no [[leg]] table"),
        ("[leg]\nlegs = '1'", "leg: write each one under [[leg]]"),
        ("[[legs]]\nlegs = '1'", "did you mean 'leg'?"),
        ("[[leg]]\nspeed = '4 kn'", "[[leg]] 1: it does not say for which legs"),
        ("[[leg]]\nlegs = '1'", "it sets nothing"),
        ("[[leg]]\nlegs = 3\nspeed = '4 kn'", "[[leg]] 1, legs: 3 is not text in quotes"),
        ("[[leg]]\nlegs = '0-2'\nspeed = '4 kn'", "'0-2' is not within the legs 1-6"),
        ("[[leg]]\nlegs = '5-7'\nspeed = '4 kn'", "'5-7' is not within the legs 1-6"),
        ("[[leg]]\nlegs = '4-2'\nspeed = '4 kn'", "'4-2' is not within"),
        ("[[leg]]\nlegs = 'two'\nspeed = '4 kn'", "'two' is not like '3-5'"),
        ("[[leg]]\nlegs = '1'\nspeed = '4'", "[[leg]] 1, speed: speed '4' has no unit"),
        ("[[leg]]\nlegs = '1'\nspeed = '0 kn'", "not above zero"),
        ("[[leg]]\nlegs = '1'\ncross_track = 30", "has no unit"),
        ("[[leg]]\nlegs = '1'\ncross_track = '-3 m'", "not zero or more"),
        ("[[leg]]\nlegs = '1'\ncross_track = '30 km'", "more than 18520 m"),
        ("[[leg]]\nlegs = '1'\nport = '3 m'\ncross_track = '3 m'", "either it or port"),
        ("[[leg]]\nlegs = '1'\ngreat_circle = 'yes'", "neither true nor false"),
        ("[[leg]]\nlegs = '1'\ncrosstrack = '3 m'", "did you mean 'cross_track'?"),
        (
            "[[leg]]\nlegs='1-3'\nspeed='4 kn'\n[[leg]]\nlegs='3'\nspeed='5 kn'",
            "[[leg]] 2, legs: speed of leg 3 is set twice",
        ),
        ("[[leg]]\nlegs = '1'\nroute = 'X'\nspeed = '4 kn'", "no route of the file called 'X'"),
        ("[[leg]]\nlegs = ", "line 2"),
    ],
)
def test_refusals_name_table_and_key(tmp_path: Path, text: str, said: str) -> None:
    assert said in refused(tmp_path, text)


def test_leg_numbers_in_doubt_are_refused(tmp_path: Path) -> None:
    doubtful = route(remarks=(REPEATED + "waypoint 2 …",))
    text = '[[leg]]\nlegs = "{}"\nspeed = "3 kn"'
    assert "in doubt" in refused(tmp_path, text.format(2), doubtful)
    assert apply(tmp_path, text.format("all"), doubtful)[0].legs[1].speed_kn == 3.0
