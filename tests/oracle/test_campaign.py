"""A short slice of the campaign, and proofs of the oracle's own footing."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from tests.oracle.campaign import KINDS, batch, from_files
from tests.oracle.plane import GEOD, Sheet, rhumb_line
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
