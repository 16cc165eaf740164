"""What is said about a mark that does not fit, and what is not; bearings of any size.

Rules: IALA Recommendation R1001, as in the tables beside; words are our own.
"""

from __future__ import annotations

import pytest

from routecheck.nav.buoyage import (
    CARDINAL_DEG,
    a_cardinal,
    contradiction,
    kind_from_colours,
    plain_colours,
    quadrant,
    side_to_leave,
)


@pytest.mark.parametrize(
    ("kind", "colours", "region", "said"),
    [
        (
            "port-hand",
            "red green red",
            "A",
            "red, green, red is the colouring of a preferred-channel mark; "
            "the chart says port-hand",
        ),
        (
            "preferred-channel-to-port",
            "green",
            "A",
            "green is the colouring of a plain lateral mark; "
            "the chart says preferred-channel-to-port",
        ),
        (
            "starboard-hand",
            "red",
            "A",
            "in region A a mark of kind starboard-hand is green; this one is charted red",
        ),
        (
            "port-hand",
            "yellow",
            "B",
            "yellow is not the colouring of a lateral mark, which this one is said to be",
        ),
        ("lateral", "black", "B", "black is not the colouring of a lateral mark in region B"),
        (
            "east",
            "black yellow",
            "A",
            "an east cardinal mark is black, yellow, black; this one is charted black, yellow",
        ),
        (
            "safe-water",
            "red",
            "A",
            "a mark of kind safe-water shows red and white; this one is charted red",
        ),
        (
            "special",
            "yellow black",
            "A",
            "yellow, black is the colouring of a south cardinal mark; the chart says special mark",
        ),
        (
            "special",
            "black red black",
            "A",
            "black, red, black is the colouring of an isolated danger mark; "
            "the chart says special mark",
        ),
    ],
)
def test_what_does_not_fit(kind: str, colours: str, region: str, said: str) -> None:
    assert contradiction(kind, colours.split(), region) == said


@pytest.mark.parametrize(
    ("kind", "colours", "region"),
    [
        ("lateral", "black", ""),  # which colouring is wrong depends on the region
        ("starboard-hand", "red", "C"),  # no such region
        ("installation", "black", "A"),  # a kind without a colouring of its own
        ("lateral", "red", "A"),
        ("port-hand", "red white", "A"),  # white bands say nothing of the hand
        ("special", "red", "A"),
    ],
)
def test_what_says_nothing(kind: str, colours: str, region: str) -> None:
    assert contradiction(kind, colours.split(), region) == ""


def test_no_hand_no_side_either_way() -> None:
    assert side_to_leave("safe-water", with_direction=False) == ""


def test_words_that_are_no_colours_are_left_out() -> None:
    assert plain_colours(["", " Red", "red ", " ", "WHITE", "red"]) == ("red", "white", "red")
    assert kind_from_colours(["", "red", " "], "A") == "port-hand"


def test_cardinals_in_words_and_degrees() -> None:
    assert [a_cardinal(side) for side in CARDINAL_DEG] == [
        "a north cardinal mark",
        "an east cardinal mark",
        "a south cardinal mark",
        "a west cardinal mark",
    ]
    assert CARDINAL_DEG == {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}


@pytest.mark.parametrize(
    ("bearing_deg", "name"),
    [(-50.0, "west"), (-10.0, "north"), (370.0, "north"), (410.0, "east"), (660.0, "west")],
)
def test_bearings_of_more_than_a_turn(bearing_deg: float, name: str) -> None:
    assert quadrant(bearing_deg) == name


def test_a_bearing_a_hairs_breadth_below_the_northern_quadrant() -> None:
    """The remainder of a tiny negative number rounds up to the whole turn."""
    assert (-45.00000000000001 + 45.0) % 360.0 == 360.0
    assert quadrant(-45.00000000000001) in ("west", "north")
