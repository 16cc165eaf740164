"""RTZ 1.0 to 1.2: facts from the XML schemas of IEC 61174 (versions 1.0, 1.1 and 1.2)."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.errors import BadInput
from routecheck.model.route import LegLine, Route
from routecheck.readers.rtz import read_rtz

DEFAULT = (
    '<defaultWaypoint radius="0.5"><leg starboardXTD="0.2" portsideXTD="0.1" '
    'geometryType="Orthodrome" speedMin="6" speedMax="18" safetyDepth="35.0"/></defaultWaypoint>'
)
THREE = (
    '<waypoint id="1" name="Start"><position lat="54.0" lon="10.0"/></waypoint>'
    '<waypoint id="2" name="Turn" radius="0.3"><position lat="54.2" lon="10.1"/>'
    '<leg geometryType="Loxodrome" starboardXTD="0.05"/></waypoint>'
    '<waypoint id="3"><position lat="54.2" lon="10.9"/></waypoint>'
)


def rtz(waypoints: str, after: str = "", minor: int = 2, info: str = 'routeName="Sound"') -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<route version="1.{minor}" '
        f'xmlns="http://www.cirm.org/RTZ/1/{minor}"><routeInfo {info}/>'
        f"<waypoints>{waypoints}</waypoints>{after}</route>"
    )


def read(tmp_path: Path, text: str) -> Route:
    path = tmp_path / "sound.rtz"
    path.write_text(text, encoding="utf-8")
    (route,) = read_rtz(path)
    return route


def refused(tmp_path: Path, text: str) -> str:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, text)
    return str(caught.value)


@pytest.mark.parametrize("minor", [0, 1, 2])
def test_legs_take_their_own_data_before_the_defaults(tmp_path: Path, minor: int) -> None:
    route = read(tmp_path, rtz(DEFAULT + THREE, minor=minor))
    assert route.name == "Sound"
    assert [w.name for w in route.waypoints] == ["Start", "Turn", "WP 3"]
    first, second = route.legs
    # All measurements are nautical miles unless otherwise said (schema, annotation).
    assert (first.xtd_port_m, first.xtd_starboard_m) == pytest.approx((185.2, 92.6))
    assert (second.xtd_port_m, second.xtd_starboard_m) == pytest.approx((185.2, 370.4))
    assert (first.line, second.line) == (LegLine.RHUMB, LegLine.GREAT_CIRCLE)
    assert [w.turn_radius_m for w in route.waypoints] == pytest.approx([926.0, 555.6, 926.0])
    assert (first.speed_kn, second.speed_kn) == (18.0, 18.0)
    assert first.end is second.start


def test_leg_data_belongs_to_the_leg_that_arrives(tmp_path: Path) -> None:
    first = (
        '<waypoint id="1"><position lat="1" lon="1"/><leg portsideXTD="9" speedMax="3"/></waypoint>'
    )
    second = '<waypoint id="2"><position lat="2" lon="1"/><leg portsideXTD="1"/></waypoint>'
    route = read(tmp_path, rtz(first + second))
    assert route.legs[0].xtd_port_m == pytest.approx(1852.0)
    assert route.legs[0].speed_kn is None
    assert any("first waypoint" in remark for remark in route.remarks)


def test_nothing_stated_is_nothing_invented(tmp_path: Path) -> None:
    bare = "".join(
        f'<waypoint id="{n}"><position lat="{n}" lon="-180"/></waypoint>' for n in (1, 2)
    )
    (leg,) = read(tmp_path, rtz(bare)).legs
    assert (leg.xtd_port_m, leg.xtd_starboard_m, leg.speed_kn) == (None, None, None)
    assert (leg.line, leg.end.turn_radius_m) == (LegLine.RHUMB, 0.0)


@pytest.mark.parametrize("element", ["scheduleElement", "sheduleElement"])
def test_the_planned_speed_counts_before_the_highest_allowed(tmp_path: Path, element: str) -> None:
    """ "sheduleElement" is how the schema of version 1.0 spells it."""
    plan = (
        f'<schedules><schedule id="1"><manual><{element} waypointId="02" speed="5.5"/></manual>'
        f'<calculated><{element} waypointId="2" speed="7"/></calculated></schedule></schedules>'
    )
    route = read(tmp_path, rtz(DEFAULT + THREE, plan, minor=0))
    assert [leg.speed_kn for leg in route.legs] == [5.5, 18.0]
    assert any("speedMax" in remark and "leg 2" in remark for remark in route.remarks)
    assert any("times" in remark for remark in route.remarks)


def test_schedules_that_differ_give_no_speed(tmp_path: Path) -> None:
    plan = "<schedules>" + "".join(
        f'<schedule id="{n}"><manual><scheduleElement waypointId="2" speed="{n}"/>'
        "</manual></schedule>"
        for n in (5, 6)
    )
    route = read(tmp_path, rtz(THREE, plan + "</schedules>"))
    assert route.legs[0].speed_kn is None
    assert any("different speeds" in remark for remark in route.remarks)


def test_what_is_not_used_is_said(tmp_path: Path) -> None:
    noted = THREE.replace(
        '<leg geometryType="Loxodrome"', '<leg draughtAft="6.4" legInfo="call VTS" '
    )
    info = 'routeName="R" vesselName="X" validityPeriodStart="2027-01-01T00:00:00Z"'
    route = read(tmp_path, rtz(DEFAULT + noted, "<extensions/>", info=info))
    said = " | ".join(route.remarks)
    assert "safetyDepth 35.0 m (legs 1-2): not used" in said
    assert "draughtAft 6.4 m (leg 1): not used" in said
    assert "speedMin 6 kn" in said
    assert "notes on leg 1" in said and "call VTS" not in said
    assert "vesselName" in said and "2027-01-01" in said and "extensions" in said


def test_a_limit_of_zero_is_not_a_corridor(tmp_path: Path) -> None:
    route = read(tmp_path, rtz(THREE.replace('starboardXTD="0.05"', 'starboardXTD="0.0"')))
    assert route.legs[0].xtd_starboard_m is None
    assert any("starboardXTD 0 (leg 1)" in remark for remark in route.remarks)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('starboardXTD="0.05"', 'starboardXTD="10"', "below 10; RTZ gives nautical miles"),
        ('starboardXTD="0.05"', 'starboardXTD="-1"', "starboardXTD -1"),
        ('starboardXTD="0.05"', 'starboardXTD="NaN"', "not a number"),
        ('radius="0.3"', 'radius="50"', "radius 50"),
        ('"Loxodrome"', '"Straight"', "neither Loxodrome nor Orthodrome"),
        ('id="2"', 'id="01"', "id '01' is used twice"),
        ('lat="54.2" lon="10.1"', 'lat="95" lon="10.1"', "latitude 95"),
        ('lat="54.2" lon="10.1"', 'lat="54,2" lon="10.1"', "decimal point"),
        ('<position lat="54.2" lon="10.1"/>', "", "not one position"),
        ("<leg geometry", "<leg/><leg geometry", "more than one leg"),
        ('<leg geometryType="Loxodrome"', '<leg speedMin="9" speedMax="3"', "above speedMax"),
    ],
)
def test_refusals_name_the_waypoint(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in THREE
    line = refused(tmp_path, rtz(THREE.replace(old, new, 1)))
    assert said in line and "waypoint 2 ('Turn')" in line


def test_other_refusals(tmp_path: Path) -> None:
    plan = (
        '<schedules><schedule id="1"><manual><scheduleElement waypointId="{}" speed="{}"/></manual>'
    )
    end = "</schedule></schedules>"
    assert "no waypoint with id '9'" in refused(tmp_path, rtz(THREE, plan.format(9, 1) + end))
    assert "speed -1" in refused(tmp_path, rtz(THREE, plan.format(2, -1) + end))
    assert "speed: 'x'" in refused(tmp_path, rtz(THREE, plan.format(2, "x") + end))
    assert "version '1.9'" in refused(tmp_path, rtz(THREE).replace('"1.2"', '"1.9"'))
    assert "namespace" in refused(tmp_path, rtz(THREE).replace("RTZ/1/2", "RTZ/9/9"))
    assert "where RTZ has none" in refused(tmp_path, rtz(THREE, '<waypoint id="8"/>'))
    assert "0 <waypoints>" in refused(tmp_path, "<route/>")
    assert "no waypoint" in refused(tmp_path, rtz(""))


def test_a_great_circle_that_goes_too_near_a_pole(tmp_path: Path) -> None:
    far = "".join(
        f'<waypoint id="{n}"><position lat="80" lon="{lon}"/><leg geometryType="{line}"/>'
        "</waypoint>"
        for n, (lon, line) in enumerate([(0, "Loxodrome"), (150, "Orthodrome")])
    )
    assert "great circle goes beyond 85" in refused(tmp_path, rtz(far))
    assert len(read(tmp_path, rtz(far.replace("Ortho", "Loxo"))).legs) == 1


@given(st.text(alphabet="<>/=\"' waypointidlegXTD.01-&;", max_size=200))
def test_no_text_raises_anything_but_bad_input(
    tmp_path_factory: pytest.TempPathFactory, inside: str
) -> None:
    path = tmp_path_factory.mktemp("rtz") / "r.rtz"
    path.write_text(rtz(inside), encoding="utf-8")
    with pytest.raises(BadInput):
        read_rtz(path)
