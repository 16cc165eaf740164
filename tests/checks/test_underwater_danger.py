"""Rocks, wrecks and obstructions."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from routecheck.checks.underwater_danger import underwater_danger
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import DangerKind
from routecheck.model.view import LegView, Touch
from tests.sketch import passage, view_of


def rock(*, touch: Touch = Touch.CORRIDOR, area_depth_m: float = 9.0, **changes: Any) -> LegView:
    """A leg with one rock, changed."""
    view = view_of("9R9")
    met = view.dangers[0]
    changed = replace(
        met,
        object=replace(met.object, **changes),
        place=replace(met.place, touch=touch, belt_m=30.0),
        area_depth_m=area_depth_m,
    )
    return replace(view, dangers=(changed,))


def only(view: LegView) -> Finding:
    (one,) = underwater_danger(view, passage())
    return one


def test_unknown_depth_is_a_danger() -> None:
    assert only(rock()).severity is Severity.DANGER


def test_known_depth_is_held_against_the_boat() -> None:
    assert list(underwater_danger(rock(charted_depth_m=5.0), passage())) == []
    assert only(rock(charted_depth_m=4.9)).severity is Severity.DANGER
    assert only(rock(charted_depth_m=-0.5)).severity is Severity.DANGER


@pytest.mark.parametrize(
    "harmless",
    [
        {"kind": DangerKind.FOUL_GROUND, "dangerous": False},
        {"kind": DangerKind.WRECK, "dangerous": False},
    ],
    ids=["foul ground", "wreck that is not dangerous"],
)
def test_foul_ground_and_harmless_wrecks_are_cautions(harmless: dict[str, Any]) -> None:
    assert only(rock(**harmless)).severity is Severity.CAUTION


def test_harmless_wreck_with_too_little_water_is_a_danger() -> None:
    view = rock(kind=DangerKind.WRECK, dangerous=False, charted_depth_m=2.0)
    assert only(view).severity is Severity.DANGER


def test_within_the_range_of_its_depth_area() -> None:
    assert list(underwater_danger(rock(depth_in_area_range=True), passage())) == []
    shoal = rock(depth_in_area_range=True, area_depth_m=2.0)
    assert only(shoal).severity is Severity.DANGER


def test_only_in_the_position_belt_is_a_caution() -> None:
    assert only(rock(touch=Touch.BELT)).severity is Severity.CAUTION
    assert only(rock(touch=Touch.BELT, charted_depth_m=1.0)).severity is Severity.CAUTION


def test_two_rocks_are_two_findings() -> None:
    assert len(list(underwater_danger(view_of("9RR9"), passage()))) == 2
