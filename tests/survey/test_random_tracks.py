"""Four hundred random tracks on a real cell that states no direction of buoyage (US4MD81M).

Tracks of 3 nmi in water charted deeper than 5 m. Region B: going with the direction of buoyage
red is left to starboard (IALA Recommendation R1001). The direction is worked out here a second
time, with no shared code: from the next lower to the next higher number on the same side.
"""

from __future__ import annotations

import math
import random
import re
from collections import Counter
from functools import lru_cache
from pathlib import Path

import pytest
import shapely

from routecheck.model.boat import Margins
from routecheck.model.chart import Chart, ChartSet, Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.markrule import Fault, MarkJudgement, judge
from routecheck.model.objects import Mark
from routecheck.model.passes import MarkPass
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.readers.s57 import read_cell
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import MarkIndex, mark_passes
from tests.buoys import GEOD, view

TRACKS = 400
LENGTH_M = 3 * 1852.0
HALF_WIDTH_M = 185.2
Judged = list[list[tuple[MarkPass, MarkJudgement]]]


def random_tracks(chart: Chart) -> list[tuple[float, float, float, float]]:
    deep = shapely.union_all(
        [
            shapely.make_valid(area.geometry)
            for area in chart.depth_areas
            if area.charted_depth_m is not None and area.charted_depth_m >= 5.0
        ]
    )
    shapely.prepare(deep)
    west, south, east, north = deep.bounds
    dice = random.Random(20270514)
    made: list[tuple[float, float, float, float]] = []
    while len(made) < TRACKS:
        lon, lat = dice.uniform(west, east), dice.uniform(south, north)
        if not deep.contains(shapely.Point(lon, lat)):
            continue
        lon2, lat2, _ = GEOD.fwd(lon, lat, dice.uniform(0.0, 360.0), LENGTH_M)
        if deep.contains(shapely.LineString([(lon, lat), (lon2, lat2)])):
            made.append((lon, lat, lon2, lat2))
    return made


@lru_cache(maxsize=1)
def judged(data: Path) -> tuple[Chart, Judged]:
    chart = read_cell(data / "s57_noaa_us4md81m" / "US4MD81M.000")
    charts = ChartSet(charts=(chart,))
    index = MarkIndex(charts)
    seen = view(width_m=HALF_WIDTH_M)
    found: Judged = []
    for lon, lat, lon2, lat2 in random_tracks(chart):
        start = Waypoint(name="", lon_deg=lon, lat_deg=lat)
        end = Waypoint(name="", lon_deg=lon2, lat_deg=lat2)
        route = Route(name="", legs=(Leg(number=1, start=start, end=end),), file="")
        legs = corridors(route, ((HALF_WIDTH_M, HALF_WIDTH_M),))
        (passes,) = mark_passes(legs, charts, far_m=740.8, index=index).values()
        found.append([(one, judge(one, Margins(), seen)) for one in passes])
    return chart, found


def run_and_number(mark: Mark) -> tuple[str, int] | None:
    """By a plain reading of the light list's way of naming: river, words, number, letter."""
    match = re.fullmatch(r"(.+?) (?:WR)?(\d+)[A-Z]*", mark.name)
    if match is None:
        return None
    words = [
        w
        for w in match.group(1).split()
        if w
        not in ("Buoy", "Light", "Lighted", "Daybeacon", "Entrance", "Channel", "Bell", "Wreck")
    ]
    return " ".join(words), int(match.group(2))


def with_the_numbers(chart: Chart, one: MarkPass) -> bool | None:
    """Whether the course goes from the lower to the higher neighbour on the mark's own side."""
    own = run_and_number(one.mark)
    if own is None:
        return None
    side = [
        (read[1], m)
        for m in chart.marks
        if (read := run_and_number(m)) and read[0] == own[0] and read[1] % 2 == own[1] % 2
    ]
    lower = max((held for held in side if held[0] < own[1]), key=lambda h: h[0], default=None)
    higher = min((held for held in side if held[0] > own[1]), key=lambda h: h[0], default=None)
    if lower is None or higher is None:
        return None
    bearing, _, _ = GEOD.inv(
        lower[1].lon_deg, lower[1].lat_deg, higher[1].lon_deg, higher[1].lat_deg
    )
    return math.cos(math.radians(bearing - one.course_deg)) > 0.0


def test_no_wrong_side_that_the_charts_own_numbers_contradict(real_data: Path) -> None:
    chart, tracks = judged(real_data)
    told = [
        (one, said)
        for track in tracks
        for one, said in track
        if said.outcome is MarkOutcome.WRONG
        and said.fault in (Fault.WRONG_SIDE, Fault.OUTSIDE_GATE)
    ]
    assert len(told) >= 15
    checked = 0
    for one, _ in told:
        going_with = with_the_numbers(chart, one)
        if going_with is None:
            continue
        checked += 1
        red = one.mark.colours[0] == "red"
        right = "starboard" if red is going_with else "port"
        assert one.side != right, one.mark.name
    assert checked >= 0.6 * len(told)


def test_one_inferred_ground_makes_no_danger(real_data: Path) -> None:
    _, tracks = judged(real_data)
    for track in tracks:
        for one, said in track:
            if said.severity is Severity.DANGER:
                assert len({g.kind for g in one.grounds}) >= 2


def test_at_most_one_track_in_ten_is_left_incomplete_by_marks(real_data: Path) -> None:
    _, tracks = judged(real_data)
    count = Counter(
        any(said.severity is Severity.NOT_ASSESSED for _, said in track) for track in tracks
    )
    assert count[True] <= 0.1 * TRACKS
    assert sum(len(track) for track in tracks) > 100  # marks were met at all


@pytest.mark.parametrize("outcome", [MarkOutcome.RIGHT, MarkOutcome.WRONG])
def test_both_answers_occur(real_data: Path, outcome: MarkOutcome) -> None:
    _, tracks = judged(real_data)
    assert sum(said.outcome is outcome for track in tracks for _, said in track) >= 10
