"""What a check tells, beside what a test expects it to tell."""

from __future__ import annotations

from collections.abc import Iterable

from routecheck.model.finding import Finding
from routecheck.model.view import LegView, Met

Said = tuple[str, str, str]
"""(severity, title, explanation)."""


def said(found: Iterable[Finding]) -> list[Said]:
    """The words of each finding."""
    return [(one.severity.value, one.title, one.explanation) for one in found]


def stands_at(one: Finding, met: Met, view: LegView) -> None:
    """A finding names its object and its source, and lies where the object lies on the leg."""
    place = met.place
    assert (one.leg, one.object_key, one.cls) == (view.leg.number, met.object.key, met.object.cls)
    assert (one.along_m, one.along_to_m, one.cross_m) == (
        place.along_m,
        place.along_to_m,
        place.cross_m,
    )
    assert (one.lon_deg, one.lat_deg) == (place.lon_deg, place.lat_deg)
    assert one.source == met.source.id
    assert one.rests_on.startswith(met.source.id)
