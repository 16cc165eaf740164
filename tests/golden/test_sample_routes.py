"""What a careful navigator sees on the sample chart, route by route."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from routecheck import Severity, Verdict, read_boat, read_charts, read_routes, vet
from routecheck.judgement import judge
from routecheck.model.finding import MarkOutcome, Report
from tests.golden.sample import ROUTES, vetted


def outcomes(report: Report) -> dict[str, MarkOutcome]:
    return {row.name: row.outcome for row in report.marks}


def titles(report: Report, severity: Severity) -> list[str]:
    return [one.title for one in report.findings if one.severity is severity]


def test_every_sample_route_is_here(root: Path) -> None:
    files = {p.name for p in (root / "sample_charts/routes").iterdir() if p.suffix != ".toml"}
    assert files == set(ROUTES)


def test_clean(root: Path) -> None:
    report = vetted(root, "clean.gpx").report
    assert titles(report, Severity.DANGER) == []
    assert titles(report, Severity.NOT_ASSESSED) == []
    assert report.verdict is Verdict.NO_HAZARD_FOUND
    passed = outcomes(report)
    assert len(passed) == 15
    assert set(passed.values()) == {MarkOutcome.RIGHT}


def test_clean_goes_with_the_direction_of_buoyage_and_then_against_it(root: Path) -> None:
    """IALA R1001, region A: red to port with the direction of buoyage, to starboard against it."""
    sides = {row.name: row.side_passed for row in vetted(root, "clean.gpx").report.marks}
    for number in range(1, 9):
        assert sides[f"Dusk {number}"] == ("starboard" if number % 2 else "port")
    for number in range(1, 8):
        assert sides[f"Dawn {number}"] == ("port" if number % 2 else "starboard")


def test_over_a_shoal(root: Path) -> None:
    report = vetted(root, "over-a-shoal.gpx").report
    assert report.verdict is Verdict.HAZARDS
    dangers = [one for one in report.findings if one.severity is Severity.DANGER]
    assert {one.check for one in dangers} == {"too-little-water", "underwater-danger"}
    said = " ".join(one.title for one in dangers)
    for name in ("Anvil Patch", "Cinder Patch", "Hammer Rock"):
        assert name in said


def test_wrong_side(root: Path) -> None:
    report = vetted(root, "wrong-side.gpx").report
    assert report.verdict is Verdict.HAZARDS
    wrong = {name for name, how in outcomes(report).items() if how is MarkOutcome.WRONG}
    assert wrong == {"Dusk 5", "Dusk 6", "Dusk 7", "Dusk 8", "Dawn 5", "Dawn 6", "Dawn 7"}
    dangers = [one for one in report.findings if one.severity is Severity.DANGER]
    assert {one.check for one in dangers} <= {"wrong-side-of-mark", "outside-the-gate"}
    assert len(dangers) == 7
    assert report.groups[[g.group for g in report.groups].index("depth")].count == 0


@pytest.mark.parametrize(
    ("name", "expected"), [("clean.gpx", MarkOutcome.WRONG), ("wrong-side.gpx", MarkOutcome.RIGHT)]
)
def test_what_is_wrong_in_region_a_is_right_in_b(
    name: str, expected: MarkOutcome, root: Path, tmp_path: Path
) -> None:
    """The marks state colours alone: S-57 MARSYS 1 is IALA A, 2 is IALA B."""
    sample = root / "sample_charts"
    text = (sample / "charts/marenquil-chart.geojson").read_text(encoding="utf-8")
    assert text.count('"MARSYS":1') == 2
    chart = tmp_path / "other-region.geojson"
    chart.write_text(text.replace('"MARSYS":1', '"MARSYS":2'), encoding="utf-8")
    sidecar = (sample / "charts/marenquil-chart.geojson.toml").read_text(encoding="utf-8")
    chart.with_name("other-region.geojson.toml").write_text(sidecar, encoding="utf-8")
    (route,) = read_routes(sample / "routes" / name)
    report = vet(route, read_charts([chart]), read_boat(sample / "boat.toml")).report
    assert set(outcomes(report).values()) == {expected}


def test_off_the_chart(root: Path) -> None:
    report = vetted(root, "off-the-chart.gpx").report
    assert titles(report, Severity.DANGER) == []
    assert report.verdict is Verdict.INCOMPLETE
    last = report.legs[-1].number
    gaps = [one for one in report.findings if one.severity is Severity.NOT_ASSESSED]
    assert gaps
    assert {one.leg for one in gaps} == {last}
    assert {one.check for one in gaps} == {"water-not-covered"}
    # 2.36 of the 4.2 km of easting of the last leg lie west of the chart's edge; 110 m wide, and
    # round at the end.
    beyond_m = 2.36 / 4.2 * float(report.legs[-1].distance_m)
    area_m2 = beyond_m * 110.0 + math.pi * 55.0**2 / 2.0
    assert max(float(one.sums["not_seen_m2"]) for one in gaps) == pytest.approx(area_m2, rel=0.01)


def test_to_the_cove_fits_in_its_own_room_and_not_in_more(root: Path) -> None:
    narrow = vetted(root, "to-the-cove.gpx").report
    assert titles(narrow, Severity.DANGER) == []
    assert [leg.port_m for leg in narrow.legs] == [55.0, 30.0, 30.0]
    route = narrow.route
    assert [w.turn_radius_m for w in route.waypoints] == [0.0, 80.0, 80.0, 0.0]


def test_dawn_inbound_takes_its_room_from_the_file(root: Path) -> None:
    report = vetted(root, "dawn-inbound.rtz").report
    assert titles(report, Severity.DANGER) == []
    assert [leg.port_m for leg in report.legs] == pytest.approx([0.03 * 1852.0] * 4)
    assert set(outcomes(report).values()) == {MarkOutcome.RIGHT}


@pytest.mark.parametrize("name", ROUTES)
def test_a_deeper_draught_never_has_less_against_it(name: str, root: Path) -> None:
    whole = vetted(root, name)
    boat = whole.report.boat
    deeper = judge(
        whole.report.route,
        whole.report.views,
        whole.charts,
        replace(boat, draught_m=boat.draught_m + 3.0),
    )
    dangers = {one.key for one in whole.report.findings if one.severity is Severity.DANGER}
    objects = {one.key for one in deeper.findings if one.severity is Severity.DANGER}
    evidence = {
        f"{one.check}/{one.leg}/{other.key}" for one in deeper.findings for other in one.evidence
    }
    assert dangers <= objects | evidence
