"""Each term of the sun's coordinates by itself, and where the search for a crossing ends."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from routecheck.nav import sun
from routecheck.nav.sun import next_crossing_s, sun_altitude_deg

MIDNIGHT_S = datetime(2027, 9, 10, tzinfo=UTC).timestamp()
HOUR_S = 3600.0


def unix(text: str) -> float:
    return datetime.fromisoformat(text).timestamp()


def in_degrees(rad: Any) -> Any:
    """To within half a turn."""
    return (np.degrees(rad) + 180.0) % 360.0 - 180.0


@pytest.fixture(scope="module")
def residuals() -> tuple[Any, Any, Any]:
    """Degrees that declination and hour angle are off an ephemeris, and the mean anomaly, at 380
    dates of 32 years: ephem 4 (VSOP87), which has aberration and nutation as well."""
    ephem = pytest.importorskip("ephem", reason="ephem is not installed: pip install ephem")
    dates = [datetime(2019, 1, 1) + timedelta(days=30.7 * step) for step in range(380)]
    times = np.array([date.replace(tzinfo=UTC).timestamp() for date in dates])
    theirs = []
    for date in dates:
        there = ephem.Observer()
        there.lon, there.lat, there.date = "0", "0", date
        body = ephem.Sun()
        body.compute(there.date)
        theirs.append((float(body.g_dec), float(there.sidereal_time()) - float(body.g_ra)))
    declination, hour = np.array(theirs).T
    found_declination, found_hour = sun._declination_and_hour(times)
    # Of the anomaly only its rate and a date of perihelion (from memory) are needed here.
    anomaly = 2.0 * np.pi * (times - unix("2019-01-03T05:20Z")) / 86_400.0 / 365.2596
    return in_degrees(found_declination - declination), in_degrees(found_hour - hour), anomaly


def test_each_wave_of_the_year(residuals: tuple[Any, Any, Any]) -> None:
    """No wave of one, two or three times the anomaly is left: those of the equation of the centre
    (1.915 and 0.020 degrees) are right to 0.0025 and 0.0008, with the mean to 0.002."""
    declination_off, hour_off, anomaly = residuals
    waves = [np.ones_like(anomaly)]
    for times in (1, 2, 3):
        waves += [np.sin(times * anomaly), np.cos(times * anomaly)]
    most = np.array([0.002, 0.0025, 0.0025, 0.0008, 0.0008, 0.0005, 0.0005])
    for off in (declination_off, hour_off):
        found = np.linalg.lstsq(np.stack(waves, axis=1), off, rcond=None)[0]
        assert (np.abs(found) < most).all(), found
        assert np.abs(off).max() < 0.011


@pytest.mark.parametrize("year", [2000, 2026, 2050])
def test_at_midsummer_the_declination_is_the_obliquity(year: int) -> None:
    """IAU 2006 (Capitaine and others 2003): 84381.406" - 46.836769" T, T in centuries from 2000."""
    times = unix(f"{year}-06-21T00:00Z") + 600.0 * np.arange(-288, 288)
    expected_deg = (84381.406 - 46.836769 * (year - 2000) / 100.0) / 3600.0
    declination, _ = sun._declination_and_hour(times)
    # Nutation, 0.0026 degrees, is in neither.
    assert float(np.degrees(declination).max()) == pytest.approx(expected_deg, abs=0.0015)


def test_sidereal_time() -> None:
    """At the equinox of March the sun's right ascension is nought, and so its hour angle Greenwich
    sidereal time: 18.697374558 h + 24.06570982441908 h a day from 2000-01-01T12Z (U.S. Naval
    Observatory, Approximate Sidereal Time)."""
    times = unix("2031-03-20T00:00Z") + 30.0 * np.arange(5760)
    declination, hour = sun._declination_and_hour(times)
    at = int(np.abs(declination).argmin())
    days = (times[at] - unix("2000-01-01T12:00Z")) / 86_400.0
    expected_deg = (18.697374558 + 24.06570982441908 * days) * 15.0
    # In half a minute the sun goes 0.0003 degrees.
    assert in_degrees(hour[at] - np.radians(expected_deg)) == pytest.approx(0.0, abs=0.0005)


# At 50 N in September the sun goes 0.38 degrees lower at each midnight than at the one before, in
# April as much less low: a level between two such nights is passed in one of them only.
PLACE = (0.0, 50.0)


def between_two_midnights_deg(midnight_s: float) -> float:
    lowest = []
    for day in (0, 1):
        times = midnight_s + 86_400.0 * day + np.arange(-HOUR_S, HOUR_S, 10.0)
        lowest.append(float(sun_altitude_deg(*PLACE, times).min()))
    assert abs(lowest[1] - lowest[0]) > 0.3
    return (lowest[0] + lowest[1]) / 2.0


@pytest.mark.parametrize(
    ("before_s", "within"),
    # 25 hours, and not five minutes more.
    [(0.5, True), (HOUR_S, True), (89_850.0, True), (90_150.0, False), (26.5 * HOUR_S, False)],
)
def test_it_looks_25_hours_ahead(before_s: float, within: bool) -> None:
    level_deg = between_two_midnights_deg(MIDNIGHT_S)
    fall = next_crossing_s(*PLACE, MIDNIGHT_S + 20.0 * HOUR_S, level_deg)
    assert fall is not None and not fall[1]
    found = next_crossing_s(*PLACE, fall[0] - before_s, level_deg)
    assert found == ((pytest.approx(fall[0], abs=0.001), False) if within else None)


@pytest.mark.parametrize(("after_s", "within"), [(0.5, True), (89_850.0, True), (90_150.0, False)])
def test_and_25_hours_back(after_s: float, within: bool) -> None:
    april_s = datetime(2027, 4, 1, tzinfo=UTC).timestamp()
    level_deg = between_two_midnights_deg(april_s)
    rise = next_crossing_s(*PLACE, april_s, level_deg)
    assert rise is not None and rise[1]
    found = next_crossing_s(*PLACE, rise[0] + after_s, level_deg, backwards=True)
    assert found == ((pytest.approx(rise[0], abs=0.001), True) if within else None)


def test_a_sun_at_the_level_counts_as_above_it() -> None:
    afternoon_s = MIDNIGHT_S + 16.0 * HOUR_S
    level_deg = float(sun_altitude_deg(*PLACE, afternoon_s))
    found = next_crossing_s(*PLACE, afternoon_s, level_deg)
    assert found is not None
    assert found == (pytest.approx(afternoon_s, abs=0.001), False)


@pytest.mark.parametrize(("side", "altitude_deg"), [(1.0, 90.0), (-1.0, -90.0)])
def test_overhead_and_underfoot(side: float, altitude_deg: float) -> None:
    """There the sine may come out over one by a rounding: of 500 instants some do."""
    times = MIDNIGHT_S + 54_321.0 * np.arange(500)
    declination, hour = sun._declination_and_hour(times)
    lon, lat = np.degrees(-hour) + (0.0 if side > 0.0 else 180.0), side * np.degrees(declination)
    phi, turned = np.radians(lat), hour + np.radians(lon)
    sine = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(turned)
    assert (side * sine > 1.0).any()
    assert sun_altitude_deg(lon, lat, times) == pytest.approx(altitude_deg, abs=1e-5)
