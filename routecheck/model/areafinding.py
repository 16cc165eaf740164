"""The finding that a check makes of an area or line which the corridor meets."""

from __future__ import annotations

from collections.abc import Mapping

from routecheck.model import restriction
from routecheck.model.areas import Area
from routecheck.model.beltwords import belt_words
from routecheck.model.chart import Severity
from routecheck.model.finding import Evidence, Finding
from routecheck.model.passage import Passage
from routecheck.model.period import in_force
from routecheck.model.view import LegView, Met, Touch
from routecheck.units import METRES_PER_NMI

_STATUS = {
    2: "used only occasionally",
    4: "disused",
    5: "periodic",
    7: "temporary",
    9: "mandatory",
    18: "of doubtful existence",
}
"""STATUS: IHO S-57 edition 3.1, appendix A, attribute 149."""


def area_called(area: Area) -> str:
    """What to call it in a sentence: its kind, and its name if it has one."""
    return f"{area.kind.value} {area.name}".strip()


def in_reach(met: Met[Area]) -> str:
    """Such as "ferry route Ness in the corridor", by what touches it."""
    near = met.place.touch is Touch.BELT
    return f"{area_called(met.object)} {'may reach into' if near else 'in'} the corridor"


def track_inside_m(met: Met[Area]) -> float:
    """Length of the track in an area or along a line, metres."""
    return sum(run.along_to_m - run.along_from_m for run in met.runs)


def off_flow_deg(course_deg: float, orientation_deg: float) -> float:
    """Angle between a course and the direction of traffic, 0 to 180 degrees.

    >>> off_flow_deg(350.0, 20.0), off_flow_deg(200.0, 20.0)
    (30.0, 180.0)
    """
    return abs((course_deg - orientation_deg + 180.0) % 360.0 - 180.0)


def courses_deg(met: Met[Area], view: LegView) -> tuple[float, ...]:
    """Courses of the track in an area; where it is not in it, the course abreast of it."""
    if met.runs:
        return tuple(run.course_deg for run in met.runs)
    return (view.course_deg if met.course_deg is None else met.course_deg,)


def unless_near(severity: Severity, met: Met[Area]) -> Severity:
    """The severity of what the corridor meets; a caution for a danger that may only reach it."""
    near = met.place.touch is Touch.BELT
    return Severity.CAUTION if near and severity is Severity.DANGER else severity


def area_finding(
    check: str,
    met: Met[Area],
    view: LegView,
    passage: Passage,
    *,
    severity: Severity,
    title: str,
    says: str,
    settle: str = "",
    sums: Mapping[str, float | str] | None = None,
    evidence: tuple[Evidence, ...] = (),
) -> Finding | None:
    """A finding on one area: at its severity while it counts as in force, else a note.

    None for a note on what only its position uncertainty brings to the corridor.
    """
    area, place = met.object, met.place
    force = in_force(
        area.period, passage, along_from_m=place.along_from_m, along_to_m=place.along_to_m
    )
    if not force.counts:
        severity, title = Severity.NOTE, f"{title} (not in force at the time of passing)"
    if severity is Severity.NOTE and place.touch is Touch.BELT:
        return None
    if area.period.stated and passage.eta(place.along_m) is None and not settle:
        settle = "give --depart and a speed"
    sentences = (says, *_told(met), force.text, _quoted(area))
    return Finding(
        check=check,
        severity=severity,
        title=title,
        explanation=" ".join(sentence for sentence in sentences if sentence),
        leg=view.leg.number,
        object_key=area.key,
        cls=area.cls,
        along_m=place.along_m,
        along_to_m=place.along_to_m,
        cross_m=place.cross_m,
        lon_deg=place.lon_deg,
        lat_deg=place.lat_deg,
        sums={**_sums(met), **(sums or {})},
        evidence=evidence,
        source=met.source.id,
        rests_on=met.source.id,
        settle=settle,
    )


def area_evidence(met: Met[Area]) -> Evidence:
    """The same area as evidence of a finding on several."""
    return Evidence(
        key=met.object.key,
        cls=met.object.cls,
        text=" ".join([area_called(met.object), *_restrictions(met.object)]),
        severity=Severity.NOTE,
        lon_deg=met.place.lon_deg,
        lat_deg=met.place.lat_deg,
        along_m=met.place.along_m,
        cross_m=met.place.cross_m,
        source=met.source.id,
    )


def _told(met: Met[Area]) -> list[str]:
    return [_where(met), *_restrictions(met.object), *_status(met.object)]


def _where(met: Met[Area]) -> str:
    place, inside_m = met.place, track_inside_m(met)
    if place.touch is Touch.BELT:
        return belt_words(place)
    if inside_m >= 1.0:
        start, end = met.runs[0].along_from_m, met.runs[-1].along_to_m
        return (
            f"The track is in it between {start / METRES_PER_NMI:.2f} and "
            f"{end / METRES_PER_NMI:.2f} nmi along the leg, {inside_m / METRES_PER_NMI:.2f} nmi "
            "in all."
        )
    if met.runs:
        return "The track meets it."
    side = "port" if place.cross_m < 0.0 else "starboard"
    return f"The corridor meets it, {abs(place.cross_m):.0f} m to {side} of the track."


def _restrictions(area: Area) -> list[str]:
    return [f"Charted: {restriction.words(area.restrictions)}."] if area.restrictions else []


def _status(area: Area) -> list[str]:
    known = [_STATUS[code] for code in area.status if code in _STATUS]
    return [f"Charted as {', '.join(known)}."] if known else []


def _quoted(area: Area) -> str:
    return f"The chart says: “{area.information}”." if area.information else ""


def _sums(met: Met[Area]) -> dict[str, float | str]:
    sums: dict[str, float | str] = {
        "cross_m": round(met.place.cross_m, 1),
        "track_inside_m": round(track_inside_m(met), 1),
        "position_uncertainty_m": round(met.place.belt_m, 1),
    }
    if met.object.restrictions:
        sums["restrictions"] = restriction.words(met.object.restrictions)
    return sums
