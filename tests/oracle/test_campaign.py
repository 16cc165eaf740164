"""A short slice of the campaign, and proofs of the oracle's own footing."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime

import numpy as np
import pytest

from tests.oracle.areas import in_force
from tests.oracle.campaign import KINDS, batch, from_files
from tests.oracle.clockwork import sun_altitude_deg
from tests.oracle.plane import GEOD, Sheet, around, rhumb_line
from tests.oracle.tides import height_m
from tests.oracle.worlds import world

ONE_CENTIMETRE = 0.01
_WITH_GAPS = (3168, 3212, 3287, 3288)
"""Worlds of grids alone, with gaps in them."""


@pytest.mark.parametrize("first", [1, 30_001, 60_001, 90_001])
def test_worlds_hold_no_false_clear(first: int) -> None:
    result = batch(first, 12)
    assert not result["failed"]
    assert result["counts"]["scenarios"] == 144
    assert not any(result["counts"].get(kind) for kind in KINDS)
    # The oracle has something to say, of every sort.
    assert result["counts"]["the oracle's claims / depth: danger"] > 20
    assert result["counts"]["the oracle's claims / areas: danger"] > 20
    assert result["counts"]["the oracle's claims / time: caution"] > 20


def test_worlds_read_from_files_hold_no_false_clear() -> None:
    counts: Counter[str] = Counter()
    for seed in (*range(200, 214), *_WITH_GAPS):
        assert from_files(world(seed), counts) == []
    assert counts["worlds read from files"] >= 8


def test_the_sheet_keeps_distances_as_karney_has_them() -> None:
    # C. F. F. Karney, Algorithms for geodesics (2013), as PROJ's Geod has them.
    dice = np.random.default_rng(1)
    for lon, lat in ((179.99, 10.0), (-20.0, -81.0), (4.0, 52.0)):
        sheet = Sheet(lon, lat)
        places = np.column_stack(
            [
                lon + dice.uniform(-8000, 8000, 40) / (111_320 * np.cos(np.radians(lat))),
                lat + dice.uniform(-8000, 8000, 40) / 111_132,
            ]
        )
        flat = sheet.xy(places)
        true = GEOD.inv(*places[:-1].T, *places[1:].T)[2]
        assert np.abs(np.hypot(*np.diff(flat, axis=0).T) - true).max() < ONE_CENTIMETRE


def test_a_rhumb_line_keeps_its_course() -> None:
    places = rhumb_line((179.9, 60.0), (-179.8, 60.4), 200)
    course = GEOD.inv(*places[:-1].T, *places[1:].T)[0]
    assert np.ptp(course) < 0.01


def test_a_wave_comes_round_after_its_period() -> None:
    # Periods in hours: P. Schureman, SP 98, table 2 (360 over the speed in degrees an hour).
    for name, hours in (("M2", 12.4206012), ("S2", 12.0), ("K1", 23.9344697), ("O1", 25.8193417)):
        tide = {"kind": "harmonic", "mean_m": 0.0, "constants": [(name, 1.0, 0.0)]}
        times = 1.8e9 + np.array([0.0, 3600.0 * hours])
        here, next_time = height_m(tide, times)
        assert here == pytest.approx(next_time, abs=0.005)


def test_the_sun_stands_where_meeus_has_it() -> None:
    # J. Meeus, Astronomical Algorithms (2nd ed., 1998), examples 25.a and 28.a: 1992 October 13,
    # 0 h dynamical time: declination -7 degrees 47 minutes, equation of time +13 min 42.6 s.
    midnight = np.array([datetime(1992, 10, 13, tzinfo=UTC).timestamp()])
    assert sun_altitude_deg(0.0, 90.0, midnight)[0] == pytest.approx(-7.785, abs=0.3)
    day = midnight + np.arange(0.0, 86_400.0, 10.0)
    highest = day[sun_altitude_deg(0.0, 40.0, day).argmax()] - midnight[0]
    assert highest == pytest.approx(43_200.0 - 822.6, abs=60.0)


def test_a_season_over_the_turn_of_the_year_holds_at_both_its_ends() -> None:
    def held(period: tuple[str, str, str], *day: int) -> bool:
        noon = datetime(*day, 12, tzinfo=UTC).timestamp()
        return in_force(period, (noon, noon), 0)

    winter = ("season", "--1001", "--0331")
    days = ((2027, 9, 30), (2027, 10, 1), (2027, 12, 31), (2027, 1, 1), (2027, 3, 31), (2027, 4, 1))
    assert [held(winter, *day) for day in days] == [False, True, True, True, True, False]
    assert held(("date", "", "202704"), 2027, 4, 30)
    assert not held(("date", "", "202704"), 2027, 5, 1)
    assert held(("date", "soon", ""), 2027, 5, 1)
    assert in_force(("date", "2028", ""), None, 0)


def test_what_lies_nearest_to_a_ring_may_be_the_middle_of_an_edge() -> None:
    wall = np.array([(-10.0, 5.0), (10.0, 5.0)])
    spike = np.array([(0.0, 3.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 3.0)])
    places, away = around(wall, "line", spike, 4.0)
    assert away[0] == pytest.approx(2.0)
    assert places[0] == pytest.approx((0.0, 5.0))
    assert len(around(wall, "line", spike, 1.9)[0]) == 0
