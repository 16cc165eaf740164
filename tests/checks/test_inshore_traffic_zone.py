"""Inshore traffic zones: COLREG rule 10(d)(i), a vessel of less than 20 m may use them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.inshore_traffic_zone import inshore_traffic_zone
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import across, area, leg, near
from tests.checks.views import boat, passage, run

ZONE = area(AreaKind.INSHORE_ZONE)


@pytest.mark.parametrize(
    ("length_m", "severity"),
    [(11.0, Severity.NOTE), (19.9, Severity.NOTE), (20.0, Severity.CAUTION),
     (None, Severity.CAUTION)],
)  # fmt: skip
def test_by_length(length_m: float | None, severity: Severity) -> None:
    """an inshore traffic zone is a note for a boat of 11 m and a caution for one of unknown
    length"""
    by = passage(replace(boat(), length_m=length_m))
    (finding,) = run(inshore_traffic_zone, leg(across(ZONE)), by)
    assert finding.severity is severity
    assert (finding.settle == "give the boat's length") == (length_m is None)


def test_within_the_uncertainty() -> None:
    (finding,) = run(inshore_traffic_zone, leg(near(ZONE)))
    assert finding.severity is Severity.CAUTION
    assert run(inshore_traffic_zone, leg(near(ZONE)), passage(replace(boat(), length_m=9.0))) == []
