"""Heights between high and low waters, and secondary ports, against worked examples."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from routecheck.nav.tide_table import (
    by_clock_s,
    by_height_m,
    cosine_bends_m,
    cosine_heights_m,
    twelfths_height_share,
)

HOUR_S = 3600.0


def clock_s(text: str) -> float:
    return int(text[:2]) * HOUR_S + int(text[2:]) * 60.0


def test_montague_harbour() -> None:
    """A navigation course on NOAA's Table 3 (sailnet.com, "Tidal charts, tidal graphs"):
    1 October 2003, LW 0327 2.2 ft, HW 1141 11.4 ft; at 0700 the table gives 5.8 ft."""
    found = cosine_heights_m(clock_s("0700"), [clock_s("0327"), clock_s("1141")], [2.2, 11.4])
    assert round(float(found), 1) == 5.8


def test_rainsford_island_by_ratios() -> None:
    """A course's example on Boston, 19 April 2004 (batswings.com, Advanced Piloting, chapter 7): HW
    1111 10.0 ft, LW 1710 0.5 ft; Rainsford Island HW +0 min, LW +2 min, both heights x 0.95. The
    course takes "three hours after high water" and gets 5.0 ft at 1400 by the rule of twelfths."""
    high, low = clock_s("1111"), clock_s("1710") + 120.0
    heights = [10.0 * 0.95, 0.5 * 0.95]
    at = clock_s("1400")
    exact = float(cosine_heights_m(at, [high, low], heights))
    part = (at - high) / (low - high)
    twelfths = heights[0] + (heights[1] - heights[0]) * float(twelfths_height_share(part))
    assert (
        round(heights[0] + (heights[1] - heights[0]) * float(twelfths_height_share(0.5)), 1) == 5.0
    )
    assert exact == pytest.approx(twelfths, abs=0.026 * (heights[0] - heights[1]))
    assert exact == pytest.approx(5.44, abs=0.005)


def test_the_rule_of_twelfths_as_a_cross_check() -> None:
    """Common practice: 1, 2, 3, 3, 2, 1 twelfths. At the sixths it is off by a sixtieth of the
    range, anywhere by 0.0256 (arithmetic)."""
    part = np.linspace(0.0, 1.0, 6001)
    cosine = cosine_heights_m(part, [0.0, 1.0], [0.0, 1.0])
    off = np.abs(cosine - twelfths_height_share(part))
    assert float(off.max()) == pytest.approx(0.0256, abs=0.0002)
    assert float(off[::1000].max()) <= 1.0 / 60.0 + 1e-4
    assert cosine[::1000] == pytest.approx([0.0, 0.0670, 0.25, 0.5, 0.75, 0.9330, 1.0], abs=5e-5)


def test_events_in_a_row_and_their_ends() -> None:
    when, height = [0.0, 6.0, 12.5], [1.0, 4.0, 0.5]
    assert cosine_heights_m([0.0, 6.0, 12.5], when, height).tolist() == [1.0, 4.0, 0.5]
    assert cosine_heights_m([-1.0, 99.0], when, height).tolist() == [1.0, 0.5]
    rising = cosine_heights_m(np.linspace(0.0, 6.0, 50), when, height)
    assert (np.diff(rising) > 0.0).all()


def test_the_bend_bounds_the_arc() -> None:
    when, height = [0.0, 6.0 * HOUR_S, 12.4 * HOUR_S], [0.3, 9.4, 1.1]
    (first, second) = cosine_bends_m(when, height, 60.0)
    nodes = np.arange(0.0, 6.0 * HOUR_S + 1.0, 60.0)
    fine = np.arange(0.0, 6.0 * HOUR_S, 7.0)
    chord = np.interp(fine, nodes, cosine_heights_m(nodes, when, height))
    leaves = float(np.abs(cosine_heights_m(fine, when, height) - chord).max())
    assert 0.5 * first < leaves <= first
    assert 0.0 < second < first < 0.0002


# "If HW at the standard port is 0000 or 1200 then +15 minutes, 0600 or 1800 then -10 minutes; if it
# is 0300, two and a half minutes before" read as the mean (+2.5): a sailing forum's explanation of
# the Admiralty differences (forums.ybw.com/threads/267504); Littleport on Mainhaven-on-Sea, 0300
# half-way between +35 and +23: +29 (corvidia.net, secondary-port tester); Barfleur on Cherbourg,
# HW 18:46 between 1500 +51 and 2100 +44: +47, so 19:33 (nauticalive.com, corrections 2).
@pytest.mark.parametrize(
    ("clocks", "minutes", "at", "expected"),
    [
        (("0000", "0600", "1200", "1800"), (15, -10, 15, -10), "0300", 2.5),
        (("0000", "0600", "1200", "1800"), (35, 23, 35, 23), "0300", 29.0),
        (("0300", "0900", "1500", "2100"), (51, 44, 51, 44), "1846", 47.0),
        (("0000", "0600", "1200", "1800"), (35, 23, 35, 23), "2100", 29.0),
        (("0500",), (12,), "2300", 12.0),
    ],
)
def test_time_differences_by_the_clock(
    clocks: tuple[str, ...], minutes: tuple[int, ...], at: str, expected: float
) -> None:
    found = by_clock_s(clock_s(at), [clock_s(c) for c in clocks], [60.0 * m for m in minutes])
    assert float(found) / 60.0 == pytest.approx(expected, abs=0.5)


def test_barfleurs_high_water_is_at_1933() -> None:
    day = datetime(2024, 3, 1, tzinfo=UTC).timestamp()
    high = day + clock_s("1846")
    clocks = [clock_s(c) for c in ("0300", "0900", "1500", "2100")]
    there = high + float(by_clock_s(high, clocks, [51 * 60.0, 44 * 60.0] * 2))
    assert round((there - day) / 60.0) == 19 * 60 + 33


# nauticalinformation.blogspot.com, "Tides (part 3)", after Bowditch: HW 2200 on 23 March and 3 h
# later is 0100 on 24 March; HW 0200 on 29 March and 5 h earlier is 2100 on 28 March.
@pytest.mark.parametrize(
    ("high", "hours", "there"),
    [
        (datetime(2024, 3, 23, 22, tzinfo=UTC), 3.0, datetime(2024, 3, 24, 1, tzinfo=UTC)),
        (datetime(2024, 3, 29, 2, tzinfo=UTC), -5.0, datetime(2024, 3, 28, 21, tzinfo=UTC)),
    ],
)
def test_the_date_changes_with_the_difference(
    high: datetime, hours: float, there: datetime
) -> None:
    found = high.timestamp() + float(by_clock_s(high.timestamp(), [0.0], [hours * HOUR_S]))
    assert datetime.fromtimestamp(found, UTC) == there


# Littleport on Mainhaven-on-Sea: MHWS 4.2 m +1.1, MHWN 3.4 m +0.8 (corvidia.net); between and
# beyond by a straight line.
@pytest.mark.parametrize(
    ("height", "expected"), [(4.2, 1.1), (3.4, 0.8), (3.8, 0.95), (4.6, 1.25), (3.0, 0.65)]
)
def test_height_differences_by_the_height(height: float, expected: float) -> None:
    assert float(by_height_m(height, [3.4, 4.2], [0.8, 1.1])) == pytest.approx(expected)


def test_one_height_difference_holds_everywhere() -> None:
    assert by_height_m([1.0, 9.0], [0.0], [-0.3]).tolist() == [-0.3, -0.3]
