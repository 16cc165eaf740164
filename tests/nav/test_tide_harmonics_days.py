"""Waves of single days, and the bounds over many: exact where a hand can work them out."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest

from routecheck.nav.tide_constituents import Constituent, constituent
from routecheck.nav.tide_harmonics import (
    DAY_S,
    Harmonic,
    arguments_deg,
    day_waves,
    heights_m,
    lowest_and_highest_m,
    mid_year_s,
    node_corrections,
)

NAMES = ("M2", "K1", "O1", "MF", "L2", "M4")
PARTS = [
    Harmonic(constituent=constituent(name), amplitude_m=0.5 + 0.1 * at, phase_deg=40.0 * at)
    for at, name in enumerate(NAMES)
]
S2 = Harmonic(constituent=constituent("S2"), amplitude_m=2.0, phase_deg=0.0)
M2 = Harmonic(constituent=constituent("M2"), amplitude_m=2.0, phase_deg=0.0)
DAY = 20_555


def by_definition_m(time_s: float, corrected_s: float) -> float:
    """Z0 + sum of f H cos(V + u - g), with f and u of another instant."""
    parts = [one.constituent for one in PARTS]
    f, u = node_corrections(parts, [corrected_s])
    v = arguments_deg(parts, [time_s])
    lag = np.array([one.phase_deg for one in PARTS])
    height = np.array([one.amplitude_m for one in PARTS])
    return float((f[:, 0] * height * np.cos(np.radians(v[:, 0] + u[:, 0] - lag))).sum())


@pytest.mark.parametrize("of_day_s", [0.0, 1.0, 30_000.0, 43_200.0, 86_399.0])
def test_node_corrections_are_those_of_noon(of_day_s: float) -> None:
    time_s, noon_s = DAY * DAY_S + of_day_s, DAY * DAY_S + 43_200.0
    expected = by_definition_m(time_s, noon_s)
    # The rates are those of the day's mean: the second order does a ten-millionth.
    assert heights_m(PARTS, time_s)[0] == pytest.approx(expected, abs=2e-7)
    (wave,) = day_waves(PARTS, [DAY])
    assert wave.heights_m(np.array([time_s]))[0] == pytest.approx(expected, abs=2e-7)


def test_or_those_of_the_middle_of_the_year() -> None:
    time_s = DAY * DAY_S + 30_000.0
    expected = by_definition_m(time_s, mid_year_s(time_s))
    assert heights_m(PARTS, time_s, mid_year=True)[0] == pytest.approx(expected, abs=2e-7)
    assert heights_m(PARTS, time_s)[0] != pytest.approx(expected, abs=1e-4)
    lowest_m, highest_m = lowest_and_highest_m([M2], DAY, 1, mid_year=True)
    f, _ = node_corrections([M2.constituent], [mid_year_s(time_s)])
    assert highest_m == pytest.approx(2.0 * float(f[0, 0]), abs=0.02)
    assert lowest_m == pytest.approx(-highest_m, abs=0.02)


def test_days_are_kept_apart_whatever_their_order() -> None:
    """A day late in the list has its own corrections, and a time before 1970 too."""
    times = np.array([DAY + 400.25, DAY + 0.5, -800.5, DAY + 400.75, DAY]) * DAY_S
    found = heights_m(PARTS, times)
    for time_s, height in zip(times, found, strict=True):
        noon_s = (np.floor(time_s / DAY_S) + 0.5) * DAY_S
        assert height == pytest.approx(by_definition_m(time_s, noon_s), abs=2e-7)


def test_the_middle_of_a_year_at_its_ends() -> None:
    for year in (1999, 2024, 2026):
        middle = datetime(year, 7, 2, 12, tzinfo=UTC).timestamp()
        assert mid_year_s(datetime(year, 1, 1, tzinfo=UTC).timestamp()) == middle
        assert mid_year_s(datetime(year + 1, 1, 1, tzinfo=UTC).timestamp() - 1.0) == middle


def test_the_bend_of_one_wave() -> None:
    """A cosine of height H and rate w bends by H w**2 at most; the chord of a step d leaves it by
    an eighth of that times d**2. S2 goes round twice a day and has no node."""
    rate = 2.0 * np.pi * 2.0 / 86_400.0
    (wave,) = day_waves([S2], [DAY])
    assert wave.bend_m(600.0) == pytest.approx(2.0 * rate**2 * 600.0**2 / 8.0, rel=1e-9)
    both = [S2, Harmonic(constituent=S2.constituent, amplitude_m=-1.0, phase_deg=0.0)]
    (wave,) = day_waves(both, [DAY])
    assert wave.bend_m(600.0) == pytest.approx(3.0 * rate**2 * 600.0**2 / 8.0, rel=1e-9)


def test_bounds_of_one_wave() -> None:
    """High water of S2 with no lag is at noon and midnight, low water at six: on half-hours both.
    The bounds are those heights, and the bend of half an hour."""
    bend_m = 2.0 * (2.0 * np.pi * 2.0 / 86_400.0) ** 2 * 1800.0**2 / 8.0
    lowest_m, highest_m = lowest_and_highest_m([S2], DAY, 1)
    assert lowest_m == pytest.approx(-2.0 - bend_m, abs=1e-9)
    assert highest_m == pytest.approx(2.0 + bend_m, abs=1e-9)


@pytest.mark.parametrize("of_deg", [0.0, 180.0])
def test_the_bounds_end_with_the_day(of_deg: float) -> None:
    """M2 and K1, both high (or low) at half past midnight after the day: further than in it."""
    end_s = (DAY + 1) * DAY_S + 1800.0
    parts = []
    for name, height in (("M2", 2.0), ("K1", 0.5)):
        one = constituent(name)
        lag = float(arguments_deg([one], [end_s])[0, 0]) - of_deg
        parts.append(Harmonic(constituent=one, amplitude_m=height, phase_deg=lag % 360.0))
    minutes = heights_m(parts, DAY * DAY_S + 60.0 * np.arange(1441))
    bend_m = day_waves(parts, [DAY])[0].bend_m(1800.0)
    lowest_m, highest_m = lowest_and_highest_m(parts, DAY, 1)
    assert float(minutes.min()) - bend_m - 1e-3 <= lowest_m <= float(minutes.min())
    assert float(minutes.max()) + bend_m + 1e-3 >= highest_m >= float(minutes.max())


@pytest.mark.parametrize("at", [0, 399, 400, 401])
def test_no_day_is_left_out(at: int) -> None:
    """A wave of the moon's perigee, of nearly nine years, with its high water at noon of one day of
    those that are worked through in parts: in the half-day to the days beside it goes down 5e-7."""
    slow = Constituent(name="", turns=(0, 0, 0, 1, 0), offset_deg=0.0)
    lag = float(arguments_deg([slow], [(DAY + at + 0.5) * DAY_S])[0, 0])
    high = Harmonic(constituent=slow, amplitude_m=1.0, phase_deg=lag)
    assert lowest_and_highest_m([high], DAY, at + 1)[1] >= 1.0 - 1e-8


def test_bounds_by_their_own_rule() -> None:
    """Of O1, whose factor goes up and down by a fifth with the node, over 402 days: the greatest of
    all half-hours, and beyond it the bend of the day that bends most, not of the least."""
    o1 = Harmonic(constituent=constituent("O1"), amplitude_m=2.0, phase_deg=0.0)
    waves = day_waves([o1], range(DAY, DAY + 402))
    bends_m = [wave.bend_m(1800.0) for wave in waves]
    assert max(bends_m) > min(bends_m) + 1e-5
    # The days before go further: they are not asked for.
    before = max(wave.amplitude_m[0] for wave in day_waves([o1], range(DAY - 400, DAY)))
    assert before > max(wave.amplitude_m[0] for wave in waves) + 1e-3
    half_hours = 1800.0 * np.arange(49)
    heights = np.concatenate([wave.heights_m(wave.start_s + half_hours) for wave in waves])
    lowest_m, highest_m = lowest_and_highest_m([o1], DAY, 402)
    assert lowest_m == pytest.approx(float(heights.min()) - max(bends_m), abs=1e-9)
    assert highest_m == pytest.approx(float(heights.max()) + max(bends_m), abs=1e-9)
