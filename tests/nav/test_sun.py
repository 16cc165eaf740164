"""The sun against published tables and an independent ephemeris."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from routecheck.nav.sun import (
    CIVIL_DEG,
    RISE_SET_DEG,
    light_in_words,
    lowest_altitude_deg,
    next_crossing_s,
    sun_about,
    sun_altitude_deg,
    sun_position,
)

ONE_MINUTE = 60.0
LONDON = (-0.13333, 51.5)
BLUFFTON = (-83.8917, 40.8939)
DEFIANCE = (-84.362778, 41.281944)
GOLDEN = (-105.178, 39.743)

# London: a published table, as kept by the library astral, src/test/test_sun_utc.py. Bluffton and
# Defiance: U.S. Naval Observatory, as kept by skyfield, tests/test_almanac.py. Golden: the Solar
# Position Algorithm of NREL, as kept by pvlib, tests/test_solarposition.py (MST = UTC-7), and the
# Naval Observatory's minutes for it. Printed minutes: half a minute more than the tolerance.
PRINTED = [
    (LONDON, "2015-12-01T07:04", CIVIL_DEG, True),
    (LONDON, "2015-12-01T07:43", RISE_SET_DEG, True),
    (LONDON, "2015-12-01T15:55", RISE_SET_DEG, False),
    (LONDON, "2015-12-01T16:34", CIVIL_DEG, False),
    (LONDON, "2015-12-25T07:25", CIVIL_DEG, True),
    (LONDON, "2015-12-25T08:05", RISE_SET_DEG, True),
    (LONDON, "2015-12-25T15:55", RISE_SET_DEG, False),
    (LONDON, "2015-12-25T16:36", CIVIL_DEG, False),
    (BLUFFTON, "2018-09-12T11:13", RISE_SET_DEG, True),
    (BLUFFTON, "2018-09-12T23:50", RISE_SET_DEG, False),
    (DEFIANCE, "2019-11-08T11:48", CIVIL_DEG, True),
    (DEFIANCE, "2019-11-08T12:17", RISE_SET_DEG, True),
    (DEFIANCE, "2019-11-08T22:25", RISE_SET_DEG, False),
    (DEFIANCE, "2019-11-08T22:54", CIVIL_DEG, False),
    # The same algorithm's sunrises and sunsets for 35 N and 35 S on Greenwich (Reda and Andreas,
    # NREL/TP-560-34302, as kept by pvlib, tests/test_spa.py), and the Naval Observatory's minutes
    # for 39 N 105 W and Beijing, kept there too.
    ((0.0, 35.0), "1994-01-02T07:08:12", RISE_SET_DEG, True),
    ((0.0, 35.0), "1994-01-02T16:59:55", RISE_SET_DEG, False),
    ((0.0, -35.0), "1996-07-05T07:08:15", RISE_SET_DEG, True),
    ((0.0, -35.0), "1996-07-05T17:01:04", RISE_SET_DEG, False),
    ((0.0, -35.0), "2004-12-04T04:38:57", RISE_SET_DEG, True),
    ((0.0, -35.0), "2004-12-04T19:02:02", RISE_SET_DEG, False),
    ((-105.0, 39.0), "2015-04-02T12:43", RISE_SET_DEG, True),
    ((-105.0, 39.0), "2015-12-02T23:38", RISE_SET_DEG, False),
    ((116.383, 39.917), "2015-01-01T23:36", RISE_SET_DEG, True),
    ((116.383, 39.917), "2015-01-02T09:00", RISE_SET_DEG, False),
    ((116.383, 39.917), "2015-08-01T21:13", RISE_SET_DEG, True),
    ((116.383, 39.917), "2015-08-02T11:28", RISE_SET_DEG, False),
    (GOLDEN, "2015-01-02T14:21:55", RISE_SET_DEG, True),
    (GOLDEN, "2015-01-02T23:47:43", RISE_SET_DEG, False),
    (GOLDEN, "2015-08-02T12:00:27", RISE_SET_DEG, True),
    # Kept there as 19:13:58 on 2 August: the sunset on that date of UTC is the evening's before.
    (GOLDEN, "2015-08-02T02:13:58", RISE_SET_DEG, False),
]


def unix(text: str) -> float:
    return datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()


@pytest.mark.parametrize(("place", "when", "altitude", "rising"), PRINTED)
def test_published_risings_and_settings(
    place: tuple[float, float], when: str, altitude: float, rising: bool
) -> None:
    expected = unix(when)
    found = next_crossing_s(*place, expected - 3600.0, altitude)
    assert found is not None
    assert found[1] is rising
    # A printed minute may be off by half of one; what is printed to the second must be within one.
    tolerance = 1.0 if when.count(":") == 2 else 1.5
    assert abs(found[0] - expected) < tolerance * ONE_MINUTE
    backwards = next_crossing_s(*place, expected + 3600.0, altitude, backwards=True)
    assert backwards is not None
    assert backwards[1] is rising
    assert backwards[0] == pytest.approx(found[0], abs=1.0)


def test_no_trap_with_the_utc_date() -> None:
    """San Francisco: a local day whose sunset is already on the next date in UTC. Asked about an
    instant there is no date to be wrong: the sunset after the afternoon is the evening's."""
    place = (-122.42, 37.77)
    noon = unix("2024-06-20T20:00")
    sunset = next_crossing_s(*place, noon, RISE_SET_DEG)
    assert sunset is not None
    assert not sunset[1]
    # USNO's 20:35 PDT on 20 June (from memory), which is 03:35Z on the 21st.
    assert abs(sunset[0] - unix("2024-06-21T03:35")) < 2.0 * ONE_MINUTE
    sunrise = next_crossing_s(*place, noon, RISE_SET_DEG, backwards=True)
    assert sunrise is not None
    assert sunrise[0] < noon < sunset[0]


