"""Random fairways, straight and winding, single- and double-buoyed, half-way along
which the direction of buoyage turns round.

The truth is known by construction (IALA Recommendation R1001, lateral marks; at a turn-round the
colours change sides).
"""

from __future__ import annotations

import os
from collections import Counter

import pytest

from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.markrule import Fault
from routecheck.model.passes import GroundKind, MarkPass, Sense
from tests.buoys import Place, chart, judged, met
from tests.channels import Buoy, Channel

# The whole thousand with the full profile of the properties; see tests/conftest.py.
CHANNELS = 1000 if os.environ.get("HYPOTHESIS_PROFILE") == "full" else 200
WIDTH_M = 10.0


def passes(channel: Channel, track: list[Place], *, stated: bool) -> list[MarkPass]:
    zones = channel.zones() if stated else []
    held = ChartSet(charts=(chart([b.mark for b in channel.buoys], zones),))
    return met(track, held, spot=channel.spot, width_m=WIDTH_M)


def either_way(channel: Channel, track: list[Place]) -> list[Place]:
    return track if channel.seed % 2 else track[::-1]


def test_tracks_inside_have_no_danger() -> None:
    met_count = 0
    for seed in range(CHANNELS):
        channel = Channel(seed, double=seed % 4 < 2)
        track = either_way(channel, channel.track())
        for one in passes(channel, track, stated=True):
            said = judged(one, WIDTH_M)
            assert said.outcome is MarkOutcome.RIGHT, (seed, one.mark.key, said)
            assert said.severity is None
            assert one.edges == ()
            met_count += 1
    assert met_count > 10 * CHANNELS


def pushed_buoy(channel: Channel) -> Buoy:
    return channel.dice.choice(channel.buoys[2:-2])


def test_a_track_pushed_outside_at_one_mark_has_exactly_that_danger() -> None:
    for seed in range(CHANNELS):
        channel = Channel(seed, double=seed % 4 < 2)
        buoy = pushed_buoy(channel)
        track = either_way(channel, channel.track(buoy))
        told = {
            (one.mark.key, said.fault in (Fault.WRONG_SIDE, Fault.OUTSIDE_GATE))
            for one in passes(channel, track, stated=True)
            if (said := judged(one, WIDTH_M)).severity is Severity.DANGER
        }
        assert told == {(buoy.mark.key, True)}, seed


@pytest.fixture(scope="module")
def inferred() -> Counter[tuple[str, str]]:
    """(double or single, what the places alone said against the truth) over all marks."""
    count: Counter[tuple[str, str]] = Counter()
    for seed in range(CHANNELS):
        channel = Channel(seed, double=seed % 4 < 2)
        against = {b.mark.key: channel.stations[b.station].reversed for b in channel.buoys}
        backwards = not seed % 2
        for one in passes(channel, either_way(channel, channel.track()), stated=False):
            truth = Sense.AGAINST if against[one.mark.key] is not backwards else Sense.WITH
            edges = [g.sense for g in one.grounds if g.kind is GroundKind.EDGES]
            said = "silent" if not edges else "agrees" if edges == [truth] else "wrong"
            count["double" if channel.double else "single", said] += 1
    return count


def test_the_edges_are_never_wrong_about_a_track_inside(inferred: Counter[tuple[str, str]]) -> None:
    assert inferred["double", "wrong"] == inferred["single", "wrong"] == 0


@pytest.mark.parametrize(("buoyed", "least"), [("double", 0.99), ("single", 0.6)])
def test_the_edges_tell_the_direction(
    inferred: Counter[tuple[str, str]], buoyed: str, least: float
) -> None:
    total = sum(n for (kind, _), n in inferred.items() if kind == buoyed)
    assert inferred[buoyed, "agrees"] >= least * total


def test_a_mark_passed_outside_is_never_called_right_by_the_places_alone() -> None:
    said: Counter[MarkOutcome] = Counter()
    for seed in range(CHANNELS // 2):
        channel = Channel(seed, double=seed % 4 < 2)
        buoy = pushed_buoy(channel)
        track = either_way(channel, channel.track(buoy))
        for one in passes(channel, track, stated=False):
            if one.mark.key == buoy.mark.key:
                said[judged(one, WIDTH_M).outcome] += 1
    assert said[MarkOutcome.RIGHT] == 0
    assert said[MarkOutcome.WRONG] > 0.5 * sum(said.values())


def test_marks_on_one_edge_alone_say_nothing() -> None:
    for seed in range(100):
        channel = Channel(seed, double=True, turn_round=False)
        one_edge = [b.mark for b in channel.buoys if b.to_starboard]
        held = ChartSet(charts=(chart(one_edge),))
        found = met(channel.track(), held, spot=channel.spot, width_m=WIDTH_M)
        assert len(found) >= 10
        assert {judged(p, WIDTH_M).outcome for p in found} == {MarkOutcome.NOT_ASSESSED}


def test_round_a_bend_the_other_edge_bulges_and_nothing_is_told() -> None:
    """Two of the thousand whose straight edges cut their bends."""
    for seed in (923, 974):
        channel = Channel(seed, double=seed % 4 < 2)
        for one in passes(channel, either_way(channel, channel.track()), stated=True):
            assert judged(one, WIDTH_M).severity is None, seed
