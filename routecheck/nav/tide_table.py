"""Heights between high and low waters, and secondary ports.

Cosine curve: NOAA, Tide Tables, Table 3 (Height of tide at any time), which tabulates it; also
Bowditch, American Practical Navigator, chapter on tides. It is invalid where the tide stands or
has two high waters (common practice: the Solent, the Dutch coast): give a series there.
Differences: NOAA Table 2 (ratios and fixed), Admiralty Tide Tables Part II (interpolated by the
clock at the standard port, and by its height).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from routecheck.nav.angles import Floats

DAY_S = 86_400.0


def cosine_heights_m(time_s: ArrayLike, event_s: ArrayLike, event_m: ArrayLike) -> Floats:
    """Heights at times, on cosine arcs between high and low waters.

    `event_s` of shape (k,) rises, `event_m` are their heights; the result has the shape of
    `time_s`. Times before the first or after the last event take that event's height; whether
    they may be asked for is the caller's business.

    Montague Harbour, low water 0327 2.2 ft, high water 1141 11.4 ft, at 0700 (in hours):

    >>> round(float(cosine_heights_m(7.0, [3.45, 11 + 41 / 60], [2.2, 11.4])), 1)
    5.8
    """
    time = np.asarray(time_s, dtype=float)
    when, height = np.asarray(event_s, dtype=float), np.asarray(event_m, dtype=float)
    after = np.clip(np.searchsorted(when, time, side="right"), 1, len(when) - 1)
    t1, t2, h1, h2 = when[after - 1], when[after], height[after - 1], height[after]
    part = np.clip((time - t1) / (t2 - t1), 0.0, 1.0)
    return np.asarray((h1 + h2) / 2.0 + (h1 - h2) / 2.0 * np.cos(np.pi * part))


def cosine_bends_m(event_s: ArrayLike, event_m: ArrayLike, step_s: float) -> Floats:
    """How far each arc can leave a chord `step_s` long, shape (k - 1,).

    The second derivative of an arc is at most half the range times (pi / duration) squared, and
    a curve leaves its chord by at most that times the square of the step, divided by 8.
    """
    duration_s = np.diff(np.asarray(event_s, dtype=float))
    rise_m = np.abs(np.diff(np.asarray(event_m, dtype=float)))
    return np.asarray(rise_m / 2.0 * (np.pi / duration_s) ** 2 * step_s**2 / 8.0)


def twelfths_height_share(part_share: ArrayLike) -> Floats:
    """Share of the range risen after a share of the interval, by the rule of twelfths.

    Common practice: 1, 2, 3, 3, 2, 1 twelfths in the six sixths, straight between them. A
    cross-check of the cosine only: it leaves it by up to 0.026 of the range.
    """
    sixths, risen = np.arange(7) / 6.0, np.array([0, 1, 3, 6, 9, 11, 12]) / 12.0
    return np.asarray(np.interp(np.asarray(part_share, dtype=float), sixths, risen))


def by_clock_s(
    time_s: ArrayLike, clock_s: Sequence[float], difference_s: Sequence[float]
) -> Floats:
    """Time differences interpolated by the time of day of the event at the standard port.

    `clock_s` rises within one day and repeats daily, as Admiralty Tide Tables print them (0000
    and 1200, 0600 and 1800). One entry holds at all times.
    """
    of_day = np.asarray(time_s, dtype=float) % DAY_S
    clock, by = np.asarray(clock_s, dtype=float), np.asarray(difference_s, dtype=float)
    return np.asarray(np.interp(of_day, clock, by, period=DAY_S))


def by_height_m(
    height_m: ArrayLike, at_m: Sequence[float], difference_m: Sequence[float]
) -> Floats:
    """Height differences interpolated by the height at the standard port.

    `at_m` rises. Beyond its ends the outermost two are carried on in a straight line, as in the
    Admiralty's diagram; one entry holds at all heights.
    """
    height, at, by = (np.asarray(v, dtype=float) for v in (height_m, at_m, difference_m))
    if len(at) == 1:
        return np.full(height.shape, by[0])
    after = np.clip(np.searchsorted(at, height), 1, len(at) - 1)
    slope = (by[after] - by[after - 1]) / (at[after] - at[after - 1])
    return np.asarray(by[after - 1] + slope * (height - at[after - 1]))
