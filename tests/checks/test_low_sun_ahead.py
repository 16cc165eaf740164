"""The sun ahead over shoal water."""

from __future__ import annotations

from routecheck.checks.low_sun_ahead import low_sun_ahead
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from tests.checks.test_arrival_in_the_dark import LEG, ONE_HOUR_M, at
from tests.checks.views import boat, depth, run, view


def found(by: Passage, course_deg: float, depth_m: float = 4.0) -> list[Finding]:
    of = view(
        leg=LEG,
        length_m=ONE_HOUR_M,
        course_deg=course_deg,
        end_course_deg=course_deg,
        depths=(depth(depth_m),),
    )
    return run(low_sun_ahead, of, by)


def test_sun_ahead_and_behind() -> None:
    """a low sun ahead over a reef is a note, behind it or over deep water nothing"""
    # Morning in London in December: the sun rises in the south-east (about 127 degrees).
    (one,) = found(at("2015-12-01T09:00"), 130.0)
    assert one.severity is Severity.NOTE
    assert one.title.startswith("low sun ahead: ")
    assert found(at("2015-12-01T09:00"), 310.0) == []
    assert found(at("2015-12-01T09:00"), 130.0, depth_m=50.0) == []


def test_by_night_and_without_an_eta() -> None:
    assert found(at("2015-12-01T03:00"), 130.0) == []
    assert found(Passage(boat=boat()), 130.0) == []


def test_a_high_sun_is_none() -> None:
    # At the summer solstice the noon sun stands 62 degrees high over London.
    assert found(at("2015-06-21T12:30"), 180.0) == []
