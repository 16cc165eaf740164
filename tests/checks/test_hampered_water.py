"""Ice, weed, troubled water, fishing grounds."""

from __future__ import annotations

import pytest

from routecheck.checks.hampered_water import hampered_water
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.period import Period
from tests.checks.areaviews import across, area, leg, near, timed
from tests.checks.views import run


@pytest.mark.parametrize(
    ("kind", "severity"),
    [
        (AreaKind.TURBULENCE, Severity.CAUTION),
        (AreaKind.ICE, Severity.CAUTION),
        (AreaKind.WEED, Severity.CAUTION),
        (AreaKind.FISHING_GROUND, Severity.NOTE),
    ],
)
def test_by_kind(kind: AreaKind, severity: Severity) -> None:
    """overfalls in the corridor are a caution, a fishing ground is a note"""
    (finding,) = run(hampered_water, leg(across(area(kind))))
    assert finding.severity is severity
    belt = run(hampered_water, leg(near(area(kind))))
    assert len(belt) == (severity is Severity.CAUTION)


def test_ice_out_of_season_is_a_note() -> None:
    ice = area(AreaKind.ICE, period=Period(season_start="--12", season_end="--04"))
    (finding,) = run(hampered_water, leg(across(ice)), timed("2027-07-01T12:00"))
    assert finding.severity is Severity.NOTE


def test_other_areas_are_for_other_checks() -> None:
    assert run(hampered_water, leg(across(area(AreaKind.DUMPING_GROUND)))) == []
