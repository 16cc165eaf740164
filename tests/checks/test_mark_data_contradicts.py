"""Contradictions in the data of marks. Colours: IALA Recommendation R1001."""

from __future__ import annotations

from dataclasses import replace

import shapely

from routecheck.checks.mark_data_contradicts import mark_data_contradicts
from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import BuoyageZone, DepthArea, Mark, Solid, SolidKind
from tests.buoys import Spot, charts, judged, mark, met, passage, square, view, zone

UP = [(0.0, -3000.0), (0.0, 3000.0)]


def found(
    marks: list[Mark],
    zones: list[BuoyageZone],
    user: tuple[BuoyageZone, ...] = (),
    region: str = "",
) -> list[Finding]:
    passes = met(UP, charts(marks, zones, user), region=region)
    return list(mark_data_contradicts(view(passes), passage()))


def test_red_port_hand_in_region_b() -> None:
    """a red port-hand mark in region B is a caution"""
    red = mark((-300.0, 0.0), "port-hand", "Deep", colours=("red",))
    (one,) = found([red], [zone(0.0, "B")])
    assert one.severity is Severity.CAUTION
    assert "region B" in one.explanation and "Deep" in one.explanation
    assert one.object_key == red.key


def test_red_port_hand_in_region_a() -> None:
    """a red port-hand mark in region A is quiet"""
    assert found([mark((-300.0, 0.0), "port-hand", colours=("red",))], [zone(0.0, "A")]) == []


def test_one_caution_for_one_conflict() -> None:
    """one caution for all marks of a leg under the same conflict"""
    marks = [mark((-300.0, y), "port-hand", f"M{y:.0f}") for y in (-1000.0, 0.0, 1000.0)]
    mine = zone(180.0, name="mine", user=True)
    (one,) = found(marks, [zone(0.0, name="sea")], (mine,))
    assert one.severity is Severity.CAUTION
    assert "mine" in one.explanation and "sea" in one.explanation
    assert one.sums["marks"] == 3.0
    assert [e.key for e in one.evidence] == [m.key for m in marks[1:]]


def test_region_of_the_user_against_the_charts() -> None:
    (one,) = found([mark((-300.0, 0.0), "port-hand")], [zone(region="B", name="sea")], region="A")
    assert "--region" in one.explanation and "sea" in one.explanation


def test_contradiction_and_conflict_at_one_mark_have_keys_of_their_own() -> None:
    red = mark((-300.0, 0.0), "port-hand", "Deep", colours=("red",))
    both = found([red], [zone(region="A", name="sea")], region="B")
    assert len({f.key for f in both}) == len(both) == 2


def on_ground(depth_m: float | None) -> list[Finding]:
    """One buoy in a square of land (None) or of a depth."""
    buoy = mark((-300.0, 0.0), "port-hand", "Deep")
    beacon = mark((-300.0, 500.0), "port-hand", "Pole", floating=False)
    ground: dict[str, object] = {"key": "cell/1", "source": "cell", "geometry": square(2000.0)}
    if depth_m is None:
        land = Solid(cls="LNDARE", kind=SolidKind.LAND, **ground)  # type: ignore[arg-type]
        held = replace(charts([buoy, beacon]).charts[0], solids=(land,))
    else:
        area = DepthArea(cls="DEPARE", charted_depth_m=depth_m, **ground)  # type: ignore[arg-type]
        held = replace(charts([buoy, beacon]).charts[0], depth_areas=(area,))
    return list(mark_data_contradicts(view(met(UP, ChartSet(charts=(held,)))), passage()))


def test_buoy_on_land() -> None:
    """a buoy charted on land is a caution"""
    (one,) = on_ground(None)  # and a beacon may well stand there
    assert one.severity is Severity.CAUTION and "on land" in one.explanation


def test_buoy_where_it_dries() -> None:
    (one,) = on_ground(-0.5)
    assert "dries 0.5 m" in one.explanation
    assert on_ground(0.0) == on_ground(2.0) == []


def test_two_marks_in_one_place() -> None:
    both = [mark((-300.0, 0.0), "port-hand", "Deep"), mark((-302.0, 0.0), "starboard-hand", "Low")]
    texts = [f.explanation for f in found(both, [])]
    assert len(texts) == 2 and "Low" in texts[0] + texts[1]
    apart = [both[0], mark((-306.0, 0.0), "starboard-hand", "Low")]
    assert found(apart, []) == []
    special = [both[0], mark((-300.0, 0.0), "special", "Sign")]
    assert found(special, []) == []


def test_a_region_that_is_not_in_use_there_is_a_note() -> None:
    """R1001: the Americas are region B, Europe and Africa region A. The scene lies off Africa."""
    spot = Spot(10.0, 0.0)
    marks = [mark((-300.0, y), "port-hand", spot=spot) for y in (0.0, 1000.0)]
    for region, severities in (("B", [Severity.NOTE]), ("A", [])):
        passes = met(UP, charts(marks, [zone(0.0, region, spot=spot)]), spot=spot)
        findings = list(mark_data_contradicts(view(passes), passage()))
        assert [f.severity for f in findings] == severities
        assert all("where region A is in use" in f.explanation for f in findings)


def test_a_special_mark_coloured_as_a_cardinal() -> None:
    odd = mark((-300.0, 0.0), "special", "Odd", colours=("black", "yellow", "black"))
    (one,) = found([odd], [])
    assert one.severity is Severity.CAUTION and "east cardinal" in one.explanation
    assert found([mark((-300.0, 0.0), "special", colours=("yellow",))], []) == []


def test_can_on_the_starboard_hand() -> None:
    """a can charted as a starboard-hand mark is a caution"""
    for region, colour in (("A", "green"), ("B", "red")):
        buoy = mark((300.0, 0.0), "starboard-hand", "Deep", colours=(colour,), shape="can")
        (one,) = found([buoy], [zone(0.0, region)])
        assert one.severity is Severity.CAUTION
        assert "a can is the shape of a mark for the port hand" in one.explanation
        assert found([replace(buoy, shape="conical")], [zone(0.0, region)]) == []
    # Its side is judged all the same, by category and colours.
    (passed,) = met(UP, charts([replace(buoy, geometry=shapely.Point(Spot().at((-60.0, 0.0))))],
                               [zone(0.0, "B")]))  # fmt: skip
    assert judged(passed).severity is Severity.DANGER


def test_a_cardinal_without_a_category_whose_look_contradicts_itself() -> None:
    """R1001, cardinal marks: black over yellow is north, two cones point down are south."""
    odd = {"colours": ("black", "yellow"), "top_mark": "two cones, points down, black"}
    (one,) = found([mark((-300.0, 0.0), "cardinal", **odd)], [])
    assert "north cardinal mark" in one.explanation and "south" in one.explanation
    (one,) = found([mark((-300.0, 0.0), "cardinal", colours=("red",))], [])
    assert "red is not the colouring of a cardinal mark" in one.explanation
    assert found([mark((-300.0, 0.0), "cardinal")], []) == []
    assert found([mark((-300.0, 0.0), "cardinal", colours=("black", "yellow"))], []) == []
