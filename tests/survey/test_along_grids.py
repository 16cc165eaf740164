"""What a grid's parts along a leg are worth, and which of them count, on hand-made parts."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from routecheck.model.source import UNKNOWN_QUALITY, Quality
from routecheck.survey.along_grids import LegGrid, _guessed
from routecheck.survey.parts import Parts
from routecheck.survey.profile import GridProfile, RouteProfile
from tests.survey.memory_grid import MemoryGrid

INF = np.inf
SOURCE = MemoryGrid(np.zeros((1, 1)), x=0.0, y=0.0, dx=1.0, dy=1.0).source


def profile(
    depth_m: list[float],
    *,
    from_m: list[float] | None = None,
    to_m: list[float] | None = None,
    invalid: list[int] | None = None,
    off: list[int] | None = None,
    lon: list[float] | None = None,
    lat: list[float] | None = None,
) -> GridProfile:
    """Parts of 100 m one after the other, unless it is said otherwise."""
    count = len(depth_m)
    start = np.arange(count) * 100.0 if from_m is None else np.array(from_m, dtype=float)
    end = start + 100.0 if to_m is None else np.array(to_m, dtype=float)

    def flags(which: list[int] | None) -> np.ndarray:
        return np.isin(np.arange(count), which or [])

    return GridProfile(
        RouteProfile(
            step_m=100.0,
            parts=Parts(
                along_from_m=start,
                along_to_m=end,
                lon_deg=np.zeros((count, 4)),
                lat_deg=np.zeros((count, 4)),
            ),
            depth_m=np.array(depth_m, dtype=np.float32),
            lon_deg=np.zeros(count) if lon is None else np.array(lon),
            lat_deg=np.zeros(count) if lat is None else np.array(lat),
            column=np.zeros(count, dtype=np.intp),
            row=np.zeros(count, dtype=np.intp),
            any_invalid=flags(invalid),
            off_grid=flags(off),
        ),
        0,
        count,
    )


def leg_grid(
    held: GridProfile,
    *,
    quality: Quality = UNKNOWN_QUALITY,
    coarse: bool = False,
    uncertainty: GridProfile | None = None,
    measured: GridProfile | None = None,
    **facts: Any,
) -> LegGrid:
    grid: Any = SimpleNamespace(source=replace(SOURCE, quality=quality, **facts))
    return LegGrid(
        grid=grid, profile=held, coarse=coarse, uncertainty=uncertainty, measured=measured
    )


STATED = Quality(name="stated", vertical_m=0.5, vertical_share=0.02)
BY_CELL = replace(STATED, by_cell=True)
DEPTHS = [10.0, -5.0, INF]  # a drying height has its share, too; where nothing is there is none


@pytest.mark.parametrize(
    ("quality", "cells_m", "expected"),
    [
        (STATED, None, [0.7, 0.6, 0.5]),
        (BY_CELL, None, [0.0, 0.0, 0.0]),
        (UNKNOWN_QUALITY, None, [0.0, 0.0, 0.0]),
        # The worse of the two counts; a profile holds the uncertainty's negative, +inf: nothing.
        (STATED, [-0.3, -2.5, INF], [0.7, 2.5, 0.5]),
        (BY_CELL, [-0.3, -2.5, INF], [0.3, 2.5, 0.0]),
        (UNKNOWN_QUALITY, [-0.3, INF, -4.0], [0.3, 0.0, 4.0]),
    ],
)
def test_the_uncertainty_of_each_part(
    quality: Quality, cells_m: list[float] | None, expected: list[float]
) -> None:
    beside = None if cells_m is None else profile(cells_m)
    found = leg_grid(profile(DEPTHS), quality=quality, uncertainty=beside).off_m
    assert found.tolist() == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("quality", "beside", "measured", "known"),
    [
        (STATED, None, None, [True, True, True]),
        (UNKNOWN_QUALITY, None, None, [False, False, False]),
        (BY_CELL, None, None, [False, False, False]),
        # Cell by cell: where every touched cell states one.
        (BY_CELL, [1], None, [True, False, True]),
        (UNKNOWN_QUALITY, [1], None, [True, False, True]),
        # A sidecar's figure is none of a cell that states none.
        (STATED, [1], None, [True, False, True]),
        # Never of what nobody measured.
        (STATED, None, [0], [False, True, True]),
        (BY_CELL, [1], [0], [False, False, True]),
    ],
)
def test_where_the_uncertainty_is_stated(
    quality: Quality, beside: list[int] | None, measured: list[int] | None, known: list[bool]
) -> None:
    found = leg_grid(
        profile(DEPTHS),
        quality=quality,
        uncertainty=None if beside is None else profile([-0.3] * 3, invalid=beside),
        measured=None if measured is None else profile([0.0] * 3, invalid=measured),
    )
    assert found.known.tolist() == known
    assert found.was_measured.tolist() == [n not in (measured or []) for n in range(3)]


def test_parts_that_are_whole() -> None:
    held = leg_grid(profile([9.0] * 4, invalid=[1, 3], off=[2, 3]))
    assert held.whole.tolist() == [True, False, False, False]


@pytest.mark.parametrize(
    ("coarse", "facts", "clears"),
    [
        (False, {"datum": "LAT"}, True),
        (True, {"datum": "LAT"}, False),
        (False, {"datum": "MSL"}, False),
        (True, {"datum": "MSL"}, False),
        (False, {"datum": "MSL", "datum_below_msl_m": 2.0}, True),
    ],
)
def test_what_clears_is_fine_and_on_a_low_datum(
    coarse: bool, facts: dict[str, Any], clears: bool
) -> None:
    assert leg_grid(profile([9.0]), coarse=coarse, **facts).clears is clears


def test_parts_that_share_a_stretch_ends_included() -> None:
    held = leg_grid(profile([9.0] * 4))  # 0, 100, 200, 300 to 400 m
    assert held.within(200.0, 250.0).tolist() == [False, True, True, False]
    assert held.within(201.0, 299.0).tolist() == [False, False, True, False]
    assert held.within(150.0, 300.0).tolist() == [False, True, True, True]
    assert held.within(401.0, 500.0).tolist() == [False] * 4


def test_what_nobody_measured_is_not_believed_shoaler_than_fifty_metres() -> None:
    """Common practice: see `MEASURED_ABOVE_M`."""
    held = profile([49.0, 50.0, 51.0, 49.0, INF])
    found = leg_grid(held, measured=profile([0.0] * 5, invalid=[0, 1, 2, 4]))
    assert _guessed(found).tolist() == [True, False, False, False, False]
