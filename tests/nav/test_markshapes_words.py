"""What is said of shapes and top marks, word for word; and which writing of them is read."""

from __future__ import annotations

import pytest

from routecheck.nav.markshapes import shape_contradiction


@pytest.mark.parametrize(
    ("kind", "shape", "top_mark", "said"),
    [
        (
            "port-hand",
            "conical",
            "cone, point up",
            "a cone is the shape of a mark for the starboard hand and "
            "a cone is the top mark of a mark for the starboard hand; "
            "this one is of kind port-hand",
        ),
        (
            "starboard-hand",
            " CAN ",
            " Can ",
            "a can is the shape of a mark for the port hand and "
            "a can is the top mark of a mark for the port hand; "
            "this one is of kind starboard-hand",
        ),
        (
            "port-hand",
            "can",
            "Two cones, points up, black",
            "two cones are the top mark of the north cardinal mark; this one is of kind port-hand",
        ),
        (
            "south",
            "can",
            "two cones, base to base",
            "these cones are the top mark of the east cardinal mark; this one is of kind south",
        ),
        ("south", "conical", "two cones, points down", ""),
        ("south", "pillar", "", ""),
        ("north", "", "sphere", ""),
        # No hand: a safe-water mark, an isolated danger; what stands on them is not judged.
        ("safe-water", "can", "cone, point up", ""),
        ("isolated-danger", "conical", "two cones, points up", ""),
        # A cone point down is no starboard hand's; neither is a word that only begins so.
        ("port-hand", "can", "cone, point down", ""),
        ("port-hand", "can", "cone-shaped basket", ""),
        ("starboard-hand", "conical", "cane", ""),
        ("starboard-hand", "conical", "a can", ""),
    ],
)
def test_what_is_said(kind: str, shape: str, top_mark: str, said: str) -> None:
    assert shape_contradiction(kind, shape, top_mark) == said
