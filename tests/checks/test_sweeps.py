"""Checks asked for many departures at once against each departure alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routecheck.checks import all_checks
from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.objects import Danger, DangerKind
from routecheck.model.rule import Check, code_of
from routecheck.model.view import LegView, Touch
from tests.checks.views import POINT, met, place, view
from tests.model.test_depth_items import START_S, leg_of, passage, tide

SWEPT = {check.name: check for check in all_checks() if check.sweep is not None}
KINDS = (DangerKind.ROCK, DangerKind.WRECK, DangerKind.MARINE_FARM, DangerKind.FOUL_GROUND)


def danger(rng: np.random.Generator, number: int) -> Danger:
    return Danger(
        key=f"d/{number}",
        cls="UWTROC",
        source="cell",
        geometry=POINT,
        kind=KINDS[int(rng.integers(4))],
        charted_depth_m=[None, float(rng.uniform(-2.0, 8.0))][int(rng.integers(2))],
        depth_in_area_range=bool(rng.integers(2)),
        dangerous=bool(rng.integers(2)),
        stands_out=bool(rng.integers(8) == 0),
        unreliable=bool(rng.integers(2)),
    )


def leg(rng: np.random.Generator) -> LegView:
    """A leg with depths and dangers of all sorts, drawn at random."""
    of = leg_of(
        [
            (float(rng.uniform(-1.0, 9.0)), float(rng.uniform(0.0, 6000.0)), 900.0)
            for _ in range(int(rng.integers(0, 5)))
        ],
        rng.uniform(0.0, 9.0, int(rng.integers(0, 14))).tolist(),
    )
    dangers = tuple(
        met(
            danger(rng, number),
            place(float(rng.uniform(0.0, 6000.0)), touch=[Touch.CORRIDOR, Touch.BELT][number % 2]),
            area_depth_m=float(rng.uniform(1.0, 9.0)),
        )
        for number in range(int(rng.integers(0, 4)))
    )
    marked = replace(view().leg, daylight_only=bool(rng.integers(2)))
    return replace(of, dangers=dangers, leg=marked)


def test_there_are_sweeps() -> None:
    wanted = {"too-little-water", "underwater-danger", "tide-not-known", "arrival-in-the-dark"}
    assert wanted <= set(SWEPT)


@pytest.mark.parametrize("check", SWEPT.values(), ids=SWEPT)
def test_many_departures_at_once_are_each_alone(check: Check) -> None:
    assert check.sweep is not None
    rng = np.random.default_rng(7)
    seen: set[int] = set()
    for trial in range(16):
        of = leg(rng)
        by = tide(("table", "harmonic", "several", "zoned")[trial % 4])
        base = replace(passage(of, by, 1200.0), arrives=True)
        departs = START_S + 1500.0 * np.arange(-3.0, 70.0)
        codes = check.sweep(of, LegDepartures(passage=base, depart_s=departs))
        for code, start in zip(codes.tolist(), departs.tolist(), strict=True):
            found = check.function(of, replace(base, depart_s=start))
            assert code == min((code_of(one.severity) for one in found), default=code_of(None))
            seen.add(code)
    assert len(seen) >= 2
    assert seen <= {code_of(one) for one in (*Severity, None)}
