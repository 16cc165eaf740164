"""The lateral-mark check. Sides: IALA Recommendation R1001, lateral marks."""

from __future__ import annotations

from routecheck.checks.wrong_side_of_mark import wrong_side_of_mark
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import BuoyageZone, Mark
from tests.buoys import NEAR_M, Place, charts, mark, met, passage, view, zone

UP = [(0.0, -3000.0), (0.0, 3000.0)]


def found(
    marks: list[Mark], zones: list[BuoyageZone], places: list[Place] = UP, width_m: float = 50.0
) -> list[Finding]:
    passes = met(places, charts(marks, zones), width_m=width_m)
    return list(wrong_side_of_mark(view(passes, width_m), passage()))


def test_wrong_side() -> None:
    """going with a stated direction, a port-hand mark left close to starboard is a danger"""
    (one,) = found([mark((100.0, 0.0), "port-hand", "Deep")], [zone(0.0, "A")])
    assert (one.severity, one.check, one.leg) == (Severity.DANGER, "wrong-side-of-mark", 1)
    assert one.title == "port-hand mark Deep left to starboard: its side is port"
    assert "direction of buoyage 0°" in one.explanation and "with" in one.explanation
    assert one.sums["distance_m"] == 100.0 and one.sums["near_m"] == NEAR_M
    assert (one.sums["side_passed"], one.sums["side_required"]) == ("starboard", "port")
    assert one.object_key.endswith("Deep@100,0") and one.source == "cell"
    assert "cell (zone zone)" in one.rests_on
    assert round(one.cross_m) == 100


def test_right_side_against() -> None:
    """going against it, the same mark left to starboard is right"""
    assert found([mark((100.0, 0.0), "port-hand", "Deep")], [zone(180.0, "A")]) == []


def test_unknown_direction() -> None:
    """a mark near the track whose direction of buoyage nobody states is not assessed"""
    (one,) = found([mark((100.0, 0.0), "port-hand", "Deep")], [zone(None, "A")])
    assert one.severity is Severity.NOT_ASSESSED
    assert "--buoyage" in one.settle
    assert found([mark((400.0, 0.0), "port-hand", "Deep")], [zone(None, "A")]) == []


def test_unknown_region() -> None:
    (one,) = found([mark((100.0, 0.0), "lateral", colours=("red",))], [zone(0.0)])
    assert one.severity is Severity.NOT_ASSESSED and "--region" in one.settle


def test_crossing() -> None:
    """a track square to the stated direction crosses, which is a note"""
    across = [(-3000.0, 0.0), (3000.0, 0.0)]
    (one,) = found([mark((0.0, 100.0), "port-hand", "Deep")], [zone(0.0, "A")], across)
    assert one.severity is Severity.NOTE and "crosses the channel" in one.explanation
    (lapped,) = found([mark((0.0, 40.0), "port-hand", "Deep")], [zone(0.0, "A")], across)
    assert lapped.severity is Severity.CAUTION


def test_secondary_channel_is_a_note_that_says_so() -> None:
    fork = mark((100.0, 0.0), "preferred-channel-to-starboard", "Fork")
    (one,) = found([fork], [zone(0.0, "A")])
    assert one.severity is Severity.NOTE and "secondary channel" in one.explanation
    assert found([mark((-100.0, 0.0), "preferred-channel-to-starboard")], [zone(0.0)]) == []


def test_other_kinds_are_left_to_other_checks() -> None:
    others = [mark((100.0, 500.0 * i), k) for i, k in enumerate(["north", "special", "safe-water"])]
    assert found(others, [zone(0.0, "A")]) == []


def test_zones_that_contradict_each_other() -> None:
    """two zones of a chart that say opposite directions of the same water leave its marks not
    assessed"""
    zones = [zone(0.0, "A", name="one"), zone(180.0, "A", name="two", half_m=20100.0)]
    for held in (zones, zones[::-1]):
        for east_m in (-100.0, 100.0):
            (one,) = found([mark((east_m, 0.0), "port-hand", "Deep")], held)
            assert one.severity is Severity.NOT_ASSESSED
            assert "zone one" in one.explanation and "zone two" in one.explanation


def test_a_mark_of_unknown_kind() -> None:
    """a buoy of a kind that nothing tells, near the track, is not assessed"""
    (one,) = found([mark((100.0, 0.0), "unknown")], [zone(0.0, "A")])
    assert one.severity is Severity.NOT_ASSESSED
    assert found([mark((900.0, 0.0), "unknown")], [zone(0.0, "A")]) == []
