"""The cardinal-mark check. Sides and quadrants: IALA Recommendation R1001, cardinal marks."""

from __future__ import annotations

import pytest

from routecheck.checks.wrong_side_of_cardinal import wrong_side_of_cardinal
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding, MarkOutcome
from routecheck.model.markrule import mark_row
from routecheck.writers.wording.marks import outcome_words
from tests.buoys import Place, charts, mark, met, passage, view

CONES = {
    "north": "two cones, points up",
    "east": "two cones, base to base",
    "south": "two cones, points down",
    "west": "two cones, point to point",
}
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


BANDS = {
    "north": ("black", "yellow"),
    "east": ("black", "yellow", "black"),
    "south": ("yellow", "black"),
    "west": ("yellow", "black", "yellow"),
}


@pytest.mark.parametrize("named", BANDS)
def test_without_a_category_its_colours_name_the_quadrant(named: str) -> None:
    """black over yellow without a category is a north cardinal"""
    for look in ({"colours": BANDS[named]}, {"top_mark": CONES[named]}):
        bare = mark((0.0, 0.0), "cardinal", **look)
        for places in (
            [(-3000.0, 150.0), (3000.0, 150.0)],
            [(150.0, -3000.0), (150.0, 3000.0)],
            [(-3000.0, -150.0), (3000.0, -150.0)],
            [(-150.0, -3000.0), (-150.0, 3000.0)],
        ):
            stated = met(places, charts([mark((0.0, 0.0), named)]))
            inferred = met(places, charts([bare]))
            ours = list(wrong_side_of_cardinal(view(inferred), passage()))
            theirs = list(wrong_side_of_cardinal(view(stated), passage()))
            assert [(f.severity, f.sums) for f in ours] == [(f.severity, f.sums) for f in theirs]
            from_what = "its colours" if "colours" in look else "its top mark"
            assert all(f"its quadrant inferred from {from_what}" in f.explanation for f in ours)
            row = mark_row(inferred[0], view(inferred), passage())
            assert row.kind == named and f"inferred from {from_what}" in row.rule
            assert f"inferred from {from_what}" in row.judged_by


@pytest.mark.parametrize(
    "look",
    [
        {},
        {"colours": ("yellow",)},
        {"colours": ("black", "yellow"), "top_mark": "two cones, points down"},
        {"colours": ("black", "yellow"), "top_mark": "two balls"},
    ],
)
@pytest.mark.parametrize("off_m", [-150.0, -5.0, 5.0, 150.0])
def test_with_nothing_to_tell_its_quadrant(look: dict[str, object], off_m: float) -> None:
    """a cardinal without category, colours and cones is not assessed"""
    bare = mark((0.0, 0.0), "cardinal", "Bank", **look)
    for places in ([(-3000.0, off_m), (3000.0, off_m)], [(off_m, 3000.0), (off_m, -3000.0)]):
        seen = view(met(places, charts([bare])), width_m=20.0)
        (one,) = wrong_side_of_cardinal(seen, passage())
        assert one.severity is Severity.NOT_ASSESSED
        assert "cardinal mark Bank" in one.title and "quadrant is not certain" in one.explanation
        row = mark_row(seen.marks[0], seen, passage())
        assert (row.kind, row.outcome) == ("cardinal", MarkOutcome.NOT_ASSESSED)
        assert row.side_required == "" and row.rule.startswith("no rule can be told: ")


def test_with_nothing_to_tell_its_quadrant_further_off_it_is_listed() -> None:
    bare = mark((0.0, 0.0), "cardinal", "Bank")
    seen = view(met([(-3000.0, 700.0), (3000.0, 700.0)], charts([bare])))
    assert list(wrong_side_of_cardinal(seen, passage())) == []
    row = mark_row(seen.marks[0], seen, passage())
    assert row.outcome is MarkOutcome.NOT_ASSESSED and row.side_passed == "north"
    assert outcome_words(row) == "side not assessed"
