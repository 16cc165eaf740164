"""The IALA rules, line by line.

Tables: IALA Recommendation R1001, The IALA Maritime Buoyage System, lateral marks (regions A
and B), modified lateral marks, cardinal, isolated danger, safe water, emergency wreck marks;
S-57 ed. 3.1 attribute CATLAM for "preferred channel". Written out by hand, not computed.
"""

from __future__ import annotations

import pytest

from routecheck.nav.buoyage import (
    contradiction,
    kind_from_colours,
    pair_direction_deg,
    quadrant,
    sense_of_course,
    side_to_leave,
)

P, S = "port", "starboard"
LATERAL = [
    # region, kind, colours (R1001, lateral marks), side with, side against the direction
    ("A", "port-hand", "red", P, S),
    ("A", "starboard-hand", "green", S, P),
    ("A", "preferred-channel-to-starboard", "red green red", P, S),
    ("A", "preferred-channel-to-port", "green red green", S, P),
    ("B", "port-hand", "green", P, S),
    ("B", "starboard-hand", "red", S, P),
    ("B", "preferred-channel-to-starboard", "green red green", P, S),
    ("B", "preferred-channel-to-port", "red green red", S, P),
]


@pytest.mark.parametrize(("region", "kind", "colours", "side_with", "side_against"), LATERAL)
def test_lateral_table(
    region: str, kind: str, colours: str, side_with: str, side_against: str
) -> None:
    assert kind_from_colours(colours.split(), region) == kind
    assert side_to_leave(kind, with_direction=True) == side_with
    assert side_to_leave(kind, with_direction=False) == side_against
    assert contradiction(kind, colours.split(), region) == ""
    assert contradiction("lateral", colours.split(), region) == ""
    other = {"A": "B", "B": "A"}[region]
    assert f"region {other}" in contradiction(kind, colours.split(), other)
    assert contradiction(kind, colours.split(), "") == ""
    assert contradiction(kind, [], region) == ""


def test_red_right_returning_in_region_b_and_red_left_in_region_a() -> None:
    """Common practice: entering harbour in region B red is left to starboard, in A to port."""
    in_b = kind_from_colours(["red"], "B")
    in_a = kind_from_colours(["red"], "A")
    assert side_to_leave(in_b, with_direction=True) == "starboard"
    assert side_to_leave(in_a, with_direction=True) == "port"
    # Leaving harbour in region A red marks are left to starboard, in region B to port.
    assert side_to_leave(in_a, with_direction=False) == "starboard"
    assert side_to_leave(in_b, with_direction=False) == "port"


@pytest.mark.parametrize("kind", ["north", "special", "safe-water", "isolated-danger", "lateral"])
def test_marks_without_a_hand_have_no_side(kind: str) -> None:
    assert side_to_leave(kind, with_direction=True) == ""


@pytest.mark.parametrize(
    ("colours", "region"),
    [
        (["red"], ""),
        ([], "A"),
        (["yellow"], "A"),
        (["red", "green"], "A"),
        (["green", "red", "green", "red"], "B"),
    ],
)
def test_colours_that_name_no_hand(colours: list[str], region: str) -> None:
    assert kind_from_colours(colours, region) == ""


def test_colours_are_read_whatever_their_writing() -> None:
    assert kind_from_colours([" Red "], "A") == "port-hand"
    assert kind_from_colours(["green", "green"], "A") == "starboard-hand"


@pytest.mark.parametrize(
    ("kind", "colours", "region"),
    [
        ("port-hand", ["green", "red", "green"], "A"),  # banded: preferred channel
        ("preferred-channel-to-port", ["red"], "B"),
        ("preferred-channel-to-port", ["green", "red", "green"], "B"),
        ("starboard-hand", ["yellow"], "A"),
        ("lateral", ["black"], "A"),
        ("north", ["yellow", "black"], "A"),
        ("isolated-danger", ["red"], "A"),
        ("safe-water", ["red", "green"], "B"),
        ("emergency-wreck", ["yellow"], "A"),
    ],
)
def test_contradictions(kind: str, colours: list[str], region: str) -> None:
    said = contradiction(kind, colours, region)
    assert ", ".join(colours) in said


@pytest.mark.parametrize(
    ("kind", "colours"),
    # R1001: cardinal marks, isolated danger, safe water, emergency wreck. Both regions alike.
    [
        ("north", "black yellow"),
        ("east", "black yellow black"),
        ("south", "yellow black"),
        ("west", "yellow black yellow"),
        ("isolated-danger", "black red black"),
        ("safe-water", "red white red white"),
        ("emergency-wreck", "blue yellow blue yellow"),
        ("special", "yellow"),
        ("special", "white orange"),
    ],
)
@pytest.mark.parametrize("region", ["A", "B"])
def test_other_marks_fit_their_colours(kind: str, colours: str, region: str) -> None:
    assert contradiction(kind, colours.split(), region) == ""


@pytest.mark.parametrize(
    ("course_deg", "direction_deg", "sense"),
    [
        (0.0, 0.0, "with"),
        (69.9, 0.0, "with"),
        (70.0, 0.0, "crossing"),
        (110.0, 0.0, "crossing"),
        (110.1, 0.0, "against"),
        (180.0, 0.0, "against"),
        (290.1, 0.0, "with"),
        (290.0, 0.0, "crossing"),
        (350.0, 10.0, "with"),
        (265.0, 355.0, "crossing"),
    ],
)
def test_sense_of_a_course(course_deg: float, direction_deg: float, sense: str) -> None:
    assert sense_of_course(course_deg, direction_deg) == sense


def test_going_along_a_pairs_direction_leaves_its_port_hand_mark_to_port() -> None:
    # Starboard-hand mark due east of the port-hand mark: north between them (by drawing).
    assert pair_direction_deg(90.0) == 0.0
    assert pair_direction_deg(0.0) == 270.0


@pytest.mark.parametrize(
    ("bearing_deg", "name"),
    # R1001, cardinal marks: quadrants bounded by the inter-cardinal bearings.
    [(0, "north"), (44.9, "north"), (45, "east"), (90, "east"), (135, "south"), (224.9, "south"),
     (225, "west"), (314.9, "west"), (315, "north"), (359.9, "north")],
)  # fmt: skip
def test_quadrants(bearing_deg: float, name: str) -> None:
    assert quadrant(bearing_deg) == name


@pytest.mark.parametrize(
    ("colours", "named"),
    [
        ("black yellow", "north"),
        ("black yellow black", "an east"),
        ("yellow black", "south"),
        ("yellow black yellow", "west"),
        ("black red black", "isolated danger"),
    ],
)
def test_a_special_mark_in_the_colours_of_another_kind_contradicts(
    colours: str, named: str
) -> None:
    """R1001: each of these colourings belongs to one kind of mark alone."""
    said = contradiction("special", colours.split(), "A")
    assert named in said and "special mark" in said
