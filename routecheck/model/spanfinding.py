"""Findings on what hangs over the water: the parts that the checks of them share."""

from __future__ import annotations

from collections.abc import Mapping

from routecheck.model.beltwords import belt_words
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Span
from routecheck.model.view import LegView, Met

_WORDS = {
    "BRIDGE": "bridge",
    "CBLOHD": "overhead cable",
    "PIPOHD": "overhead pipe",
    "CONVYR": "conveyor",
    "GATCON": "gate",
    "TUNNEL": "tunnel",
}


def span_called(span: Span) -> str:
    """What to call it in a sentence: the word for its class, and its name if it has one."""
    return f"{_WORDS.get(span.cls, span.cls)} {span.name}".strip()


def span_finding(
    check: str,
    met: Met[Span],
    view: LegView,
    *,
    severity: Severity,
    title: str,
    says: str,
    sums: Mapping[str, float | str],
    settle: str = "",
) -> Finding:
    """A finding on one span; where only its position uncertainty brings it there, that is said."""
    span, place = met.object, met.place
    return Finding(
        check=check,
        severity=severity,
        title=title,
        explanation=f"{says} {belt_words(place)}".strip(),
        leg=view.leg.number,
        object_key=span.key,
        cls=span.cls,
        along_m=place.along_m,
        along_to_m=place.along_to_m,
        cross_m=place.cross_m,
        lon_deg=place.lon_deg,
        lat_deg=place.lat_deg,
        sums=sums,
        source=met.source.id,
        rests_on=met.source.id,
        settle=settle,
    )
