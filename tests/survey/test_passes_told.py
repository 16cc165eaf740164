"""What a pass tells of a mark whose quadrant or hand the chart does not state.

Colours and top marks: IALA Recommendation R1001, cardinal marks (black over yellow and two cones up
for north, yellow over black and two cones down for south) and lateral marks (region A: red to
port; region B: green to port). S-57 has a cardinal mark without its quadrant where CATCAM is left
out.
"""

from __future__ import annotations

import pytest

from routecheck.model.objects import MarkKind
from tests.buoys import charts, mark, met, zone

P, S, LATERAL = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND, MarkKind.LATERAL
CARDINAL, NORTH, SOUTH = MarkKind.CARDINAL, MarkKind.NORTH, MarkKind.SOUTH
EAST = [(-2000.0, 0.0), (2000.0, 0.0)]
UP, DOWN = "two cones, points up", "two cones, points down"


@pytest.mark.parametrize(
    ("colours", "top_mark", "kind", "by"),
    [
        (("black", "yellow"), "", NORTH, "its colours"),
        ((), UP, NORTH, "its top mark"),
        (("black", "yellow"), UP, NORTH, "its colours and top mark"),
        (("yellow", "black"), "", SOUTH, "its colours"),
        ((), DOWN, SOUTH, "its top mark"),
    ],
)
@pytest.mark.parametrize("north_m", [-300.0, 300.0])
def test_the_quadrant_by_its_look(
    colours: tuple[str, ...], top_mark: str, kind: MarkKind, by: str, north_m: float
) -> None:
    """It is judged as if the chart named it: passed well clear on one side, and never within the
    quadrant opposite to the water that it names."""
    plain = mark((0.0, north_m), CARDINAL, colours=colours, top_mark=top_mark)
    (one,) = met(EAST, charts([plain]))
    assert (one.kind, one.quadrant_by, one.uncertain_hand, one.contradiction) == (kind, by, "", "")
    (named,) = met(EAST, charts([mark((0.0, north_m), kind)]))
    assert (one.track_side_of_mark, one.opposite_m) == (named.track_side_of_mark, named.opposite_m)
    # Of a north mark the water to south of it is the wrong one: a track there, and no other.
    wrong = (north_m > 0.0) is (kind is NORTH)
    assert (one.opposite_m is not None) is wrong
    if wrong:
        assert one.opposite_m == pytest.approx(300.0, abs=0.1)
    # Where the chart names the quadrant no look is asked.
    assert (named.kind, named.quadrant_by) == (kind, "")


@pytest.mark.parametrize(
    ("colours", "top_mark", "doubt", "contradicts"),
    [
        ((), "", "neither its quadrant nor colours or a top mark that tell it are stated", False),
        (("red",), "", "red is not the colouring of a cardinal mark", True),
        ((), "can", "can is no top mark of a cardinal mark", True),
        (
            ("black", "yellow"),
            DOWN,
            "black, yellow are the colours of a north cardinal mark, its cones are the top mark of "
            "a south cardinal mark",
            True,
        ),
    ],
)
def test_a_look_that_names_no_quadrant(
    colours: tuple[str, ...], top_mark: str, doubt: str, *, contradicts: bool
) -> None:
    """What is missing is no contradiction; what does not fit is one."""
    plain = mark((0.0, 300.0), CARDINAL, colours=colours, top_mark=top_mark)
    (one,) = met(EAST, charts([plain]))
    assert (one.kind, one.quadrant_by, one.opposite_m) == (CARDINAL, "", None)
    assert one.uncertain_hand == doubt
    assert one.contradiction == (doubt if contradicts else "")


def test_a_contradiction_of_another_kind_of_mark_stays() -> None:
    """Only where the look was asked does it say what does not fit."""
    (one,) = met(EAST, charts([mark((0.0, 300.0), NORTH, colours=("yellow", "black"))]))
    assert one.contradiction == (
        "a north cardinal mark is black, yellow; this one is charted yellow, black"
    )


CONTESTED = [zone(90.0, "A", name="one"), zone(90.0, "B", name="two", half_m=19500.0)]


def test_a_hand_between_two_regions() -> None:
    """Zones of one chart, nearly of one size, so that neither is an exception to the other: a red
    mark is a port-hand mark by one and a starboard-hand mark by the other."""
    (one,) = met(EAST, charts([mark((0.0, 300.0), LATERAL, colours=("red",))], CONTESTED))
    assert (one.kind, one.region, one.region_from) == (LATERAL, "", "")
    assert one.uncertain_hand.startswith("its hand follows from the region, and ")
    assert one.uncertain_hand.removeprefix("its hand follows from the region, and ") in (
        "cell (zone one) says region A, cell (zone two) says B",
        "cell (zone two) says region B, cell (zone one) says A",
    )
    assert one.conflict.startswith("cell (zone ")


@pytest.mark.parametrize(
    ("kind", "colours", "fits"),
    [(P, ("red",), False), (P, ("green",), False), (S, ("red",), False), (P, (), True)],
)
def test_between_two_regions_the_mark_must_fit_either(
    kind: MarkKind, colours: tuple[str, ...], *, fits: bool
) -> None:
    """Red to port is region A alone, green to port region B alone."""
    (one,) = met(EAST, charts([mark((0.0, 300.0), kind, colours=colours)], CONTESTED))
    assert (one.contradiction == "") is fits
