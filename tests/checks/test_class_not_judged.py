"""Objects of classes that no check knows."""

from __future__ import annotations

from dataclasses import replace

from routecheck.checks.class_not_judged import class_not_judged
from routecheck.model.chart import Severity
from routecheck.model.objects import UnknownObject
from routecheck.model.view import LegView, Met, Touch
from tests.sketch import EXACT, SOURCE, passage, view_of


def unknown(touch: Touch) -> LegView:
    view = view_of("999")
    area = UnknownObject(
        key="sketch/NEWOBJ/1",
        cls="NEWOBJ",
        source="sketch",
        geometry=view_of("9#9").solids[0].object.geometry,
        why="class NEWOBJ is not judged by any check",
    )
    place = replace(view.depths[1].place, touch=touch)
    return replace(view, unknown=(Met(object=area, place=place, source=SOURCE, quality=EXACT),))


def test_area_across_the_corridor() -> None:
    """an object of a class that no table knows is not assessed"""
    (one,) = class_not_judged(unknown(Touch.CORRIDOR), passage())
    assert one.severity is Severity.NOT_ASSESSED
    assert "NEWOBJ" in one.title


def test_area_in_the_belt_only_is_a_caution() -> None:
    (one,) = class_not_judged(unknown(Touch.BELT), passage())
    assert one.severity is Severity.CAUTION


def test_nothing_unknown_says_nothing() -> None:
    assert list(class_not_judged(view_of("999"), passage())) == []
