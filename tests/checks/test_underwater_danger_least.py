"""A least depth that the chart states for a whole fairway, track or berth, word for word.

IHO S-57 ed. 3.1, Appendix A, ch. 2: DRVAL1 of FAIRWY, SWPARE, BERTHS and the like is the least
depth within the object; where in it that depth lies nobody says. The boat draws 2 m and wants 1 m
below her keel; depths are exact.
"""

from __future__ import annotations

from typing import Any

import pytest

from routecheck.checks.underwater_danger import underwater_danger
from routecheck.model.objects import DangerKind
from tests.checks.test_underwater_danger_told import BELT, MSL, leg
from tests.checks.told import said
from tests.checks.views import passage

WHOLE = " The chart states it for the whole object, beside the depths that it shows there."


def of_water(depth: str, margin: str) -> str:
    """Of the object's water, not of water over it."""
    return (
        f"{depth} of water ({depth} charted, +0 m tide) against 3.0 m needed: margin {margin}, "
        "uncertainty 0.0 m."
    )


@pytest.mark.parametrize(
    ("depth_m", "facts", "told"),
    [
        (3.0, {}, None),
        (2.5, {}, ("danger", "fairway, least depth stated: 2.5 m", of_water("2.5 m", "-0.5 m"))),
        # A whole fairway is no isolated danger, however deep the areas that it lies in.
        (
            2.5,
            {"area_depth_m": 9.0, "name": "Great Gat"},
            ("danger", "fairway Great Gat, least depth stated: 2.5 m",
             of_water("2.5 m", "-0.5 m")),
        ),
        (
            -0.4,
            {"cls": "BERTHS", "name": "7"},
            ("danger", "berth 7, least depth stated: dries 0.4 m", of_water("-0.4 m", "-3.4 m")),
        ),
        (
            9.0,
            {"datum": "MSL"},
            ("caution", "fairway, least depth stated: 9.0 m", of_water("9.0 m", "6.0 m") + MSL),
        ),
    ],
)  # fmt: skip
def test_what_is_told(
    depth_m: float, facts: dict[str, Any], told: tuple[str, str, str] | None
) -> None:
    fairway = {"cls": "FAIRWY", "kind": DangerKind.LEAST_DEPTH, **facts}
    found = said(underwater_danger(leg(depth_m, **fairway), passage()))
    assert found == ([(*told[:2], told[2] + WHOLE)] if told else [])


def test_where_only_its_position_reaches_in() -> None:
    """What is said of the place comes last."""
    near = leg(2.5, cls="FAIRWY", kind=DangerKind.LEAST_DEPTH, belt=True)
    ((severity, _, says),) = said(underwater_danger(near, passage()))
    assert severity == "caution"
    assert says == of_water("2.5 m", "-0.5 m") + WHOLE + BELT
