"""Third coordinates: depths that stand in a geometry beside those in columns.

They count only where they say less water. 0 mostly stands for none, and a height below zero is the
depth the other way round (common practice).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Severity
from routecheck.readers.charted import DEEPEST_M, Draft, Row

THIRD = "_THIRD"
"""Value of a row that holds the third coordinates of its geometry, each once, as they stand."""


def with_third(values: Mapping[str, Any], shape: BaseGeometry | None) -> Mapping[str, Any]:
    """The values of an object, and its third coordinates where it has any but 0."""
    if shape is None or not shapely.has_z(shape):
        return values
    z = shapely.get_coordinates(shape, include_z=True)[:, 2]
    found = np.unique(z[np.isfinite(z) & (z != 0.0)]).tolist()
    return {**values, THIRD: tuple(found)} if found else values


def shoaler(z_m: float, depth_m: float) -> bool:
    """Whether a third coordinate says less water than the column does; both metres, positive
    down."""
    if not math.isfinite(z_m) or z_m == 0.0 or abs(z_m) > DEEPEST_M:
        return False
    return z_m < depth_m and not math.isclose(abs(z_m), abs(depth_m), rel_tol=1e-6)


def shoaler_of(row: Row, depth_m: float, draft: Draft) -> float:
    """The depth of an object, or what its third coordinates say where that is shoaler, which is
    told; metres."""
    unit_m = draft.depth_unit_m * draft.depth_sign
    less: list[float] = [
        z * unit_m for z in row.values.get(THIRD, ()) if shoaler(z * unit_m, depth_m)
    ]
    if not less:
        return depth_m
    wrong = differs(depth_m, min(less))
    draft.flaw(row, wrong, kind=f"{row.cls} z", severity=Severity.CAUTION)
    return min(less)


def differs(depth_m: float, z_m: float) -> str:
    """What is told of a third coordinate that is shoaler."""
    return f"its depth is {depth_m:g} m, that of its position {z_m:g} m; the shoaler counts"


def tell_alone(row: Row, draft: Draft) -> None:
    """Tell of third coordinates of an object that is passable with its depth unknown: they may be
    one."""
    unit_m = draft.depth_unit_m * draft.depth_sign
    held = [z * unit_m for z in row.values.get(THIRD, ()) if abs(z * unit_m) <= DEEPEST_M]
    if held:
        wrong = "no depth of it is known, and its position has a third coordinate "
        wrong += f"({min(held):g} m), which may be one"
        draft.flaw(row, wrong, kind=f"{row.cls} z alone")
