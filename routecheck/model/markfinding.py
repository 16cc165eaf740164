"""The finding that a check makes of a judged pass of a mark."""

from __future__ import annotations

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.markjudgement import Fault, MarkJudgement
from routecheck.model.objects import MarkKind
from routecheck.model.passes import MarkPass
from routecheck.model.view import LegView


def mark_of_kind(kind: str) -> str:
    """A mark by the word for its kind.

    >>> mark_of_kind("port-hand"), mark_of_kind("unknown")
    ('port-hand mark', 'mark of unknown kind')
    """
    return "mark of unknown kind" if kind == MarkKind.UNKNOWN else f"{kind} mark"


def mark_called(met: MarkPass) -> str:
    """What to call the mark in a sentence: its kind, and its name if it has one."""
    kind = mark_of_kind(met.kind.value)
    return f"{kind} {met.mark.name}" if met.mark.name else f"{kind} without a name"


def mark_finding(
    check: str, met: MarkPass, judged: MarkJudgement, view: LegView, title: str
) -> Finding:
    """A finding on one pass; its severity is the judgement's, a note where that has none."""
    sums: dict[str, float | str] = {
        "distance_m": round(met.distance_m, 1),
        "near_m": round(judged.near_m, 1),
        "position_uncertainty_m": round(met.position_uncertainty_m, 1),
        "course_deg": round(met.course_deg, 1),
        "side_passed": met.side,
    }
    if judged.side_required:
        sums["side_required"] = judged.side_required
    if met.gate is not None and judged.fault is Fault.OUTSIDE_GATE:
        sums["gate_width_m"] = round(met.gate.width_m, 1)
        sums["gate_outside_m"] = round(met.gate.outside_m, 1)
    return Finding(
        check=check,
        severity=judged.severity or Severity.NOTE,
        title=title,
        explanation=_sentence(judged.why),
        leg=view.leg.number,
        object_key=met.mark.key,
        cls=met.mark.cls,
        along_m=met.along_m,
        cross_m=met.cross_m,
        lon_deg=met.mark.lon_deg,
        lat_deg=met.mark.lat_deg,
        sums=sums,
        source=met.mark.source,
        rests_on=_rests_on(met),
        settle=judged.settle,
    )


def _rests_on(met: MarkPass) -> str:
    parts = [g.text for g in met.grounds]
    if met.region:
        parts.append(f"region {met.region} by {met.region_from}")
    if met.quadrant_by:
        parts.append(f"quadrant inferred from {met.quadrant_by}")
    parts.append(f"position of the mark as in {met.mark.source}")
    return "; ".join(parts)


def _sentence(text: str) -> str:
    """With a capital, unless it begins with the name of a file, which is shown as it is."""
    first = text.partition(" ")[0]
    capital = text[:1] if "." in first else text[:1].upper()
    return capital + text[1:] + "." if text else ""
