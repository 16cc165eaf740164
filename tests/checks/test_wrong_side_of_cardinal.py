"""The cardinal-mark check. Sides and quadrants: IALA Recommendation R1001, cardinal marks."""

from __future__ import annotations

import pytest

from routecheck.checks.wrong_side_of_cardinal import wrong_side_of_cardinal
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from tests.buoys import Place, charts, mark, met, passage, view

NORTH = mark((0.0, 0.0), "north", "Top", colours=("black", "yellow"))


def found(places: list[Place]) -> list[Finding]:
    return list(wrong_side_of_cardinal(view(met(places, charts([NORTH]))), passage()))


def test_south_of_it() -> None:
    """south of a north cardinal is a danger"""
    (one,) = found([(-3000.0, -150.0), (3000.0, -150.0)])
    assert one.severity is Severity.DANGER
    assert "150 m" in one.explanation and one.sums["side_required"] == "north"


def test_further_south_it_is_a_caution() -> None:
    (one,) = found([(-3000.0, -500.0), (3000.0, -500.0)])
    assert one.severity is Severity.CAUTION
    assert found([(-3000.0, -750.0), (3000.0, -750.0)]) == []


def test_north_of_it() -> None:
    """north of a north cardinal is right"""
    for off_m in (60.0, 150.0, 700.0):
        assert found([(-3000.0, off_m), (3000.0, off_m)]) == []


def test_rounding_it() -> None:
    """a track that rounds a north cardinal and comes south of it is found"""
    findings = found([(300.0, 2000.0), (300.0, -400.0), (-2000.0, -400.0)])
    assert {f.severity for f in findings} == {Severity.CAUTION}
    assert all("400 m" in f.explanation for f in findings)


@pytest.mark.parametrize(
    ("name", "bearing"), [("north", 0), ("east", 1), ("south", 2), ("west", 3)]
)
def test_each_is_passed_on_its_own_side(name: str, bearing: int) -> None:
    one = mark((0.0, 0.0), name)
    tracks = {  # of the boat's track from the mark: north, east, south, west
        0: [(-3000.0, 150.0), (3000.0, 150.0)],
        1: [(150.0, -3000.0), (150.0, 3000.0)],
        2: [(-3000.0, -150.0), (3000.0, -150.0)],
        3: [(-150.0, -3000.0), (-150.0, 3000.0)],
    }
    right, wrong = tracks[bearing], tracks[(bearing + 2) % 4]
    for places in (right, right[::-1]):
        seen = view(met(places, charts([one])))
        assert list(wrong_side_of_cardinal(seen, passage())) == []
    for places in (wrong, wrong[::-1]):
        seen = view(met(places, charts([one])))
        (finding,) = wrong_side_of_cardinal(seen, passage())
        assert finding.severity is Severity.DANGER


def test_contradicting_colours_are_not_assessed() -> None:
    odd = mark((0.0, -100.0), "north", colours=("yellow", "black"))
    seen = view(met([(-3000.0, 0.0), (3000.0, 0.0)], charts([odd])))
    (one,) = wrong_side_of_cardinal(seen, passage())
    assert one.severity is Severity.NOT_ASSESSED
