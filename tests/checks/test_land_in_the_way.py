"""Land, coastline and structures."""

from __future__ import annotations

from dataclasses import replace

from routecheck.checks.land_in_the_way import land_in_the_way
from routecheck.model.chart import Severity
from routecheck.model.objects import SolidKind
from routecheck.model.view import Touch
from tests.sketch import passage, view_of


def test_land_is_a_danger_and_only_in_the_belt_a_caution() -> None:
    view = view_of("9#9")
    (one,) = land_in_the_way(view, passage())
    assert one.severity is Severity.DANGER
    met = view.solids[0]
    belt = replace(met, place=replace(met.place, touch=Touch.BELT, belt_m=10.0))
    (off,) = land_in_the_way(replace(view, solids=(belt,)), passage())
    assert off.severity is Severity.CAUTION


def test_each_island_is_a_finding() -> None:
    found = list(land_in_the_way(view_of("#99#"), passage()))
    assert [one.object_key for one in found] == ["sketch/LNDARE/r0c0", "sketch/LNDARE/r0c3"]


def test_coastline_goes_with_its_land_and_a_pier_stands_alone() -> None:
    view = view_of("9#9")
    land = view.solids[0]
    shapes = {
        kind: replace(land, object=replace(land.object, key=f"sketch/{kind}", kind=kind))
        for kind in (SolidKind.COASTLINE, SolidKind.STRUCTURE)
    }
    with_coast = replace(view, solids=(land, shapes[SolidKind.COASTLINE]))
    (one,) = land_in_the_way(with_coast, passage())
    assert [e.key for e in one.evidence] == ["sketch/coastline"]
    with_pier = replace(view, solids=(land, shapes[SolidKind.STRUCTURE]))
    assert len(list(land_in_the_way(with_pier, passage()))) == 2


def test_land_abeam_says_how_far() -> None:
    rows = "###/999/999"
    found = list(land_in_the_way(view_of(rows), passage()))
    assert {one.cross_m for one in found} == {-50.0}
