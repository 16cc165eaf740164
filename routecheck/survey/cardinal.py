"""How the whole track within reach lies round a cardinal mark."""

from __future__ import annotations

import math

from routecheck.nav.buoyage import CARDINAL_DEG, OPPOSITE
from routecheck.survey.marktrack import MarkTrack
from routecheck.survey.minima import Near


def nearest_in_opposite_m(
    track: MarkTrack, near: Near, mark: int, named: str, reach_m: float
) -> float | None:
    """The track's least distance within the quadrant opposite to the named one.

    `named` is "north" … "west"; None where the track does not go there within `reach_m`. Works
    in the planes of the lines, where bearings are true to the course.
    """
    least: float | None = None
    held = near.of(mark)
    for line, along_m, cross_m in zip(
        near.line[held].tolist(),
        near.along_m[held].tolist(),
        near.cross_m[held].tolist(),
        strict=True,
    ):
        off = math.radians(CARDINAL_DEG[OPPOSITE[named]] - float(track.lines.course_deg[line]))
        cosine, sine = math.cos(off), math.sin(off)
        begin_m = max(float(track.begin_m[line]) - along_m, -reach_m)
        end_m = min(float(track.end_m[line]) - along_m, reach_m)
        # Along the line at x, the track lies at u ahead of and v beside the opposite bearing:
        # in its quadrant where u - v and u + v are not negative. Neither is ever quite level; if
        # it were, its bound would be left out, and the track taken to come nearer than it does.
        u, v = (cosine, -cross_m * sine), (-sine, -cross_m * cosine)
        for slope, rest in ((u[0] - v[0], u[1] - v[1]), (u[0] + v[0], u[1] + v[1])):
            if slope > 0.0:
                begin_m = max(begin_m, -rest / slope)
            elif slope < 0.0:
                end_m = min(end_m, -rest / slope)
        if begin_m > end_m:
            continue
        away_m = math.hypot(min(max(0.0, begin_m), end_m), cross_m)
        if away_m <= reach_m and (least is None or away_m < least):
            least = away_m
    return least
