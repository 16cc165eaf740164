"""What is told of land, coastline and structures, and which of them are told together."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import shapely

from routecheck.checks.land_in_the_way import land_in_the_way
from routecheck.model.chart import Severity
from routecheck.model.finding import Evidence
from routecheck.model.objects import Solid, SolidKind
from routecheck.model.view import Met, Place, Touch
from tests.checks.told import said, stands_at
from tests.checks.views import met, place, run, view

LAND = shapely.box(10.0, 50.0, 10.01, 50.01)
KINDS = {
    SolidKind.LAND: "LNDARE",
    SolidKind.COASTLINE: "COALNE",
    SolidKind.STRUCTURE: "SLCONS",
}
NEAR = {"touch": Touch.BELT, "belt_m": 40.0}


def solid(kind: SolidKind, where: Place | None = None, name: str = "", **facts: Any) -> Met[Any]:
    cls = KINDS[kind]
    base: dict[str, Any] = {"key": f"cell/{cls}/{name}", "cls": cls, "source": "cell"}
    return met(Solid(**{**base, "geometry": LAND, "kind": kind, "name": name, **facts}), where)


@pytest.mark.parametrize(
    ("cross_m", "where"),
    [
        (0.0, "on the track"),
        (0.4, "on the track"),
        (0.5, "0 m off the track"),
        (0.52, "1 m off the track"),
        (-50.0, "50 m off the track"),
        (50.0, "50 m off the track"),
    ],
)
def test_how_far_off(cross_m: float, where: str) -> None:
    one = solid(SolidKind.LAND, place(cross_m=cross_m), "Skerry")
    on = view(solids=(one,))
    found = run(land_in_the_way, on)
    text = f"Land Skerry (LNDARE) lies {where}."
    assert said(found) == [("danger", f"land Skerry {where}", text)]
    stands_at(found[0], one, on)
    assert found[0].sums == {
        "cross_m": cross_m,
        "corridor_port_m": 100.0,
        "corridor_starboard_m": 100.0,
        "position_uncertainty_m": 0.0,
    }
    assert found[0].evidence == ()


def test_only_within_its_uncertainty() -> None:
    one = solid(SolidKind.STRUCTURE, place(cross_m=-120.0, **NEAR))
    text = (
        "Structure (SLCONS) lies 120 m off the track. As charted it lies outside the corridor, "
        "but its position is only known to 40 m."
    )
    told = [("caution", "structure 120 m off the track", text)]
    assert said(run(land_in_the_way, view(solids=(one,)))) == told


def test_what_is_in_the_corridor_is_told_once_and_first() -> None:
    far = solid(SolidKind.STRUCTURE, place(cross_m=120.0, **NEAR), "a")
    here = solid(SolidKind.STRUCTURE, place(cross_m=20.0), "b")
    found = run(land_in_the_way, view(solids=(far, here)))
    assert [(one.severity, one.object_key) for one in found] == [
        (Severity.DANGER, "cell/SLCONS/b"),
        (Severity.CAUTION, "cell/SLCONS/a"),
    ]
    # An object that is met twice, and once in the corridor, is in the corridor.
    twice = replace(here, place=far.place)
    assert [one.severity for one in run(land_in_the_way, view(solids=(twice, here)))] == ["danger"]


def test_a_coastline_is_evidence_of_its_land() -> None:
    land = solid(SolidKind.LAND, name="Skerry")
    coast = solid(SolidKind.COASTLINE, place(110.0, 30.0), "North Shore")
    plain = solid(SolidKind.COASTLINE, place(120.0, 40.0))
    for order in ((land, coast, plain), (coast, plain, land)):
        (found,) = run(land_in_the_way, view(solids=order))
        assert found.object_key == "cell/LNDARE/Skerry"
        assert found.evidence == (
            Evidence(
                key="cell/COALNE/North Shore", cls="COALNE", text="coastline North Shore",
                severity=Severity.DANGER, lon_deg=10.0, lat_deg=50.0, along_m=110.0, cross_m=30.0,
                source="cell",
            ),
            Evidence(
                key="cell/COALNE/", cls="COALNE", text="coastline", severity=Severity.DANGER,
                lon_deg=10.0, lat_deg=50.0, along_m=120.0, cross_m=40.0, source="cell",
            ),
        )  # fmt: skip


def groups(*mets: Met[Any]) -> list[list[str]]:
    found = run(land_in_the_way, view(solids=mets))
    return [[one.object_key, *(held.key for held in one.evidence)] for one in found]


def test_only_a_coastline_goes_with_land_alone() -> None:
    land = solid(SolidKind.LAND, name="l")
    coast = solid(SolidKind.COASTLINE, name="c")
    quay = solid(SolidKind.STRUCTURE, name="q")
    assert groups(land, quay) == [["cell/LNDARE/l"], ["cell/SLCONS/q"]]
    assert groups(quay, coast) == [["cell/SLCONS/q"], ["cell/COALNE/c"]]
    other = solid(SolidKind.COASTLINE, name="d")
    assert groups(coast, other) == [["cell/COALNE/c"], ["cell/COALNE/d"]]
    # With the first land that it belongs to; two lands are two findings.
    second = solid(SolidKind.LAND, name="m")
    assert groups(land, second, coast) == [["cell/LNDARE/l", "cell/COALNE/c"], ["cell/LNDARE/m"]]


@pytest.mark.parametrize(
    ("off_deg", "together"), [(0.0, True), (9e-5, True), (1.05e-4, False), (1e-3, False)]
)
def test_a_coastline_off_the_lands_edge_is_another_islands(off_deg: float, together: bool) -> None:
    """A ten-thousandth of a degree, some 11 m."""
    shore = shapely.LineString([(10.01 + off_deg, 50.0), (10.01 + off_deg, 50.01)])
    land = solid(SolidKind.LAND, name="l")
    coast = solid(SolidKind.COASTLINE, name="c", geometry=shore)
    assert len(groups(land, coast)) == (1 if together else 2)


def test_a_coastline_a_hair_within_reach() -> None:
    """Exactly at the reach it is another island's: that makes a finding more, never one less."""
    land = solid(SolidKind.LAND, name="l", geometry=shapely.Point(0.0, 0.0))
    shore = shapely.LineString([(1e-4, -1.0), (1e-4, 1.0)])
    assert len(groups(land, solid(SolidKind.COASTLINE, geometry=shore))) == 2


@pytest.mark.parametrize(("gap_m", "together"), [(150.0, True), (200.0, True), (201.0, False)])
def test_a_coastline_far_along_the_leg_is_told_by_itself(gap_m: float, together: bool) -> None:
    """200 m between the two stretches of the leg, whichever comes first. A stretch is 10 m long."""
    for first, second in ((SolidKind.LAND, SolidKind.COASTLINE),) * 2:
        ahead = solid(first, place(1000.0))
        behind = solid(second, place(1010.0 + gap_m))
        assert len(groups(ahead, behind)) == (1 if together else 2)
        behind, ahead = solid(first, place(1010.0 + gap_m)), solid(second, place(1000.0))
        assert len(groups(ahead, behind)) == (1 if together else 2)
