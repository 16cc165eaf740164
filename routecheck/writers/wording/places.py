"""Where a finding lies and how bad it is, as one navigator would tell another."""

from __future__ import annotations

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding, MarkRow, Verdict
from routecheck.model.markfinding import mark_of_kind
from routecheck.writers.wording.lengths import Lengths, along
from routecheck.writers.wording.names import plain

SEVERITY_WORDS = {
    Severity.DANGER: "danger",
    Severity.CAUTION: "caution",
    Severity.NOT_ASSESSED: "not assessed",
    Severity.NOTE: "note",
}
VERDICT_MEANINGS = {
    Verdict.HAZARDS: "the route as drawn breaks a margin or a rule",
    Verdict.INCOMPLETE: "part of the route could not be judged",
    Verdict.CAUTIONS: "it holds only if the data, or the steering, is exactly right",
    Verdict.NO_HAZARD_FOUND: "in what the data shows",
}


def side_of(cross_m: float, lengths: Lengths) -> str:
    """ "150 m to port", "150 m to starboard", or "on the track" within half a metre."""
    if abs(cross_m) < 0.5:
        return "on the track"
    return f"{lengths.off(cross_m)} to {'port' if cross_m < 0.0 else 'starboard'}"


def place_of(finding: Finding, lengths: Lengths) -> str:
    """ "leg 4, 3.20 nmi, 150 m to port": the distance counts from the route's start."""
    where = f"leg {finding.leg}, {along(finding.route_along_m)}"
    if finding.along_to_m is not None and finding.along_to_m - finding.along_m >= 18.52:
        to_m = finding.route_along_m + finding.along_to_m - finding.along_m
        where = f"leg {finding.leg}, {along(finding.route_along_m)[:-4]} to {along(to_m)}"
    return f"{where}, {side_of(finding.cross_m, lengths)}"


def mark_name(mark: MarkRow) -> str:
    """The mark's name, or its kind where it has none."""
    return plain(mark.name) or f"{mark_of_kind(mark.kind)} without a name"


def side_words(side: str) -> str:
    """A side in words: lateral marks are left to a side, cardinals are passed on a side."""
    if not side:
        return "not stated"
    if side in ("port", "starboard"):
        return f"leave to {side}"
    return f"pass {side} of it"
