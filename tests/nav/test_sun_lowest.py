"""The lowest altitude by its own rule, worked out anew; polar days at their ends; the horizon.

The rule: of 61 instants, less an eighth of the square of the hour angle between two of them; of
many days the first and the last.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest

from routecheck.nav.sun import (
    light_in_words,
    lowest_altitude_deg,
    sun_about,
    sun_altitude_deg,
    sun_position,
)

DAY_S = 86_400.0
HOUR_S = 3600.0
NOON_S = datetime(2027, 10, 3, 12, tzinfo=UTC).timestamp()
PLACE = (0.0, 50.0)


def by_the_rule_deg(from_s: float, to_s: float) -> float:
    """Of a day at most."""
    instants = from_s + np.arange(61) * ((to_s - from_s) / 60.0)
    apart_deg = (to_s - from_s) / 60.0 / 240.0  # the sun goes a degree in four minutes
    lowest = float(sun_altitude_deg(*PLACE, instants).min())
    return lowest - float(np.degrees(np.radians(apart_deg) ** 2 / 8.0))


@pytest.mark.parametrize(
    ("altitude_deg", "word"),
    # Fifty minutes of arc and six degrees: the almanacs' rising and setting, and civil twilight.
    [
        (-0.8333, "daylight"),
        (-0.8334, "civil twilight"),
        (-5.9999, "civil twilight"),
        (-6.0001, "dark"),
    ],
)
def test_where_daylight_and_twilight_end(altitude_deg: float, word: str) -> None:
    assert light_in_words(altitude_deg) == word


@pytest.mark.parametrize("hours", [0.5, 6.0, 13.0, 24.0])
def test_within_a_day(hours: float) -> None:
    found = float(lowest_altitude_deg(*PLACE, NOON_S, NOON_S + hours * HOUR_S))
    assert found == pytest.approx(by_the_rule_deg(NOON_S, NOON_S + hours * HOUR_S), abs=1e-9)


def test_an_instant_is_its_own_lowest() -> None:
    found = float(lowest_altitude_deg(*PLACE, NOON_S, NOON_S))
    assert found == float(sun_altitude_deg(*PLACE, NOON_S))


@pytest.mark.parametrize("hours", [24.001, 30.0, 47.0, 100.0])
@pytest.mark.parametrize("start_s", [NOON_S, NOON_S - 183.0 * DAY_S])
def test_of_many_days_the_first_and_the_last(hours: float, start_s: float) -> None:
    """In autumn the last night is the darkest, in spring the first."""
    end_s = start_s + hours * HOUR_S
    first = by_the_rule_deg(start_s, start_s + DAY_S)
    last = by_the_rule_deg(end_s - DAY_S, end_s)
    assert (first < last) == (start_s < NOON_S) or hours < 47.0
    found = float(lowest_altitude_deg(*PLACE, start_s, end_s))
    assert found == pytest.approx(min(first, last), abs=1e-9)


def test_long_and_short_times_together() -> None:
    """Each as by itself: the long one's last night counts, the short one stays short."""
    spans = np.array([2.0, 100.0, 10.0]) * HOUR_S
    found = lowest_altitude_deg(*PLACE, NOON_S, NOON_S + spans)
    alone = [float(lowest_altitude_deg(*PLACE, NOON_S, NOON_S + span)) for span in spans]
    assert found == pytest.approx(alone, abs=1e-9)
    assert found.shape == (3,)


@pytest.mark.parametrize(
    ("when", "said"),
    # Tromso, 69.65 N: midnight sun to about 26 July, dark time from about 27 November (common
    # knowledge). A day before its end there is still a whole day without a sunset either way.
    [
        ("2024-06-20T00:00Z", "polar day: the sun does not set"),
        ("2024-12-21T11:00Z", "polar night: the sun does not rise"),
        ("2024-09-20T00:00Z", ""),
        ("2024-09-20T12:00Z", ""),
    ],
)
def test_polar_days_in_full(when: str, said: str) -> None:
    assert sun_about(18.96, 69.65, datetime.fromisoformat(when).timestamp()) == said


def first_or_last_of_the_midnight_sun() -> tuple[float, float]:
    """At 69.65 N: the last sunset in spring, the first in summer, to ten minutes."""
    times = datetime(2024, 5, 1, tzinfo=UTC).timestamp() + 600.0 * np.arange(120 * 144)
    down = times[sun_altitude_deg(18.96, 69.65, times) < -50.0 / 60.0]
    gap = int(np.diff(down).argmax())
    return float(down[gap]), float(down[gap + 1])


def test_a_sunset_on_one_side_is_enough() -> None:
    spring_s, summer_s = first_or_last_of_the_midnight_sun()
    for inside_s, outside_s in ((spring_s + 5.0 * HOUR_S, spring_s + 30.0 * HOUR_S),
                                (summer_s - 5.0 * HOUR_S, summer_s - 30.0 * HOUR_S)):  # fmt: skip
        assert sun_about(18.96, 69.65, inside_s) == ""
        assert sun_about(18.96, 69.65, outside_s).startswith("polar day")


@pytest.mark.parametrize(
    ("lon_deg", "lat_deg"), [(0.0, 90.0), (77.0, -90.0), (10.0, 0.0), (-120.0, 35.0)]
)
def test_altitude_and_bearing_of_a_vector(lon_deg: float, lat_deg: float) -> None:
    """The sun as a vector, turned into the horizon's axes by plain products with unit vectors."""
    times = NOON_S + HOUR_S * np.arange(0.0, 24.0, 1.7)
    altitude, bearing = sun_position(lon_deg, lat_deg, times)
    # Where the sun is overhead: as seen from the pole and from the equator at Greenwich.
    declination = np.radians(sun_position(0.0, 90.0, times)[0])
    up0, from0 = (np.radians(one) for one in sun_position(0.0, 0.0, times))
    sun: Any = np.stack([np.sin(up0), np.cos(up0) * np.sin(from0), np.sin(declination)])
    lon, lat = np.radians(lon_deg), np.radians(lat_deg)
    up = np.array([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)]) @ sun
    east = np.array([-np.sin(lon), np.cos(lon), 0.0]) @ sun
    north = np.array([-np.sin(lat) * np.cos(lon), -np.sin(lat) * np.sin(lon), np.cos(lat)]) @ sun
    assert np.sin(np.radians(altitude)) == pytest.approx(up, abs=1e-9)
    level = np.cos(np.radians(altitude))
    assert level * np.sin(np.radians(bearing)) == pytest.approx(east, abs=1e-9)
    assert level * np.cos(np.radians(bearing)) == pytest.approx(north, abs=1e-9)
