"""What only stands where something bears it: lights, daymarks, top marks, heights of land …

Their structure or land is charted as an object of its own, which is judged (IHO S-57 edition 3.1,
appendix B.1, annex A: a light, daymark or fog signal is the slave of the structure that carries
it). Where a file has none in that place, something must stand there all the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from routecheck.model.areas import AreaKind
from routecheck.model.objects import Danger, UnknownObject

MOUNTED = {
    "LIGHTS": "a light",
    "DAYMAR": "a daymark",
    "TOPMAR": "a top mark",
    "FOGSIG": "a fog signal",
    "RETRFL": "a retroreflector",
    "RADRFL": "a radar reflector",
    "LNDELV": "a height of land",
}
_WALKED = frozenset({"BRIDGE", "CONVYR"})
"""Spans that carry lights; a cable in the air carries none that stands in the water below."""
_GATES = frozenset({AreaKind.GATE, AreaKind.LOCK})
_SAME_DEG = 2e-5
"""Some 2 m of latitude, less of longitude: what is fitted to an object stands in its place."""
_NEAR_DEG = 1e-4
"""Some 10 m: a light on a pier's head or on a bridge and the line or area of that rarely share
their digits (common practice)."""


def why_mounted(cls: str) -> str:
    """What is said of one that nothing bears."""
    return f"{MOUNTED[cls]} ({cls}), and the same file charts nothing there that bears it"


def borne_by_nothing(
    mounted: Sequence[UnknownObject], parts: dict[str, Any]
) -> tuple[UnknownObject, ...]:
    """Those of which a vertex stands on no mark, land, structure, danger that shows, or bridge of
    the same chart, nor within 10 m of such lines and areas."""
    shapes: NDArray[np.object_] = np.array([one.geometry for one in mounted], dtype=object)
    places, whose = shapely.get_coordinates(shapes, return_index=True)
    points: NDArray[np.object_] = np.asarray(shapely.points(places), dtype=object)
    held: NDArray[np.bool_] = np.zeros(len(points), dtype=np.bool_)
    for bearers, near_deg in (_beside(parts), _NEAR_DEG), (_in_place(parts), _SAME_DEG):
        found = shapely.STRtree(bearers).query(points, predicate="dwithin", distance=near_deg)
        held[found[0]] = True
    alone = set(whose[~held].tolist())
    return tuple(one for at, one in enumerate(mounted) if at in alone)


def _beside(parts: dict[str, Any]) -> list[BaseGeometry]:
    """What bears a thing that stands on its edge as well."""
    spans = [one.geometry for one in parts.get("spans", ()) if one.cls in _WALKED]
    gates = [one.geometry for one in parts.get("areas", ()) if one.kind in _GATES]
    return [one.geometry for one in parts.get("solids", ())] + spans + gates


def _in_place(parts: dict[str, Any]) -> list[BaseGeometry]:
    """What bears a thing that stands in its very place. A danger of a known depth, which a boat
    may pass over, bears nothing that is seen above."""
    return [
        one.geometry
        for name in ("marks", "dangers", "unknown")
        for one in parts.get(name, ())
        if not isinstance(one, Danger)
        or one.stands_out
        or one.uncovers
        or one.charted_depth_m is None
    ]
