"""Hours, currents and daylight in a route's sidecar."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from routecheck.model.errors import BadInput
from routecheck.model.opening import Hours
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.readers.sidecar import apply_sidecar
from routecheck.readers.waypoints import REPEATED


def route() -> Route:
    marks = [Waypoint(name=f"W{i}", lon_deg=0.1 * i, lat_deg=50.0) for i in range(4)]
    legs = [Leg(number=i + 1, start=marks[i], end=marks[i + 1]) for i in range(3)]
    return Route(name="r", legs=tuple(legs), file="r.gpx")


def apply(folder: Path, text: str) -> Route:
    path = folder / "r.gpx.toml"
    path.write_text(text, encoding="utf-8")
    (made,) = apply_sidecar((route(),), path)
    return made


def test_hours_of_a_lock(tmp_path: Path) -> None:
    made = apply(
        tmp_path,
        '[[opening]]\nname = "Old lock"\nleg = 2\nat = "1.5 nmi"\n'
        'hours = ["07:00-09:30+02:00", "22:15-24:00Z"]\ndays = "Fri-Sun, Tue"\n',
    )
    (opening,) = made.legs[1].openings
    assert opening.hours == (
        Hours(start_s=25_200, end_s=34_200, ahead_s=7200),
        Hours(start_s=80_100, end_s=86_400),
    )
    assert opening.along_m == pytest.approx(2778.0)
    assert opening.weekdays == {4, 5, 6, 1}
    assert opening.words == "07:00-09:30+02:00, 22:15-24:00Z (Fri-Sun, Tue)"
    assert made.legs[0].openings == ()


def test_current_and_daylight(tmp_path: Path) -> None:
    made = apply(
        tmp_path,
        '[[leg]]\nlegs = "2-3"\nset_deg = 45\ndrift = "1.5 kn"\n'
        '[[leg]]\nlegs = "3"\ndaylight_only = true\n',
    )
    assert [leg.set_deg for leg in made.legs] == [None, 45.0, 45.0]
    assert [leg.drift_kn for leg in made.legs] == [None, 1.5, 1.5]
    assert [leg.daylight_only for leg in made.legs] == [False, False, True]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[leg]]\nlegs = "1"\nset_deg = 45\n', "a current needs both set_deg and drift"),
        ('[[leg]]\nlegs = "1"\nset_deg = 400\ndrift = "1 kn"\n', "not between 0 and 360"),
        ('[[opening]]\nleg = 4\nhours = ["07:00-08:00Z"]\n', "leg: 4 is none of the legs 1-3"),
        ("[[opening]]\nleg = 1\n", "it has no hours"),
        ('[[opening]]\nleg = 1\nhours = "07:00-08:00Z"\n', "give a list such as"),
        ('[[opening]]\nleg = 1\nhours = ["07:00-08:00"]\n', "is not like"),
        ('[[opening]]\nleg = 1\nhours = ["25:00-26:00Z"]\n', "is not like"),
        ('[[opening]]\nleg = 1\nhours = ["07:00-08:00Z"]\ndays = "May"\n', 'like "Mon-Fri"'),
        ('[[opening]]\nleg = 1\nhours = ["07:00-08:00Z"]\nday = "Mon"\n', "is not a key here"),
        ("[[opening]]\nleg = true\n", "none of the legs"),
        # A tenth of a degree along 50 N is 3.87 nmi (7.17 km, GeographicLib's rhumb line).
        (
            '[[opening]]\nleg = 2\nat = "3.9 nmi"\nhours = ["07:00-08:00Z"]\n',
            "at: leg 2 is 3.87 nmi long",
        ),
    ],
)
def test_bad_tables(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        apply(tmp_path, text)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_an_opening_at_the_very_end_of_a_leg(tmp_path: Path) -> None:
    made = apply(tmp_path, '[[opening]]\nleg = 2\nat = "3.87 nmi"\nhours = ["07:00-08:00Z"]\n')
    assert made.legs[1].openings


def test_leg_numbers_in_doubt_are_refused(tmp_path: Path) -> None:
    """A waypoint that stands twice is dropped, and the numbers after it move."""
    path = tmp_path / "r.gpx.toml"
    path.write_text('[[opening]]\nleg = 2\nhours = ["07:00-08:00Z"]\n', encoding="utf-8")
    doubtful = replace(route(), remarks=(f"{REPEATED}point 3 lies where point 2 does",))
    with pytest.raises(BadInput, match="its leg numbers are in doubt"):
        apply_sidecar((doubtful,), path)
