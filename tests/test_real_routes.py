"""Real routes through real charts: what a careful navigator expects.

The cells and routes are described, with their origin, in the README of the data folder: a NOAA
ENC of Chesapeake Bay (US4MD81M), the IHO S-64 test set, NOAA survey H12488, GEBCO 2020.
Depths and sides there were worked out with an independent script.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from routecheck.api import vet
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import Finding, MarkOutcome, Report, Verdict
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes


@lru_cache(maxsize=4)
def charts(*paths: Path) -> ChartSet:
    return read_charts(paths)


def report(
    data: Path,
    route: str,
    *chart_files: str,
    width_m: float,
    draught_m: float = 2.0,
    keel_m: float = 1.0,
) -> Report:
    boat = Boat(
        name="test",
        draught_m=draught_m,
        margins=Margins(under_keel_m=keel_m, cross_track_m=width_m),
    )
    (one,) = read_routes(data / "routes" / f"{route}.gpx")
    return vet(one, charts(*(data / f for f in chart_files)), boat).report


def of(found: Report, severity: Severity, check: str = "") -> list[Finding]:
    return [f for f in found.findings if f.severity is severity and f.check.startswith(check)]


CHESAPEAKE = "s57_noaa_us4md81m/US4MD81M.000"


def test_a_inbound_has_its_one_danger_on_leg_five(real_data: Path) -> None:
    found = report(real_data, "A_choptank_inbound", CHESAPEAKE, width_m=100.0)
    assert found.verdict is Verdict.HAZARDS
    (danger,) = of(found, Severity.DANGER, "too-little-water")
    assert danger.leg == 5
    # The chart also has a marine farm (MARCUL without VALSOU) 69 m off this leg.
    others = of(found, Severity.DANGER, "underwater-danger")
    assert [(f.cls, f.leg) for f in others] == [("MARCUL", 5)]
    assert not [f for f in found.findings if f.cls in ("WRECKS", "UWTROC", "OBSTRN")]
    assert danger.sums["charted_depth_m"] == pytest.approx(1.8)
    assert danger.lon_deg == pytest.approx(-76.2833, abs=0.003)
    assert danger.lat_deg == pytest.approx(38.6526, abs=0.001)


def test_a_shoalest_area_of_each_leg(real_data: Path) -> None:
    found = report(real_data, "A_choptank_inbound", CHESAPEAKE, width_m=100.0)
    assert [leg.shoalest_depth_m for leg in found.legs] == pytest.approx(
        [10.9, 5.4, 5.4, 9.1, 1.8, 5.4, 5.4]
    )


def test_a_safe_route_finds_no_hazard_and_does_not_drown(real_data: Path) -> None:
    found = report(real_data, "A_choptank_safe", CHESAPEAKE, width_m=100.0)
    assert found.verdict in (Verdict.NO_HAZARD_FOUND, Verdict.CAUTIONS)
    assert not of(found, Severity.NOT_ASSESSED)
    for caution in of(found, Severity.CAUTION):
        assert caution.object_key.startswith("US4MD81M")


A_MARKS = {
    # name: (side, distance off, m)
    "Buoy 4": ("starboard", 657),
    "Buoy 5": ("port", 710),
    "Buoy 7": ("port", 213),
    "Buoy 8": ("starboard", 390),
    "Buoy 9": ("port", 317),
    "Buoy 10": ("starboard", 287),
    "Buoy 12": ("starboard", 281),
    "Buoy 13": ("port", 184),
    "Buoy 14": ("starboard", 325),
}


@pytest.mark.parametrize(("name", "expected"), A_MARKS.items())
def test_a_marks_are_left_on_the_sides_that_the_chart_wants(
    real_data: Path, name: str, expected: tuple[str, int]
) -> None:
    found = report(real_data, "A_choptank_inbound", CHESAPEAKE, width_m=100.0)
    side, off_m = expected
    row = next(m for m in found.marks if m.name.endswith(name))
    assert (row.side_passed, row.side_required, row.outcome) == (side, side, MarkOutcome.RIGHT)
    assert row.distance_m == pytest.approx(off_m, abs=5.0)


SOUTH_CHANNEL = {
    "S2": "port", "S6": "port", "S8": "port", "S10": "port",
    "S5": "starboard", "S7": "starboard", "S9": "starboard",
}  # fmt: skip


def test_b1_south_channel_marks(real_data: Path) -> None:
    found = report(real_data, "B1_s64_south_channel", "s57_s64_gb/GB4X0000.000", width_m=50.0)
    for name, side in SOUTH_CHANNEL.items():
        row = next(m for m in found.marks if m.name.split()[-1] == name or m.name == name)
        assert (row.side_passed, row.outcome) == (side, MarkOutcome.RIGHT), row
    assert not of(found, Severity.DANGER, "wrong-side")


@pytest.mark.parametrize(
    ("draught_m", "severity"),
    # A rock with 14.9 m over it 2 m off the track; zone B there: 1 m + 2 %, so to 13.6 m.
    [(14.95, Severity.DANGER), (14.0, Severity.CAUTION), (13.5, None)],
)
def test_b1_rock_by_draught(real_data: Path, draught_m: float, severity: Severity | None) -> None:
    found = report(
        real_data,
        "B1_s64_south_channel",
        "s57_s64_gb/GB4X0000.000",
        width_m=50.0,
        draught_m=draught_m,
        keel_m=0.0,
    )
    rocks = [f for f in found.findings if f.cls == "UWTROC" and abs(f.cross_m) < 10.0]
    assert [f.severity for f in rocks] == ([severity] if severity else [])


def test_b2_harbour_rock_and_foul_ground_on_the_last_leg(real_data: Path) -> None:
    found = report(
        real_data, "B2_s64_harbour", "s57_s64_gb", width_m=50.0, draught_m=6.0, keel_m=2.0
    )
    last = max(leg.number for leg in found.legs)
    rock = next(f for f in found.findings if f.cls == "UWTROC" and f.leg == last)
    assert rock.severity is Severity.DANGER and rock.sums["charted_depth_m"] == 7.5
    assert abs(rock.cross_m) == pytest.approx(24.0, abs=3.0)
    foul = next(f for f in found.findings if f.cls == "OBSTRN" and f.leg == last)
    assert foul.severity is Severity.CAUTION
    assert abs(foul.cross_m) == pytest.approx(15.0, abs=3.0)


def test_b2_harbour_marks(real_data: Path) -> None:
    found = report(
        real_data, "B2_s64_harbour", "s57_s64_gb", width_m=50.0, draught_m=6.0, keel_m=2.0
    )
    for name in ("Haig", "Diana", "New Channel", "New Ground", "Worm", "Panther"):
        row = next(m for m in found.marks if m.name.startswith(name))
        side = "starboard" if name == "Panther" else "port"
        assert (row.side_passed, row.outcome) == (side, MarkOutcome.RIGHT), row
    cans = [m for m in found.marks if m.name in ("Can 1", "Can 2")]
    assert len(cans) == 2
    assert not [f for f in found.findings if f.check.startswith("wrong-side")]


def test_e_survey_area_is_a_danger_on_each_leg_and_the_sounding_on_leg_three(
    real_data: Path,
) -> None:
    found = report(
        real_data, "E_lis_survey", "s57_noaa_survey/H12488_add_S57_input.000", width_m=150.0
    )
    legs = {leg.number for leg in found.legs}
    dangers = of(found, Severity.DANGER, "too-little-water")
    assert {f.leg for f in dangers} == legs
    on_three = next(f for f in dangers if f.leg == 3)
    assert on_three.sums["charted_depth_m"] == pytest.approx(1.2192)
    told = {round(e.charted_depth_m or 0.0, 3) for e in on_three.evidence}
    told |= {round(float(f.sums["charted_depth_m"]), 3) for f in dangers if f.leg == 3}
    assert 2.457 in told


def test_f_oresund_grid_is_too_coarse_and_leg_one_runs_over_land(
    real_data: Path, tmp_path: Path
) -> None:
    name = "gebco_2020_n56.3_s55.2_w12.2_e13.1.nc"
    copy = tmp_path / name
    copy.write_bytes((real_data / "raster_gebco_oresund" / name).read_bytes())
    (tmp_path / f"{name}.toml").write_text(
        'quantity = "elevation"\nunit = "m"\ndatum = "MSL"\n', encoding="utf-8"
    )
    found = _oresund(real_data, copy)
    legs = {leg.number for leg in found.legs}
    blind = [f for f in of(found, Severity.NOT_ASSESSED) if "depth" in f.title]
    assert {f.leg for f in blind} == legs
    # No better source: the land cells of leg 1 condemn. So do cells of 1 and 2 m that leg 3's
    # corridor touches, 14 and 42 m off the track (every cell's rectangle against a densely
    # walked rhumb line; a mask of cell centres sees 3 m there).
    dangers = of(found, Severity.DANGER)
    assert {f.leg for f in dangers} == {1, 3}
    shoalest = [leg.shoalest_depth_m for leg in found.legs]
    assert shoalest == pytest.approx([-28.0, 5.0, 1.0, 9.0, 11.0])


def _oresund(data: Path, grid: Path) -> Report:
    boat = Boat(name="test", draught_m=2.0, margins=Margins(cross_track_m=185.2))
    (route,) = read_routes(data / "routes" / "F_oresund_gebco.gpx")
    return vet(route, read_charts([grid]), boat).report
