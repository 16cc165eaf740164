"""Shapes and top marks: IALA Recommendation R1001, lateral, modified lateral and cardinal marks.

"Cylindrical (can)" and "single cylinder" for the port hand, "conical" and "single cone, point
upward" for the starboard hand, in both regions; the cones of cardinal marks.
"""

from __future__ import annotations

import pytest

from routecheck.nav.markshapes import shape_contradiction

HANDS = [
    ("port-hand", "can", "conical", "can, red", "cone, point up, green"),
    ("preferred-channel-to-starboard", "can", "conical", "can", "cone, point up"),
    ("starboard-hand", "conical", "can", "cone, point up", "can, red"),
    ("preferred-channel-to-port", "conical", "can", "cone", "can"),
]


@pytest.mark.parametrize(("kind", "shape", "other", "top", "other_top"), HANDS)
def test_hands(kind: str, shape: str, other: str, top: str, other_top: str) -> None:
    assert shape_contradiction(kind, shape, top) == ""
    assert kind in shape_contradiction(kind, other, "")
    assert "top mark" in shape_contradiction(kind, "pillar", other_top)
    for plain in ("pillar", "spar", "barrel", ""):
        assert shape_contradiction(kind, plain, "") == ""


CONES = {
    "north": "two cones, points up, black",
    "south": "two cones, points down",
    "east": "two cones, base to base",
    "west": "two cones, point to point",
}


@pytest.mark.parametrize("kind", CONES)
@pytest.mark.parametrize("shown", CONES)
def test_cardinals(kind: str, shown: str) -> None:
    said = shape_contradiction(kind, "pillar", CONES[shown])
    assert (said == "") is (kind == shown)
    assert (f"the {shown} cardinal mark" in said) is (kind != shown)


def test_a_cardinals_top_mark_on_a_lateral_mark() -> None:
    assert "north cardinal mark" in shape_contradiction("port-hand", "", CONES["north"])
    assert shape_contradiction("lateral", "can", "can") == ""  # no hand, nothing to contradict
