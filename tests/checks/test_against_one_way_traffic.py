"""Recommended tracks, routes and fairways that are used one way."""

from __future__ import annotations

import pytest

from routecheck.checks.against_one_way_traffic import against_one_way_traffic
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.view import TrackRun
from tests.checks.areaviews import LINE, across, area, beside, leg, near
from tests.checks.views import run

KINDS = (
    AreaKind.RECOMMENDED_TRACK, AreaKind.RECOMMENDED_DIRECTION, AreaKind.FAIRWAY,
    AreaKind.DEEP_WATER_ROUTE, AreaKind.TWO_WAY_ROUTE,
)  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_backwards_and_forwards(kind: AreaKind) -> None:
    """a one-way recommended track followed backwards is a caution, followed forwards it says
    nothing"""
    one = area(kind, one_way=True, orientation_deg=198.3, geometry=LINE)
    (finding,) = run(against_one_way_traffic, leg(across(one, 18.0)))
    assert finding.severity is Severity.CAUTION
    assert finding.sums["off_flow_deg"] == pytest.approx(179.7)
    for course_deg in (198.0, 108.0, 288.0, 64.0):  # the last is 134.3 degrees off: it crosses
        assert run(against_one_way_traffic, leg(across(one, course_deg))) == []


@pytest.mark.parametrize("where", [beside, near])
def test_corridor_and_uncertainty(where: object) -> None:
    one = area(AreaKind.RECOMMENDED_TRACK, one_way=True, orientation_deg=90.0)
    (finding,) = run(against_one_way_traffic, leg(where(one, 270.0)))  # type: ignore[operator]
    assert finding.severity is Severity.CAUTION


def test_one_way_without_a_direction_is_a_caution() -> None:
    (finding,) = run(against_one_way_traffic, leg(across(area(AreaKind.FAIRWAY, one_way=True))))
    assert finding.severity is Severity.CAUTION and finding.settle


def test_two_way_says_nothing() -> None:
    two = area(AreaKind.RECOMMENDED_TRACK, orientation_deg=198.3)
    assert run(against_one_way_traffic, leg(across(two, 18.0))) == []


@pytest.mark.parametrize(
    ("courses_deg", "told_deg"),
    # Against a direction of 90 degrees: 135 degrees off it is 225, and 315 on the other side.
    [
        ((225.0,), None),
        ((225.5,), 225.5),
        ((315.0,), None),
        ((314.0,), 314.0),
        ((240.0, 280.0, 100.0), 280.0),
        ((100.0, 230.0), 230.0),
    ],
)
def test_the_course_that_is_most_against_it_counts(
    courses_deg: tuple[float, ...], told_deg: float | None
) -> None:
    one = area(AreaKind.FAIRWAY, one_way=True, orientation_deg=90.0)
    runs = tuple(
        TrackRun(along_from_m=500.0 * n, along_to_m=500.0 * n + 400.0, course_deg=course)
        for n, course in enumerate(courses_deg)
    )
    found = run(against_one_way_traffic, leg(across(one, runs=runs)))
    assert [f.sums["course_deg"] for f in found] == ([] if told_deg is None else [told_deg])
