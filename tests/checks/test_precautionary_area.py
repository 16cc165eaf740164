"""Where traffic crosses, meets or turns."""

from __future__ import annotations

import pytest

from routecheck.checks.precautionary_area import precautionary_area
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import across, area, leg, near
from tests.checks.views import run


@pytest.mark.parametrize(
    "kind", [AreaKind.PRECAUTIONARY, AreaKind.ROUNDABOUT, AreaKind.LANE_CROSSING]
)
def test_each_is_a_caution(kind: AreaKind) -> None:
    """a precautionary area across the corridor is a caution"""
    for where in (across, near):
        (finding,) = run(precautionary_area, leg(where(area(kind))))
        assert finding.severity is Severity.CAUTION
        assert kind.value in finding.title


def test_others_are_told_elsewhere() -> None:
    assert run(precautionary_area, leg(across(area(AreaKind.CAUTION)))) == []
