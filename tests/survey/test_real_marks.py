"""Marks of real and official-test cells on real routes: every listed one, side and distance.

The tables stand in the README of the data folder ("a careful reading", worked out with an
independent planar script, to whole metres). Cells: NOAA ENC US4MD81M (region B, no direction
stated); IHO S-64 test set GB4X0000, GB5X01SW and neighbours (region A, directions stated).
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

import pytest

from routecheck.model.boat import Margins
from routecheck.model.chart import ChartSet
from routecheck.model.finding import MarkOutcome
from routecheck.model.markrule import judge
from routecheck.model.passes import GroundKind, MarkPass, Sense
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.readers.s57 import read_cell
from routecheck.survey.corridors import corridors
from routecheck.survey.passes import mark_passes
from tests.buoys import view

Expected = dict[str, tuple[str, int]]
CHESAPEAKE = "s57_noaa_us4md81m/US4MD81M.000"

A: Expected = {
    "Choptank River Buoy 4": ("starboard", 657),
    "Choptank River Lighted Buoy 5": ("port", 710),
    "Choptank River Buoy 7": ("port", 213),
    "Choptank River Lighted Buoy 8": ("starboard", 390),
    "Choptank River Lighted Buoy 9": ("port", 317),
    "Choptank River Entrance Lighted Buoy 10": ("starboard", 287),
    "Choptank River Lighted Buoy 12": ("starboard", 281),
    "Choptank River Lighted Buoy 13": ("port", 184),
    "Choptank River Lighted Buoy 14": ("starboard", 325),
}
B1_RED, B1_GREEN = {"S2", "S6", "S8", "S10"}, {"S1", "S5", "S7", "S9"}
B2: Expected = {
    "Haig": ("port", 333),
    "Diana": ("port", 443),
    "New Channel": ("port", 540),
    "New Ground": ("port", 412),
    "Worm": ("port", 429),
    "(60.9063, -32.5077)": ("port", 494),
    "Panther": ("starboard", 477),
    "(60.9166, -32.5109)": ("starboard", 452),
    "(60.9171, -32.5050)": ("starboard", 439),
}


@lru_cache(maxsize=4)
def cells(*paths: Path) -> ChartSet:
    return ChartSet(charts=tuple(read_cell(path) for path in paths))


def places(data: Path, route: str) -> list[tuple[float, float]]:
    text = (data / "routes" / f"{route}.gpx").read_text(encoding="utf-8")
    found = re.findall(r'<rtept lat="([-0-9.]+)" lon="([-0-9.]+)"', text)
    assert len(found) >= 6
    return [(float(lon), float(lat)) for lat, lon in found]


def passes(
    track: list[tuple[float, float]], charts: ChartSet, width_m: float
) -> dict[str, MarkPass]:
    """Passes of lateral marks by name, or by place where they have none."""
    points = [Waypoint(name="", lon_deg=lon, lat_deg=lat) for lon, lat in track]
    legs = tuple(
        Leg(number=i + 1, start=points[i], end=points[i + 1]) for i in range(len(points) - 1)
    )
    route = Route(name="", legs=legs, file="")
    found = mark_passes(
        corridors(route, tuple((width_m, width_m) for _ in legs)), charts, far_m=740.8
    )
    named: dict[str, MarkPass] = {}
    for leg in found.values():
        for one in leg:
            if one.mark.cls in ("BOYLAT", "BCNLAT"):
                place = f"({one.mark.lon_deg:.4f}, {one.mark.lat_deg:.4f})"
                name = one.mark.name or place
                assert name not in named, "met twice"
                named[name] = one
    return named


def outcome(one: MarkPass, width_m: float) -> MarkOutcome:
    return judge(one, Margins(), view(width_m=width_m)).outcome


@pytest.mark.parametrize("route", ["A_choptank_inbound", "A_choptank_safe"])
def test_a(real_data: Path, route: str) -> None:
    """Inbound in region B: red to starboard, green to port, by the numbers alone."""
    found = passes(places(real_data, route), cells(real_data / CHESAPEAKE), 100.0)
    assert found.keys() == A.keys()
    for name, (side, off_m) in A.items():
        one = found[name]
        assert (one.side, outcome(one, 100.0)) == (side, MarkOutcome.RIGHT), name
        assert one.distance_m == pytest.approx(off_m, abs=1.5), name
        assert one.side == {"red": "starboard", "green": "port"}[one.mark.colours[0]]
        assert (one.region, one.grounds[0].kind) == ("B", GroundKind.NUMBERS)
        assert {g.sense for g in one.grounds} == {Sense.WITH} and one.followed_run


def test_a_outbound_is_right_as_well(real_data: Path) -> None:
    track = places(real_data, "A_choptank_safe")[::-1]
    found = passes(track, cells(real_data / CHESAPEAKE), 100.0)
    for name, (side, _) in A.items():
        assert found[name].side != side and {g.sense for g in found[name].grounds} == {
            Sense.AGAINST
        }
        assert outcome(found[name], 100.0) is MarkOutcome.RIGHT


@pytest.mark.parametrize("reverse", [False, True], ids=["southbound", "northbound"])
def test_b1_and_reversed(real_data: Path, reverse: bool) -> None:
    """Against the stated direction every side swaps, and is right again."""
    track = places(real_data, "B1_s64_south_channel")
    found = passes(
        track[::-1] if reverse else track, cells(real_data / "s57_s64_gb/GB4X0000.000"), 50.0
    )
    assert found.keys() == B1_RED | B1_GREEN
    for name, one in found.items():
        red_side = "starboard" if reverse else "port"
        assert (one.side == red_side) is (name in B1_RED)
        assert outcome(one, 50.0) is MarkOutcome.RIGHT
        assert one.grounds[0].direction_deg == 180.0 and one.conflict == ""
        assert one.grounds[0].sense is (Sense.AGAINST if reverse else Sense.WITH)
    assert found["S1"].distance_m > 600.0


def all_of_s64(data: Path) -> ChartSet:
    return cells(*sorted((data / "s57_s64_gb").glob("*.000")))


def test_b2(real_data: Path) -> None:
    """Into the harbour: marks from the 1:52,000 cell, then the 1:25,000 one; no mark twice."""
    found = passes(places(real_data, "B2_s64_harbour"), all_of_s64(real_data), 50.0)
    assert found.keys() == B2.keys() | {"Can 1", "Can 2"}
    for name, (side, off_m) in B2.items():
        assert (found[name].side, outcome(found[name], 50.0)) == (side, MarkOutcome.RIGHT), name
        assert found[name].distance_m == pytest.approx(off_m, abs=1.5), name
    # In both cells, 6 m apart: the larger scale gives the place.
    assert found["New Channel"].mark.source == "GB5X01SW.000"


def test_b2_cans_mark_another_channel(real_data: Path) -> None:
    found = passes(places(real_data, "B2_s64_harbour"), all_of_s64(real_data), 50.0)
    for name, off_m, partner in (("Can 1", 519, "Can 2"), ("Can 2", 610, "Can 1")):
        one = found[name]
        assert (one.side, one.leg, one.other_channel) == ("port", 1, partner)
        assert one.distance_m == pytest.approx(off_m, abs=1.5)
        assert judge(one, Margins(), view(width_m=50.0)).severity is None
