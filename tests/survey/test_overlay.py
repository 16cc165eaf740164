"""Overlays of areas: what of them are areas, also where the overlay itself gives up."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import shapely
from shapely.errors import GEOSException
from shapely.geometry.base import BaseGeometry

from routecheck.survey.overlay import NOTHING, areal, both, less, union

box = shapely.box
ONE, OTHER = box(0, 0, 2, 2), box(1, 0, 3, 2)
BOW = shapely.Polygon([(0, 0), (2, 2), (2, 0), (0, 2)])
"""Crosses itself at (1, 1): two triangles of one square unit each."""


def test_the_areas_of_a_shape() -> None:
    assert areal(ONE) is ONE
    assert areal(BOW).is_valid and areal(BOW).area == 2.0
    two = shapely.MultiPolygon([ONE, box(5, 5, 6, 6)])
    assert areal(two).equals(two) and areal(two).geom_type == "MultiPolygon"
    inner = shapely.GeometryCollection([two, shapely.Point(9, 9)])
    mixed = shapely.GeometryCollection([inner, shapely.LineString([(0, 0), (9, 9)]), OTHER])
    assert areal(mixed).equals(box(0, 0, 3, 2).union(box(5, 5, 6, 6)))
    for none in (shapely.Point(0, 0), shapely.LineString([(0, 0), (1, 1)]),
                 shapely.GeometryCollection(), shapely.MultiPolygon()):  # fmt: skip
        assert areal(none).is_empty and areal(none).geom_type == "Polygon"


def test_union_both_and_less() -> None:
    assert union([ONE, OTHER]).equals(box(0, 0, 3, 2))
    assert union([ONE, shapely.Point(9, 9), NOTHING]).equals(ONE)
    assert union([]) is NOTHING and union([NOTHING]) is NOTHING
    assert both(ONE, OTHER).equals(box(1, 0, 2, 2))
    assert both(ONE, box(2, 0, 3, 2)).is_empty  # a common edge is no area
    assert less(ONE, OTHER).equals(box(0, 0, 1, 2))
    assert less(ONE, ONE).is_empty
    for nothing in (both(ONE, NOTHING), both(NOTHING, ONE), less(NOTHING, ONE)):
        assert nothing.is_empty
    assert less(ONE, NOTHING) is ONE


def refusing(real: Callable[..., BaseGeometry]) -> Callable[..., BaseGeometry]:
    """An overlay that takes valid areas only, as GEOS may."""

    def overlay(*args: object) -> BaseGeometry:
        held = args[0] if isinstance(args[0], list) else args
        if not all(shape.is_valid for shape in held):  # type: ignore[union-attr]
            raise GEOSException("TopologyException: side location conflict")
        return real(*args)

    return overlay


def test_what_the_overlay_refuses_is_made_valid_first(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("intersection", "difference"):
        monkeypatch.setattr(BaseGeometry, name, refusing(getattr(BaseGeometry, name)))
    monkeypatch.setattr(shapely, "union_all", refusing(shapely.union_all))
    west = box(0, 0, 1, 2)
    for one, other in ((BOW, west), (west, BOW)):
        assert both(one, other).area == 1.0
        assert less(one, other).area == 1.0
        assert union([one, other]).area == 3.0


@pytest.mark.parametrize("overlay", [both, less])
def test_what_no_overlay_can_do_is_not_hidden(
    overlay: Callable[[BaseGeometry, BaseGeometry], BaseGeometry], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> BaseGeometry:
        raise GEOSException("no")

    for name in ("intersection", "difference"):
        monkeypatch.setattr(BaseGeometry, name, broken)
    with pytest.raises(GEOSException):
        overlay(ONE, OTHER)
