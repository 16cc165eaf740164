"""Bounds of heights over a span of time, against every second of a plain computation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routecheck.model.heights import (
    GAP_S,
    ConstantHeight,
    HarmonicHeights,
    Heights,
    SeriesHeights,
    TableHeights,
    covered,
)
from routecheck.model.secondary import (
    Differences,
    HeightDifference,
    SecondaryHeights,
    TimeDifference,
    secondary_of_table,
    turning_points,
    without_stands,
)
from routecheck.model.tide_curve import DAY_S, MOST_DAYS, whole_minutes_s
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic, heights_m
from routecheck.nav.tide_table import cosine_heights_m

DAY = 20_000
START_S = DAY * DAY_S
ONE_MILLIMETRE = 0.001

HARMONICS = tuple(
    Harmonic(constituent=constituent(name), amplitude_m=amplitude, phase_deg=lag)
    for name, amplitude, lag in [
        ("M2", 2.6, 98.0),
        ("S2", 0.4, 139.0),
        ("K1", 0.3, 5.0),
        ("M4", 0.2, 0.0),
    ]
)
EVENT_S = START_S + 3600.0 * np.array([1.013, 7.31, 13.442, 19.8, 26.1, 32.2, 38.51, 44.9])
EVENT_M = np.array([0.4, 4.9, 0.9, 4.4, 0.3, 5.1, 0.8, 4.6])
SAMPLE_S = START_S + 600.0 * np.arange(300.0) + 17.0
SAMPLE_M = 2.5 + 2.1 * np.cos((SAMPLE_S - START_S) / 7115.0) + 0.2 * np.cos(SAMPLE_S / 2000.0)

HARMONIC = HarmonicHeights(mean_level_m=3.0, harmonics=HARMONICS)
TABLE = TableHeights(event_s=EVENT_S, event_m=EVENT_M)
SERIES = SeriesHeights(time_s=SAMPLE_S, sample_m=SAMPLE_M)
SECONDARY = SecondaryHeights(
    base=HARMONIC,
    differences=Differences(
        time_high=TimeDifference(add_s=(1_500.0,)),
        time_low=TimeDifference(add_s=(-600.0,)),
        height_high=HeightDifference(factor_share=0.9),
        height_low=HeightDifference(add_m=(0.1,)),
    ),
)


def truth(which: Heights, time_s: np.ndarray) -> np.ndarray:
    if which is HARMONIC:
        return 3.0 + heights_m(HARMONICS, time_s)
    if which is TABLE:
        return cosine_heights_m(time_s, EVENT_S, EVENT_M)
    if which is SERIES:
        return np.interp(time_s, SAMPLE_S, SAMPLE_M)
    nodes = np.concatenate([whole_minutes_s(day)[:-1] for day in range(DAY - 2, DAY + 5)])
    events = SECONDARY.differences.events(*turning_points(nodes, 3.0 + heights_m(HARMONICS, nodes)))
    return cosine_heights_m(time_s, *events)


@pytest.mark.parametrize("which", [HARMONIC, TABLE, SERIES, SECONDARY], ids=lambda h: h.kind)
@given(
    spans=st.lists(
        st.tuples(st.floats(4_000.0, 80_000.0), st.floats(0.0, 70_000.0)), min_size=1, max_size=8
    )
)
@settings(max_examples=40)
def test_bounds_hold_and_are_tight(which: Heights, spans: list[tuple[float, float]]) -> None:
    from_s = START_S + np.array([a for a, _ in spans])
    to_s = from_s + np.array([w for _, w in spans])
    lowest, highest = which.lowest_m(from_s, to_s), which.highest_m(from_s, to_s)
    for i, (a, b) in enumerate(zip(from_s, to_s, strict=True)):
        true = truth(which, np.append(np.arange(a, b, 5.0), b))
        room = 0.02 if which is SERIES else 2 * ONE_MILLIMETRE
        assert true.min() - room < lowest[i] <= true.min() + 1e-9
        assert true.max() + room > highest[i] >= true.max() - 1e-9


@pytest.mark.parametrize("which", [HARMONIC, TABLE, SERIES, SECONDARY], ids=lambda h: h.kind)
def test_a_wider_span_is_never_better(which: Heights) -> None:
    rng = np.random.default_rng(1)
    from_s = START_S + rng.uniform(8_000.0, 60_000.0, 400)
    to_s = from_s + rng.uniform(0.0, 40_000.0, 400)
    more = rng.uniform(0.0, 4_000.0, (2, 400))
    assert (which.lowest_m(from_s - more[0], to_s + more[1]) <= which.lowest_m(from_s, to_s)).all()
    assert (
        which.highest_m(from_s - more[0], to_s + more[1]) >= which.highest_m(from_s, to_s)
    ).all()
    low, high = which.ever_m
    assert (which.lowest_m(from_s, to_s) >= low).all() or which.spans_s is None
    assert (which.highest_m(from_s, to_s) <= high).all() or which.spans_s is None


@pytest.mark.parametrize("kind", ["harmonic", "table", "series", "secondary"])
def test_to_the_last_bit_the_same_whatever_was_asked_before(kind: str) -> None:
    def fresh() -> Heights:
        return {
            "harmonic": HarmonicHeights(mean_level_m=3.0, harmonics=HARMONICS),
            "table": TableHeights(event_s=EVENT_S, event_m=EVENT_M),
            "series": SeriesHeights(time_s=SAMPLE_S, sample_m=SAMPLE_M),
            "secondary": SecondaryHeights(base=HARMONIC, differences=SECONDARY.differences),
        }[kind]

    rng = np.random.default_rng(2)
    from_s = START_S + rng.uniform(5_000.0, 80_000.0, 60)
    to_s = from_s + rng.uniform(0.0, 50_000.0, 60)
    together = fresh().lowest_m(from_s, to_s)
    shared = fresh()
    for i in rng.permutation(60):
        one = from_s[i : i + 1], to_s[i : i + 1]
        assert fresh().lowest_m(*one)[0] == together[i]
        assert shared.lowest_m(*one)[0] == together[i]


def test_shapes_are_kept() -> None:
    from_s = START_S + np.full((3, 4), 20_000.0)
    assert HARMONIC.lowest_m(from_s, from_s + 60.0).shape == (3, 4)
    constant = ConstantHeight(constant_m=0.4)
    assert constant.lowest_m(from_s, from_s).tolist() == np.full((3, 4), 0.4).tolist()


def test_the_extremes_of_a_table_and_of_constants() -> None:
    assert TABLE.ever_m == (0.3, 5.1)
    assert TABLE.spans_s == ((EVENT_S[0], EVENT_S[-1]),)
    low, high = HARMONIC.ever_m
    year = 3.0 + heights_m(HARMONICS, START_S + 600.0 * np.arange(144 * 365))
    assert low <= float(year.min()) < low + 0.3
    assert high >= float(year.max()) > high - 0.3


def test_gaps_of_a_series() -> None:
    time_s = START_S + np.array([0.0, 600.0, 1200.0, 1200.0 + GAP_S + 1.0, 9200.0])
    gappy = SeriesHeights(time_s=time_s, sample_m=np.array([1.0, 2.0, 3.0, 4.0, 5.0]))
    first, second = gappy.spans_s
    assert first == (START_S, START_S + 1200.0)
    assert second == (START_S + 1200.0 + GAP_S + 1.0, START_S + 9200.0)
    asked = START_S + np.array([[0.0, 1200.0], [-1.0, 5.0], [0.0, 1201.0], [9000.0, 9200.0]])
    assert covered(gappy.spans_s, asked[:, 0], asked[:, 1]).tolist() == [True, False, False, True]
    assert covered(None, asked[:, 0], asked[:, 1]).all()


def test_too_many_days_at_once() -> None:
    with pytest.raises(ValueError, match="too many"):
        HARMONIC.lowest_m(np.array([0.0]), np.array([(MOST_DAYS + 2) * DAY_S]))


def test_turning_points_of_a_cosine() -> None:
    time_s = 60.0 * np.arange(2_000.0)
    when, height = turning_points(time_s, 3.0 * np.cos((time_s - 100.0) / 7_000.0))
    expected = 100.0 + 7_000.0 * np.pi * np.arange(len(when))
    assert when[0] == pytest.approx(100.0, abs=0.5)
    assert when == pytest.approx(expected, abs=0.5)
    assert height == pytest.approx(3.0 * (-1.0) ** np.arange(len(when)), abs=1e-6)


def test_turning_points_with_level_stretches() -> None:
    time_s = np.arange(9.0)
    when, _ = turning_points(time_s, np.array([0.0, 1.0, 1.0, 2.0, 2.0, 1.0, 0.0, 0.0, 1.0]))
    assert when.tolist() == [3.5, 6.5]


def test_stands_are_no_tides() -> None:
    """A double high water of 20 minutes goes; the tide about it stays."""
    when = np.array([0.0, 6.0, 6.4, 6.8, 12.0]) * 3600.0
    height = np.array([1.0, 4.0, 3.9, 4.1, 0.8])
    kept, heights = without_stands(when, height, 3600.0)
    assert (kept / 3600.0).tolist() == [0.0, 6.8, 12.0]
    assert heights.tolist() == [1.0, 4.1, 0.8]


def test_differences_that_cannot_be() -> None:
    still = TimeDifference()
    same = HeightDifference()
    late = Differences(
        time_high=TimeDifference(add_s=(7 * 3600.0,)),
        time_low=still,
        height_high=same,
        height_low=same,
    )
    with pytest.raises(ValueError, match="wrong order"):
        secondary_of_table(TABLE, late)
    flat = Differences(
        time_high=still,
        time_low=still,
        height_high=HeightDifference(factor_share=0.1),
        height_low=HeightDifference(add_m=(0.9,)),
    )
    with pytest.raises(ValueError, match="low water above"):
        secondary_of_table(TABLE, flat)
