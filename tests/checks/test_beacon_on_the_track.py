"""Beacons on the track itself."""

from __future__ import annotations

import pytest

from routecheck.checks.beacon_on_the_track import beacon_on_the_track
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Mark
from tests.buoys import charts, mark, met, passage, view, zone


def found(one: Mark) -> list[Finding]:
    passes = met([(0.0, -3000.0), (0.0, 3000.0)], charts([one], [zone(0.0)]), width_m=100.0)
    return list(beacon_on_the_track(view(passes, 100.0), passage()))


@pytest.mark.parametrize("kind", ["port-hand", "special", "safe-water", "north"])
def test_a_pile_on_the_track(kind: str) -> None:
    """a pile on the track is a danger, one 60 m off is not"""
    (one,) = found(mark((0.0, 0.0), kind, floating=False, position_uncertainty_m=1.0))
    assert one.severity is Severity.DANGER
    assert found(mark((60.0, 0.0), kind, floating=False, position_uncertainty_m=1.0)) == []


def test_a_buoy_is_not_a_beacon() -> None:
    assert found(mark((0.0, 0.0), "port-hand", floating=True)) == []
