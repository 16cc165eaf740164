"""Channels entered and left from the side. IALA R1001: lateral marks show the sides."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.checks.across_the_channels_edge import across_the_channels_edge
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Mark
from tests.buoys import Place, charts, mark, met, passage, view

# Region A, going north: red to port (west) with even numbers, green to starboard (east) with odd.
REDS = [mark((-150.0, 600.0 * n), "port-hand", f"Reach {2 * n}") for n in range(1, 6)]
GREENS = [mark((150.0, 600.0 * n), "starboard-hand", f"Reach {2 * n + 1}") for n in range(1, 6)]
CHANNEL = REDS + GREENS
NAMELESS = [replace(one, name="") for one in CHANNEL]


def found(places: list[Place], marks: list[Mark] | None = None) -> list[Finding]:
    passes = met(places, charts(CHANNEL if marks is None else marks))
    return list(across_the_channels_edge(view(passes), passage()))


def test_in_from_the_side() -> None:
    """into the channel between two red marks of a run is a note"""
    (one,) = found([(-1500.0, 1500.0), (0.0, 1500.0), (0.0, 4000.0)])
    assert one.severity is Severity.NOTE
    assert one.title == (
        "enters the channel from the side, between the port-hand marks Reach 4 and Reach 6"
    )
    assert one.sums["off_nearer_m"] == pytest.approx(300.0, abs=0.5)
    assert one.sums["edge_m"] == pytest.approx(600.0, abs=0.5)


def test_right_across() -> None:
    """out of it again is a note of its own"""
    first, second = found([(-1500.0, 1400.0), (1500.0, 1400.0)])
    assert first.title.startswith("enters") and "Reach 4 and Reach 6" in first.title
    assert second.title.startswith("leaves") and "Reach 5 and Reach 7" in second.title
    back = found([(1500.0, 1400.0), (-1500.0, 1400.0)])
    assert [one.title.split()[0] for one in back] == ["enters", "leaves"]


def test_inside() -> None:
    """along the channel, inside its edges, is quiet"""
    assert found([(0.0, -500.0), (0.0, 5000.0)]) == []
    assert found([(100.0, 5000.0), (-100.0, -500.0)]) == []
    assert found([(400.0, -500.0), (400.0, 5000.0)]) == []  # outside, and never in


def test_without_numbers_the_marks_that_they_face_tell() -> None:
    first, second = found([(-1500.0, 1400.0), (1500.0, 1400.0)], NAMELESS)
    assert first.title == (
        "enters the channel from the side, between the port-hand marks one and the next"
    )
    assert second.title.startswith("leaves") and "starboard-hand" in second.title
    assert "places of the marks alone" in first.rests_on


def test_without_numbers_one_edge_alone_tells_no_channel() -> None:
    assert found([(-1500.0, 1400.0), (1500.0, 1400.0)], NAMELESS[:5]) == []


def test_where_the_buoyage_turns_round_no_edge_runs_across_the_channel() -> None:
    beyond = [
        mark((x, y), "starboard-hand" if x < 0.0 else "port-hand")
        for x in (-150.0, 150.0)
        for y in (3600.0, 4200.0)
    ]
    assert found([(0.0, 0.0), (0.0, 5000.0)], [*NAMELESS, *beyond]) == []


def test_a_missing_number_is_no_neighbour_but_a_mark_too_far_off_is_none() -> None:
    gap = [one for one in CHANNEL if one.name != "Reach 6"]
    (one,) = [f for f in found([(-1500.0, 1500.0), (0.0, 1500.0)], gap)]
    assert "Reach 4 and Reach 8" in one.title  # the next number that is charted
    far = [REDS[0], mark((-150.0, 6000.0), "port-hand", "Reach 4")]
    assert found([(-1500.0, 3000.0), (1500.0, 3000.0)], far) == []


def test_two_runs_side_by_side_share_no_edge() -> None:
    other = [mark((450.0, 600.0 * n), "port-hand", f"Sound {2 * n}") for n in range(1, 6)]
    greens = [replace(one, name="") for one in GREENS]
    # Between a red of one channel and the red of the next there runs no edge.
    assert found([(0.0, 300.0), (300.0, 320.0), (320.0, 5000.0)], [*REDS, *other]) == []
    assert found([(0.0, 300.0), (300.0, 320.0), (320.0, 5000.0)], [*greens, *other]) == []
