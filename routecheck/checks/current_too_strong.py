"""A current that the boat cannot stem or hold its course in."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="current-too-strong",
    group="time",
    needs=(),
    gives={Severity.DANGER, Severity.NOT_ASSESSED},
)
def current_too_strong(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The current that is given for the leg is too strong for the boat to make it good.

    Rule      the drift across the course is not less than the boat's speed, or what is left along
              it is not above zero: danger. From there on no ETA is known. A current and no
              speed of the boat: not assessed.
    Why       The boat is set off the track, whatever it steers.
    Examples  in words: a current across that is faster than the boat is a danger, a weaker one
              nothing
    Settings  speed of the boat and the leg; set_deg and drift of the route's sidecar.
    Limits    Takes the current as the same all along the leg and all the time.
    Sources   The current triangle: common practice.
    """
    leg = view.leg
    if not leg.drift_kn or leg.set_deg is None or passage.speed_kn is not None:
        return
    speed_kn = leg.speed_kn or passage.boat.speed_kn
    current = f"current setting {leg.set_deg:.0f}° at {leg.drift_kn:.1f} kn"
    sums = {"set_deg": leg.set_deg, "drift_kn": leg.drift_kn}
    if speed_kn is None:
        severity = Severity.NOT_ASSESSED
        title = f"{current}, and no speed of the boat is given"
        says = "Whether the course can be made good was not judged."
        settle = "give the boat's speed"
    else:
        severity = Severity.DANGER
        title = f"{current}: the course cannot be made good"
        says = (
            f"At {speed_kn:.1f} kn through the water no heading makes good a course of "
            f"{view.course_deg:.0f}°. No ETA is known from here on."
        )
        settle = "another time, or more speed"
        sums = {"course_deg": view.course_deg, "speed_kn": speed_kn, **sums}
    yield Finding(
        check="current-too-strong",
        severity=severity,
        title=title,
        explanation=says,
        leg=leg.number,
        object_key="current",
        along_to_m=view.length_m,
        lon_deg=leg.start.lon_deg,
        lat_deg=leg.start.lat_deg,
        sums=sums,
        settle=settle,
    )