def test_polar_day_and_night_in_words() -> None:
    """Tromso (69.65 N): no sunset from late May to late July, no sunrise from late November to mid
    January (common knowledge; the Norwegian almanac)."""
    tromso = (18.96, 69.65)
    assert sun_about(*tromso, unix("2024-06-20T12:00")).startswith("polar day")
    assert sun_about(*tromso, unix("2024-06-20T00:00")).startswith("polar day")
    assert sun_about(*tromso, unix("2024-12-21T12:00")).startswith("polar night")
    assert sun_about(*tromso, unix("2024-03-20T12:00")) == ""
    assert next_crossing_s(*tromso, unix("2024-12-21T12:00"), RISE_SET_DEG) is None


def test_light() -> None:
    assert light_in_words(10.0) == light_in_words(RISE_SET_DEG) == "daylight"
    assert light_in_words(-0.9) == light_in_words(CIVIL_DEG) == "civil twilight"
    assert light_in_words(-6.1) == "dark"


def test_noon_at_a_tropic_is_overhead() -> None:
    """At the June solstice the sun stands over the northern tropic (23.44 N) about noon."""
    times = unix("2024-06-20T11:50") + np.arange(0.0, 1800.0, 10.0)
    altitude, _ = sun_position(0.0, 23.44, times)
    assert float(altitude.max()) == pytest.approx(90.0, abs=0.05)


def test_position_against_an_ephemeris() -> None:
    """ephem 4 (VSOP87), no refraction: altitude and bearing within 0.02 degrees, 2000 to 2050."""
    ephem = pytest.importorskip("ephem", reason="ephem is not installed: pip install ephem")
    rng = np.random.default_rng(5)
    for _ in range(400):
        lon, lat = float(rng.uniform(-180, 180)), float(rng.uniform(-89, 89))
        when = datetime(2000, 1, 1, tzinfo=UTC) + timedelta(days=float(rng.uniform(0, 18_000)))
        observer = ephem.Observer()
        observer.lon, observer.lat = np.radians(lon), np.radians(lat)
        observer.pressure, observer.elevation = 0.0, 0.0
        observer.date = when.replace(tzinfo=None)
        sun = ephem.Sun(observer)
        altitude, bearing = sun_position(lon, lat, when.timestamp())
        assert float(altitude) == pytest.approx(np.degrees(float(sun.alt)), abs=0.02)
        off = (float(bearing) - np.degrees(float(sun.az)) + 180.0) % 360.0 - 180.0
        assert abs(off) * np.cos(np.radians(float(altitude))) < 0.02


