"""How the whole track within reach lies round a cardinal mark."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from routecheck.nav.buoyage import CARDINAL_DEG, OPPOSITE
from routecheck.survey.markset import offset_m
from routecheck.survey.marktrack import Piece


def nearest_in_opposite_m(
    track: Sequence[Piece],
    pieces: Sequence[int],
    lon_deg: float,
    lat_deg: float,
    named: str,
    reach_m: float,
) -> float | None:
    """The track's least distance within the quadrant opposite to the named one.

    `named` is "north" … "west"; None where the track does not go there within `reach_m`.
    """
    if not pieces:
        return None
    axis_rad = np.radians(CARDINAL_DEG[OPPOSITE[named]])
    frames = [track[number].frame for number in pieces]
    ends = [
        offset_m(lon_deg, lat_deg, np.array([f[0] for f in side]), np.array([f[1] for f in side]))
        for side in (
            [(f.start_lon_deg, f.start_lat_deg) for f in frames],
            [(f.end_lon_deg, f.end_lat_deg) for f in frames],
        )
    ]
    least: float | None = None
    for x1, y1, x2, y2 in zip(*ends[0], *ends[1], strict=True):
        # Turned so that the opposite quadrant is |v| <= u.
        u1, v1 = _turned(x1, y1, axis_rad)
        u2, v2 = _turned(x2, y2, axis_rad)
        span = _within(u1 - v1, u2 - v2, u1 + v1, u2 + v2)
        if span is None:
            continue
        length2 = (u2 - u1) ** 2 + (v2 - v1) ** 2
        foot = -(u1 * (u2 - u1) + v1 * (v2 - v1)) / length2 if length2 else 0.0
        share = min(max(foot, span[0]), span[1])
        away_m = float(np.hypot(u1 + share * (u2 - u1), v1 + share * (v2 - v1)))
        if away_m <= reach_m and (least is None or away_m < least):
            least = away_m
    return least


def _turned(east_m: float, north_m: float, axis_rad: float) -> tuple[float, float]:
    sine, cosine = float(np.sin(axis_rad)), float(np.cos(axis_rad))
    return east_m * sine + north_m * cosine, east_m * cosine - north_m * sine


def _within(a1: float, a2: float, b1: float, b2: float) -> tuple[float, float] | None:
    """The share of a piece where both of two linear quantities are at least 0."""
    low, high = 0.0, 1.0
    for start, end in ((a1, a2), (b1, b2)):
        if start < 0.0 and end < 0.0:
            return None
        if start >= 0.0 and end >= 0.0:
            continue
        zero = start / (start - end)
        low, high = (max(low, zero), high) if start < 0.0 else (low, min(high, zero))
    return (low, high) if low <= high else None
