"""Quadrants by look. Bands and cones: IALA Recommendation R1001, cardinal marks."""

from __future__ import annotations

import pytest

from routecheck.nav.quadrantlook import QuadrantLook, quadrant_from_look

BANDS = {
    "north": ("black", "yellow"),
    "east": ("black", "yellow", "black"),
    "south": ("yellow", "black"),
    "west": ("yellow", "black", "yellow"),
}
CONES = {
    "north": "two cones, points up",
    "east": "two cones, base to base",
    "south": "two cones, points down",
    "west": "two cones, point to point",
}


@pytest.mark.parametrize("named", BANDS)
def test_by_colours_by_cones_and_by_both(named: str) -> None:
    bands, cones = BANDS[named], CONES[named]
    assert quadrant_from_look(bands, "") == QuadrantLook(named, "its colours", "")
    assert quadrant_from_look((), f"{cones}, black") == QuadrantLook(named, "its top mark", "")
    both = quadrant_from_look(bands, cones)
    assert both == QuadrantLook(named, "its colours and top mark", "")
    assert quadrant_from_look([" Black " if c == "black" else c for c in bands], "").named == named


@pytest.mark.parametrize("named", BANDS)
@pytest.mark.parametrize("other", CONES)
def test_colours_and_cones_that_differ_tell_nothing(named: str, other: str) -> None:
    look = quadrant_from_look(BANDS[named], CONES[other])
    assert (look.named == "") is (named != other) is look.contradicts
    if look.contradicts:
        assert f"{named} cardinal" in look.doubt and f"{other} cardinal" in look.doubt


@pytest.mark.parametrize(
    "colours",
    [("red",), ("black",), ("yellow",), ("black", "yellow", "black", "yellow"), ("black", "white")],
)
def test_other_colours_tell_nothing_whatever_the_cones(colours: tuple[str, ...]) -> None:
    for cones in ("", "two cones, points up"):
        look = quadrant_from_look(colours, cones)
        assert (look.named, look.by, look.contradicts) == ("", "", True)
        assert ", ".join(colours) in look.doubt


@pytest.mark.parametrize(
    "top", ["two balls", "ball, red", "Can", "cone, point up", "diagonal cross"]
)
def test_the_top_mark_of_another_kind_tells_nothing(top: str) -> None:
    look = quadrant_from_look(BANDS["north"], top)
    assert (look.named, look.contradicts) == ("", True) and top.lower() in look.doubt


@pytest.mark.parametrize("top", ["", "broom, point up", "two cones, points up; two balls"])
def test_another_or_an_unclear_top_mark_leaves_it_to_the_colours(top: str) -> None:
    assert quadrant_from_look(BANDS["south"], top).named == "south"
    look = quadrant_from_look((), top)
    assert (look.named, look.contradicts) == ("", False) and look.doubt


def test_two_top_marks_that_agree() -> None:
    top = "two cones, points up; two cones, points up, black"
    assert quadrant_from_look((), top).named == "north"
