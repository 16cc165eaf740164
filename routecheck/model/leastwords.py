"""Words for a least depth that a chart states of a fairway, a track, a berth or the like."""

from __future__ import annotations

from routecheck.model.objects import Danger
from routecheck.units import metres_down, metres_up

_WHAT = {
    **{"FAIRWY": "fairway", "SWPARE": "swept area", "RECTRC": "recommended track"},
    **{"RCRTCL": "recommended route centreline", "DWRTPT": "deep-water route"},
    **{"DWRTCL": "deep-water route centreline", "TWRTPT": "two-way route", "BERTHS": "berth"},
    **{"DOCARE": "dock", "CANALS": "canal", "HRBFAC": "harbour", "RIVERS": "river"},
}


def least_depth_title(danger: Danger, depth_m: float) -> str:
    """What states it, and the depth, metres, negative where it dries."""
    what = f"{_WHAT.get(danger.cls, f'class {danger.cls}')} {danger.name}".strip()
    depth = f"dries {metres_up(-depth_m)}" if depth_m < 0.0 else metres_down(depth_m)
    return f"{what}, least depth stated: {depth}"
