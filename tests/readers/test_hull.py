"""Squat by a formula, and heel and swell, in boat.toml; squat for the fastest leg of a route."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from routecheck.model.boat import Boat
from routecheck.model.errors import BadInput
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.readers.settings import read_boat


def boat(tmp_path: Path, margins: str, *, top: str = 'speed = "8 kn"') -> Boat:
    path = tmp_path / "boat.toml"
    path.write_text(f'draught = "1.5 m"\n{top}\n[margins]\n{margins}', encoding="utf-8")
    return read_boat(path)


@pytest.mark.parametrize(
    ("squat", "metres"),
    [
        # Barrass, Ship Squat, the simplified formulae: Cb V^2 / 100 in open water, / 50 in
        # confined; Cb 0.9 at 8 knots as the course texts work it (from memory).
        ('{ formula = "open", block = 0.9 }', 0.576),
        ('{ formula = "confined", block = 0.9 }', 1.152),
        ('"0.2 m"', 0.2),
    ],
)
def test_squat_goes_by_the_formula(tmp_path: Path, squat: str, metres: float) -> None:
    made = boat(tmp_path, f"squat = {squat}")
    assert made.margins.squat_m == pytest.approx(metres, abs=1e-9)
    assert made.touches_at_m == pytest.approx(1.5 + metres)


def test_squat_by_the_general_formula_grows_with_the_blockage(tmp_path: Path) -> None:
    rule = '{{ formula = "barrass", block = 0.6, blockage = {} }}'
    narrow = boat(tmp_path, "squat = " + rule.format(0.25)).margins.squat_m
    wide = boat(tmp_path, "squat = " + rule.format(0.05)).margins.squat_m
    # Cb / 30 . (S / (1 - S))^(2/3) . V^2.08, C. B. Barrass 1979.
    assert narrow == pytest.approx(0.6 / 30 * (1 / 3) ** (2 / 3) * 8**2.08)
    assert wide < narrow


def route(*speeds_kn: float | None) -> Route:
    points = tuple(
        Waypoint(name=str(n), lon_deg=4.0 + n / 10, lat_deg=52.0) for n in range(len(speeds_kn) + 1)
    )
    legs = tuple(
        Leg(number=n, start=points[n - 1], end=points[n], speed_kn=speed)
        for n, speed in enumerate(speeds_kn, start=1)
    )
    return Route(name="r", legs=legs, file="r.gpx")


def test_the_fastest_speed_of_boat_and_route_counts(tmp_path: Path) -> None:
    made = boat(tmp_path, 'squat = { formula = "open", block = 0.9 }')
    assert made.on(route(None, 5.0)).margins.squat_m == pytest.approx(0.576)
    faster = made.on(route(10.0, None, 12.0))
    assert faster.margins.squat_m == pytest.approx(0.9 * 12.0**2 / 100)
    assert faster.margins.under_keel_m == made.margins.under_keel_m
    plain = boat(tmp_path, 'squat = "0.2 m"')
    assert plain.on(route(12.0)) is plain


@pytest.mark.parametrize(
    ("margins", "metres"),
    [
        ('heel_swell = { swell = "1.0 m" }', 0.5),
        # A deep keel comes up as it heels; nothing is taken off (common practice).
        ('heel_swell = { heel_deg = 25, hull = "fin" }', 0.0),
        ('heel_swell = { heel_deg = 25, hull = "fin", swell = "2 m" }', 1.0),
        ('heel_swell = { heel_deg = 0, hull = "box" }', 0.0),
        ('heel_swell = "0.3 m"', 0.3),
    ],
)
def test_heel_and_swell_in_parts(tmp_path: Path, margins: str, metres: float) -> None:
    made = boat(tmp_path, margins, top='beam = "3.0 m"')
    assert made.margins.heel_swell_m == pytest.approx(metres, abs=1e-9)


def test_a_box_counts_at_its_deepest_angle(tmp_path: Path) -> None:
    def heel_m(angle_deg: float) -> float:
        margins = f'heel_swell = {{ heel_deg = {angle_deg}, hull = "box" }}'
        return boat(tmp_path, margins, top='beam = "3.0 m"').margins.heel_swell_m

    # B/2 . sin + d . cos: by hand for 3.0 m beam and 1.5 m draught at 18 degrees.
    by_hand = 1.5 * math.sin(math.radians(18)) + 1.5 * math.cos(math.radians(18)) - 1.5
    assert heel_m(18) == pytest.approx(by_hand)
    assert by_hand == pytest.approx(0.390, abs=0.001)
    # Half the beam equals the draught: deepest at 45 degrees, and no less when heeled further.
    assert heel_m(60) == pytest.approx(heel_m(45)) == pytest.approx(1.5 * (math.sqrt(2) - 1))


@pytest.mark.parametrize(
    ("margins", "top", "said"),
    [
        ('squat = { formula = "open", block = 0.4 }', "", "needs the boat's speed; add speed"),
        ('squat = { formula = "open" }', 'speed = "6 kn"', "a formula and the block coefficient"),
        ('squat = { formula = "x", block = 0.4 }', 'speed = "6 kn"', "'x' is none of open"),
        ('squat = { formula = "open", block = 4 }', 'speed = "6 kn"', "not between 0 and 1"),
        ('squat = { formula = "open", block = nan }', 'speed = "6 kn"', "nan"),
        ('squat = { formula = "barrass", block = 0.4 }', 'speed = "6 kn"', "needs a blockage"),
        (
            'squat = { formula = "open", block = 0.4, blockage = 0.1 }',
            'speed = "6 kn"',
            "takes no blockage",
        ),
        ('squat = { formula = "open", blok = 0.4 }', 'speed = "6 kn"', "did you mean 'block'?"),
        ('heel_swell = { heel_deg = 15, hull = "box" }', "", "needs the boat's beam; add beam"),
        ("heel_swell = { heel_deg = 15 }", "", "heel wants its angle and the hull"),
        ('heel_swell = { hull = "fin" }', "", "heel wants its angle and the hull"),
        ("heel_swell = {}", "", "neither heel nor swell is given"),
        ('heel_swell = { heel_deg = 15, hull = "boat" }', "", "'boat' is no hull; hulls: box, fin"),
        ('heel_swell = { heel_deg = 95, hull = "fin" }', "", "not from 0 to 60"),
        ('heel_swell = { swell = "-1 m" }', "", "not zero or more"),
        ("squat = 3", "", "has no unit"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(
    tmp_path: Path, margins: str, top: str, said: str
) -> None:
    with pytest.raises(BadInput) as caught:
        boat(tmp_path, margins, top=top)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)