@pytest.mark.parametrize("altitude", [RISE_SET_DEG, CIVIL_DEG])
def test_crossings_against_an_ephemeris(altitude: float) -> None:
    """ephem 4, centre at -50' and -6 degrees: within a minute from 60 S to 60 N."""
    ephem = pytest.importorskip("ephem", reason="ephem is not installed: pip install ephem")
    rng = np.random.default_rng(8)
    compared = 0
    for _ in range(150):
        lon, lat = float(rng.uniform(-180, 180)), float(rng.uniform(-60, 60))
        when = datetime(2024, 1, 1, tzinfo=UTC) + timedelta(days=float(rng.uniform(0, 3650)))
        observer = ephem.Observer()
        observer.lon, observer.lat = np.radians(lon), np.radians(lat)
        observer.pressure, observer.horizon = 0.0, np.radians(altitude)
        observer.date = when.replace(tzinfo=None)
        found = next_crossing_s(lon, lat, when.timestamp(), altitude)
        try:
            rise = observer.next_rising(ephem.Sun(), use_center=True).datetime()
            fall = observer.next_setting(ephem.Sun(), use_center=True).datetime()
        except (ephem.AlwaysUpError, ephem.NeverUpError):
            continue
        expected = min(rise, fall).replace(tzinfo=UTC).timestamp()
        assert found is not None
        assert found[1] is (rise < fall)
        assert abs(found[0] - expected) < ONE_MINUTE
        compared += 1
    assert compared > 130


@pytest.mark.parametrize("hours", [3.0, 23.0, 25.0, 100.0, 2_000.0])
def test_the_lowest_altitude_is_that_of_every_minute(hours: float) -> None:
    """Found 2026-11-25: over many days the sun was said to stand 162 degrees below the horizon."""
    rng = np.random.default_rng(9)
    for lat in (-75.0, -50.0, 0.0, 35.0, 66.0, 75.0):
        lon = float(rng.uniform(-180, 180))
        start = unix("2027-01-01T00:00") + float(rng.uniform(0.0, 365.0)) * 86_400.0
        minutes = np.append(np.arange(start, start + 3600.0 * hours, 60.0), start + 3600.0 * hours)
        true = float(sun_altitude_deg(lon, lat, minutes).min())
        found = float(lowest_altitude_deg(lon, lat, start, start + 3600.0 * hours))
        if true > 2.0 * CIVIL_DEG:
            # Half a degree more is how far the sun's declination goes in a day.
            assert true - 0.5 < found <= true + (1e-9 if hours < 24.0 else 0.01)
        # How deep the darkest night is does not matter, only that it is dark.
        assert (found < CIVIL_DEG) == (true < CIVIL_DEG) or abs(true - CIVIL_DEG) < 0.1
        assert found >= -90.0


def test_shapes_broadcast() -> None:
    found = sun_altitude_deg(np.zeros((3, 1)), 10.0, 1.7e9 + np.arange(4.0))
    assert found.shape == (3, 4)


@pytest.mark.parametrize("lat_deg", [30.0, 50.0, 60.0, 66.0])  # at 0 it is dark by far
def test_the_lowest_altitude_is_never_above_that_of_any_second(lat_deg: float) -> None:
    """Found 2026-11-25 by a mutant that halved what is taken off between two instants."""
    middle = datetime(2027, 6, 21, 0, 2, tzinfo=UTC).timestamp()
    seconds = sun_altitude_deg(0.0, lat_deg, middle + np.arange(-3600.0, 3600.0, 5.0))
    # So that midnight falls at each place between two of the instants.
    for shift_s in np.arange(0.0, 1440.0, 96.0):
        start = middle - 43_200.0 + shift_s
        found = float(lowest_altitude_deg(0.0, lat_deg, start, start + 86_400.0))
        assert found <= float(seconds.min())
        assert found > float(seconds.min()) - 0.2
