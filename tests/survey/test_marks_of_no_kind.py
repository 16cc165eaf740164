"""Buoys and beacons of which nothing tells the kind, from the reader to what is said: never
nothing while they may be near."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.checks.mark_too_close_to_call import mark_too_close_to_call
from routecheck.checks.wrong_side_of_cardinal import wrong_side_of_cardinal
from routecheck.checks.wrong_side_of_mark import wrong_side_of_mark
from routecheck.model.chart import Chart, Severity
from routecheck.model.finding import Finding, MarkOutcome
from routecheck.model.markexplain import explain
from routecheck.model.markrule import mark_row
from routecheck.model.objects import MarkKind
from routecheck.readers.charted import Draft, Row
from routecheck.readers.features import add
from routecheck.readers.seamark_rows import Seamarks
from routecheck.readers.vector import read_vector
from routecheck.writers.wording.places import mark_name
from tests.buoys import HERE, NEAR_M, charts, met, passage, source, view, zone

UP = [(0.0, -3000.0), (0.0, 3000.0)]
LATERAL = "seamark:buoy_lateral"
RIVER = {"seamark:type": "buoy_lateral", f"{LATERAL}:category": "waterway_right"}
CEVNI = {"seamark:type": "beacon_lateral", "seamark:beacon_lateral:system": "cevni"}


def charted(cls: str, east_m: float, **values: Any) -> Chart:
    draft = Draft(source="cell")
    place = shapely.Point(HERE.at((east_m, 0.0)))
    add(Row(cls=cls, ident="1", geometry=place, values=values), draft)
    return draft.chart(source())


def tagged(tags: dict[str, str], east_m: float, **own: Any) -> Chart:
    draft, found = Draft(source="cell"), Seamarks()
    wkb = shapely.to_wkb(shapely.Point(HERE.at((east_m, 0.0))))
    found.add("1", tags, wkb, own=(lambda _: own) if own else None)
    found.into(draft)
    return draft.chart(source())


def said(chart: Chart, width_m: float = 50.0) -> list[Finding]:
    seen = view(met(UP, charts(chart.marks, [zone(0.0, "A")]), width_m=width_m), width_m)
    every = (wrong_side_of_mark, wrong_side_of_cardinal, mark_too_close_to_call)
    return [one for check in every for one in check(seen, passage())]


SOME = [
    (charted, "mark", {}, "nothing states it"),
    (charted, "mark", {"_KIND": "spar of sorts"}, "'spar of sorts' is no kind of mark"),
    (charted, "boywtw", {}, "class boywtw tells none"),
    (charted, "BeaconInland", {}, "class BeaconInland tells none"),
    (charted, "layer old buoys", {}, "layer old buoys, of which nothing says what it is"),
    (tagged, RIVER, {}, "waterway_right"),
    (tagged, CEVNI, {}, "cevni"),
    (tagged, {"seamark:type": "buoy_of_ours"}, {}, "buoy_of_ours"),
    (tagged, {f"{LATERAL}:colour": "red"}, {}, "without a type"),
    (tagged, {"seamark:name": "Old Man"}, {"mark": {}}, "nothing states it"),
]


@pytest.mark.parametrize(("read", "what", "more", "why"), SOME)
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_its_side_is_not_assessed_wherever_it_may_be_near(
    read: Any, what: Any, more: dict[str, Any], why: str, side: float
) -> None:
    for off_m in (0.0, 45.0, 100.0, NEAR_M - 5.0):
        chart = read(what, side * off_m, **more)
        assert not chart.unknown
        (one,) = said(chart)
        assert (one.check, one.severity) == ("wrong-side-of-mark", Severity.NOT_ASSESSED)
        assert one.title.startswith("mark of unknown kind without a name left to ")
        assert "Its kind is not known: " in one.explanation and why in one.explanation
    assert said(read(what, side * (NEAR_M + 60.0), **more)) == []


def test_its_row_and_its_reasoning_say_so() -> None:
    (one,) = met(UP, charts(charted("mark", 600.0).marks))
    row = mark_row(one, view([one]), passage())
    assert (row.outcome, row.side_required) == (MarkOutcome.NOT_ASSESSED, "")
    assert row.rule == "no rule can be told: its kind is not known"
    assert mark_name(row) == "mark of unknown kind without a name"
    (rule,) = [line for line in explain(one, view([one]), passage()) if line.startswith("Rule")]
    assert rule == f"Rule: {row.rule}."


def test_what_it_stands_on_may_be_nearer_than_it_is_charted() -> None:
    """A floating mark lies within 20 m of its place (IHO S-44 ed. 6, table 2, order 2)."""
    assert len(said(charted("mark", NEAR_M + 15.0))) == 1
    wide = said(charted("mark", 755.0), width_m=740.8)
    assert [one.severity for one in wide] == [Severity.NOT_ASSESSED]


@pytest.mark.parametrize("cls", ["BOYSPP", "BCNSPP", "BOYSAW"])
def test_one_that_has_no_side_is_as_before(cls: str) -> None:
    chart = charted(cls, 100.0)
    assert chart.marks[0].kind is not MarkKind.UNKNOWN and said(chart) == []


@pytest.mark.parametrize(
    "cls", ["RadarBeacon", "special purpose buoy", "mooring buoy", "XYZABC", "notmrk", "layer x"]
)
def test_what_is_not_called_a_mark_stays_an_unknown_object(cls: str) -> None:
    chart = charted(cls, 100.0)
    assert (chart.marks, [one.cls for one in chart.unknown]) == ((), [cls])


def test_a_wide_area_of_such_a_class_stays_an_unknown_object() -> None:
    draft = Draft(source="cell")
    shape = shapely.LineString([HERE.at((0.0, 0.0)), HERE.at((3000.0, 0.0))])
    add(Row(cls="buoy line", ident="1", geometry=shape, values={}), draft)
    chart = draft.chart(source())
    assert (chart.marks, chart.problems, len(chart.unknown)) == ((), (), 1)


def test_a_restriction_of_its_place_is_kept() -> None:
    chart = charted("BOYXYZ", 100.0, RESTRN="7")
    assert (len(chart.marks), len(chart.areas)) == (1, 1)


def test_tags_that_tell_a_kind_are_not_doubled_by_the_layers_name() -> None:
    hand = {"seamark:type": "buoy_lateral", f"{LATERAL}:category": "port"}
    for tags in (hand, RIVER):
        assert len(tagged(tags, 100.0, mark={}).marks) == 1


def test_a_file_of_marks(tmp_path: Path) -> None:
    rows = [("buoy", "odd one"), ("beacon", ""), ("mark", None), ("buoy", "special")]
    features = [
        {
            "type": "Feature",
            "properties": {"class": cls, "kind": kind},
            "geometry": {"type": "Point", "coordinates": [10.0 + 0.1 * n, 54.0]},
        }
        for n, (cls, kind) in enumerate(rows)
    ]
    path = tmp_path / "places.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    (chart,) = read_vector(path)
    assert [mark.kind for mark in chart.marks] == [MarkKind.UNKNOWN] * 3 + [MarkKind.SPECIAL]
    assert not chart.unknown
