"""Leading lines and recommended tracks: a weak ground for the direction of buoyage.

IHO S-57, use of the object catalogue: the bearing of a line is given as from seaward (from memory).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.objects import BuoyageZone, Mark, SteeringLine
from routecheck.model.passes import GroundKind, MarkPass, Sense
from routecheck.readers.s57 import read_cell
from tests.buoys import HERE, Place, Spot, chart, judged, mark, met, zone
from tests.s57_writer import Cell

UP = [(0.0, -3000.0), (0.0, 3000.0)]


def line(places: list[Place], inbound_deg: float, spot: Spot = HERE) -> SteeringLine:
    return SteeringLine(
        key="cell/NAVLNE/1",
        cls="NAVLNE",
        source="cell",
        geometry=shapely.LineString([spot.at(p) for p in places]),
        name="Haven light",
        inbound_deg=(inbound_deg + spot.turn_deg) % 360.0,
        what="leading line",
    )


def passes(
    marks: list[Mark],
    lines: list[SteeringLine],
    zones: tuple[BuoyageZone, ...] = (),
    track: list[Place] | None = None,
    spot: Spot = HERE,
) -> list[MarkPass]:
    held = replace(chart(marks, zones), steering_lines=tuple(lines))
    return met(UP if track is None else track, ChartSet(charts=(held,)), spot=spot)


IN = line([(50.0, -2500.0), (50.0, 2500.0)], 0.0)


def grounds(found: list[MarkPass]) -> list[tuple[GroundKind, Sense]]:
    return [(g.kind, g.sense) for one in found for g in one.grounds]


def test_alone_it_warns_of_a_wrong_side_and_makes_no_danger() -> None:
    (one,) = passes([mark((100.0, 0.0), "port-hand")], [IN])
    said = judged(one)
    assert (said.outcome, said.severity) == (MarkOutcome.WRONG, Severity.CAUTION)
    assert "one weak ground alone" in said.why and "Haven light" in said.why
    assert said.settle


def test_alone_it_never_passes_a_mark() -> None:
    (one,) = passes([mark((100.0, 0.0), "starboard-hand")], [IN])
    said = judged(one)
    assert (said.outcome, said.severity) == (MarkOutcome.NOT_ASSESSED, Severity.NOT_ASSESSED)
    assert "not enough to pass it" in said.why
    (far,) = passes([mark((400.0, 0.0), "port-hand")], [IN])
    assert judged(far).outcome is MarkOutcome.NOT_ASSESSED  # may be another channel's


def test_with_a_pair_it_tells_the_side_but_still_makes_no_danger() -> None:
    pair = [mark((-150.0, 0.0), "port-hand", "L"), mark((150.0, 0.0), "starboard-hand", "R")]
    assert {judged(one).outcome for one in passes(pair, [IN])} == {MarkOutcome.RIGHT}
    outside = passes(pair, [IN], track=[(220.0, -3000.0), (220.0, 3000.0)])
    (wrong,) = [judged(p) for p in outside if p.mark.name == "R"]
    assert (wrong.outcome, wrong.severity) == (MarkOutcome.WRONG, Severity.CAUTION)
    assert "two weak grounds" in wrong.why


def test_with_numbers_that_agree_there_are_two_grounds() -> None:
    run = [mark((100.0, 900.0 * n), "port-hand", f"Reach {2 * n + 2}") for n in range(3)]
    assert {judged(one).severity for one in passes(run, [])} == {Severity.CAUTION}
    assert {judged(one).severity for one in passes(run, [IN])} == {Severity.DANGER}


@pytest.mark.parametrize("stated", [False, True])
def test_where_it_contradicts_it_is_a_conflict_and_no_ground(stated: bool) -> None:
    run = [mark((100.0, 900.0 * n), "starboard-hand", f"Reach {2 * n + 1}") for n in range(3)]
    out = line([(50.0, -2500.0), (50.0, 2500.0)], 180.0)
    found = passes(run, [out], (zone(0.0),) if stated else ())
    assert GroundKind.LINE not in {kind for kind, _ in grounds(found)}
    for one in found:
        assert "Haven light" in one.conflict
        assert judged(one).outcome is MarkOutcome.RIGHT


@pytest.mark.parametrize(
    ("places", "inbound_deg"),
    [
        ([(600.0, -2500.0), (600.0, 2500.0)], 0.0),  # too far off to be followed
        ([(50.0, -2500.0), (50.0, 2500.0)], 40.0),  # not the bearing of this stretch
        ([(-2500.0, 0.0), (2500.0, 0.0)], 90.0),  # crossed
        ([(0.0, 900.0), (0.0, 2500.0)], 0.0),  # does not run here
    ],
)
def test_lines_that_say_nothing(places: list[Place], inbound_deg: float) -> None:
    found = passes([mark((100.0, 0.0), "port-hand")], [line(places, inbound_deg)])
    assert grounds(found) == []


def test_two_lines_that_disagree_say_nothing() -> None:
    other = line([(-50.0, -2500.0), (-50.0, 2500.0)], 180.0)
    assert grounds(passes([mark((100.0, 0.0), "port-hand")], [IN, other])) == []


@pytest.mark.parametrize("spot", [Spot(180.0, 0.0), Spot(20.0, 75.0, 90.0), Spot(-179.9995, -45.0)])
def test_anywhere_on_the_globe(spot: Spot) -> None:
    there = line([(50.0, -2500.0), (50.0, 2500.0)], 0.0, spot)
    found = passes([mark((100.0, 0.0), "port-hand", spot=spot)], [there], spot=spot)
    assert grounds(found) == [(GroundKind.LINE, Sense.WITH)]


LINE = shapely.LineString([(10.0, 54.0), (10.0, 54.1)])


@pytest.mark.parametrize(
    ("cls", "values", "inbound_deg"),
    [
        ("RECTRC", {"ORIENT": 0, "TRAFIC": 4}, 0.0),
        ("RECTRC", {"ORIENT": 0}, 0.0),
        ("RECTRC", {"ORIENT": 180, "TRAFIC": 2}, 0.0),  # outbound: the traffic's own bearing
        ("RECTRC", {"ORIENT": 0, "TRAFIC": 3}, None),  # one way, which may be either
        ("RECTRC", {"TRAFIC": 4}, None),
        ("NAVLNE", {"ORIENT": 0, "CATNAV": 3}, 0.0),
        ("NAVLNE", {"ORIENT": 0, "CATNAV": 1}, None),  # a clearing line
        ("NAVLNE", {"ORIENT": 720, "CATNAV": 3}, None),
    ],
)
def test_what_of_a_cell_is_such_a_line(
    tmp_path: Path, cls: str, values: dict[str, object], inbound_deg: float | None
) -> None:
    cell = Cell()
    cell.add(cls, LINE, **values)
    found = read_cell(cell.write(tmp_path)).steering_lines
    assert [one.inbound_deg for one in found] == ([] if inbound_deg is None else [inbound_deg])
