"""Passes of marks with the very facts that a test wants, for the checks that judge them."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import shapely

from routecheck.model.finding import Finding
from routecheck.model.objects import Mark, MarkKind
from routecheck.model.passes import MarkPass
from routecheck.model.view import LegView
from tests.checks.views import view

_OF_MARK = {field.name for field in fields(Mark)} - {"kind", "region"}


def mark_pass(kind: str = "special", name: str = "Deep", **facts: Any) -> MarkPass:
    """A mark 100 m to starboard of the track, 500 m along; in open ocean off either region."""
    of_mark = {key: facts.pop(key) for key in list(facts) if key in _OF_MARK}
    base: dict[str, Any] = {
        "key": f"cell/BOYSPP/{name}", "cls": "BOYSPP", "source": "cell", "name": name,
        "geometry": shapely.Point(-150.0, 0.0), "kind": MarkKind(kind),
    }  # fmt: skip
    passed: dict[str, Any] = {
        "mark": Mark(**{**base, **of_mark}), "leg": 3, "along_m": 500.0, "cross_m": 100.0,
        "distance_m": 100.0, "side": "starboard", "lon_deg": -150.0, "lat_deg": 0.0,
        "course_deg": 0.0, "kind": MarkKind(kind), "region": "", "region_from": "",
        "position_uncertainty_m": 5.0,
    }  # fmt: skip
    return MarkPass(**{**passed, **facts})


def leg_with(*passes: MarkPass, **facts: Any) -> LegView:
    """A leg that passes these marks, with 100 m of corridor on either side."""
    return view(marks=passes, **facts)


def stands_at_mark(one: Finding, met: MarkPass) -> None:
    """A finding lies where its mark lies, and names the mark's source."""
    mark = met.mark
    assert (one.leg, one.cls, one.source) == (3, mark.cls, mark.source)
    assert (one.along_m, one.cross_m) == (met.along_m, met.cross_m)
    assert (one.lon_deg, one.lat_deg) == (mark.lon_deg, mark.lat_deg)
