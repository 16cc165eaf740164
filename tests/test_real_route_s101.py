"""A real route through a real S-101 cell: Tréguier, Grande Passe and the river Jaudy, inbound.

The cell (Shom, 101FR00571260, 2023) and the route are described in the README of the data folder;
sides, distances and depths there were worked out with an independent script.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome, Report
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes
from tests.test_real_routes import of, report

CELL = "s101_fr_treguier/101FR00571260.000"
MARKS = {
    # name: (side, distance off, m)
    "Basse Crublent": ("port", 302),
    "Le Corbeau": ("port", 180),
    "Guariviniou": ("port", 75),
    "No2": ("port", 39),
    "Roc'h an Istr": ("port", 125),
    "No4": ("port", 46),
    "No6": ("port", 45),
    "Pierre à l'Anglais": ("starboard", 188),
    "Petit Pen ar Guezec": ("starboard", 110),
    "Le Petit Taureau": ("starboard", 181),
    "Taurillons": ("starboard", 188),
    "Le Taureau": ("starboard", 20),
    "Balise Tête Jaune": ("starboard", 132),
    "Roc'h Sili": ("starboard", 147),
    "No1": ("starboard", 53),
    "No3": ("starboard", 58),
    "No5": ("starboard", 50),
}
SHOAL_LEGS = {15, 16, 17, 18}


def inbound(data: Path) -> Report:
    return report(data, "C_treguier_inbound", CELL, width_m=25.0)


@pytest.mark.parametrize(("name", "expected"), MARKS.items())
def test_marks_are_left_on_the_sides_that_the_chart_wants(
    real_data: Path, name: str, expected: tuple[str, int]
) -> None:
    side, off_m = expected
    row = next(mark for mark in inbound(real_data).marks if mark.name == name)
    assert (row.side_passed, row.side_required, row.outcome) == (side, side, MarkOutcome.RIGHT)
    assert row.distance_m == pytest.approx(off_m, abs=8.0)


def test_the_north_cardinal_is_passed_to_the_north(real_data: Path) -> None:
    (row,) = [m for m in inbound(real_data).marks if m.name == "Les Trois Pierres"]
    assert (row.side_passed, row.outcome) == ("north", MarkOutcome.RIGHT)
    assert row.distance_m == pytest.approx(108, abs=5.0)


def test_beacons_of_the_other_channel_are_no_failure(real_data: Path) -> None:
    found = inbound(real_data)
    assert not [f for f in found.findings if f.check.startswith("wrong-side")]
    aside = [m for m in found.marks if m.leg == 6 and not m.name]
    assert sorted(round(m.distance_m) for m in aside) == pytest.approx([191, 234], abs=5)


def test_the_river_is_too_shoal_at_chart_datum(real_data: Path) -> None:
    found = inbound(real_data)
    shoalest = {leg.number: leg.shoalest_depth_m for leg in found.legs}
    assert all((shoalest[leg] or 0.0) >= 3.0 for leg in range(1, 14))
    assert all((shoalest[leg] or 0.0) <= 0.0 for leg in SHOAL_LEGS)
    assert shoalest[16] == -12.0
    dangers = {f.leg for f in of(found, Severity.DANGER, "too-little-water")}
    # Leg 14 ends 25 m from the drying fringe of leg 15, which its corridor touches.
    assert dangers - {14} == SHOAL_LEGS


def test_the_wreck_beside_leg_sixteen(real_data: Path) -> None:
    (wreck,) = [f for f in of(inbound(real_data), Severity.DANGER) if f.cls == "WRECKS"]
    assert (wreck.leg, abs(wreck.cross_m)) == (16, pytest.approx(24.0, abs=2.0))
    assert wreck.sums["charted_depth_m"] == "not known"


def test_a_buoy_that_names_no_system_takes_that_of_the_cell(real_data: Path) -> None:
    """No2, No4 and No6 carry marksNavigationalSystemOf 9, the cell says region A."""
    rows = [m for m in inbound(real_data).marks if m.name in ("No2", "No4", "No6")]
    assert len(rows) == 3
    assert {row.outcome for row in rows} == {MarkOutcome.RIGHT}


TWINS = {
    # route: cells of S-57 and of S-101, draught, m
    "B1_s64_south_channel": ("s57_s64_gb/GB4X0000.000", "s101_s164_gb/10100AA_X0000.000", 14.95),
    "B2_s64_harbour": ("s57_s64_gb", "s101_s164_gb", 8.0),
}


@pytest.mark.parametrize("route", TWINS)
def test_both_standards_say_the_same_of_a_route(real_data: Path, route: str) -> None:
    """The IHO's test sets S-64 and S-164 show one place. Zones of confidence differ (S-164 has
    some that get worse by date), so cautions may; depths, marks and sides may not."""
    old, new, draught_m = TWINS[route]
    one, other = (
        report(real_data, route, cells, width_m=50.0, draught_m=draught_m, keel_m=0.0)
        for cells in (old, new)
    )
    assert one.verdict is other.verdict
    for found, same in zip(one.legs, other.legs, strict=True):
        assert found.shoalest_depth_m == same.shoalest_depth_m
    marks = [
        [(m.name, m.leg, m.side_passed, m.outcome, round(m.distance_m)) for m in found.marks]
        for found in (one, other)
    ]
    assert sorted(marks[0], key=str) == sorted(marks[1], key=str)
    assert len(marks[0]) >= 10
    dangers = [{f.leg for f in of(found, Severity.DANGER)} for found in (one, other)]
    assert dangers[0] == dangers[1]


def test_an_unread_update_leaves_the_route_not_assessed(real_data: Path, tmp_path: Path) -> None:
    (tmp_path / "101FR00571260.000").write_bytes((real_data / CELL).read_bytes())
    (tmp_path / "101FR00571260.001").write_bytes((real_data / CELL).read_bytes()[:3000])
    (route,) = read_routes(real_data / "routes" / "C_treguier_inbound.gpx")
    boat = Boat(name="test", draught_m=2.0, margins=Margins(cross_track_m=25.0))
    found = vet(route, read_charts([tmp_path]), boat).report
    told = [f for f in of(found, Severity.NOT_ASSESSED, "chart-problem")]
    assert {f.leg for f in told} == {leg.number for leg in found.legs}
    assert "101FR00571260.001" in told[0].title + told[0].explanation
