"""What is told of marks whose data contradict each other, word for word."""

from __future__ import annotations

import pytest
import shapely

from routecheck.checks.mark_data_contradicts import mark_data_contradicts
from routecheck.model.finding import Evidence
from tests.checks.markviews import leg_with, mark_pass, stands_at_mark
from tests.checks.told import said
from tests.checks.views import run

OFF_AFRICA = shapely.Point(10.0, 0.0)
"""Region A (IALA Recommendation R1001: the Americas, Japan, Korea and the Philippines are B)."""
UNFIT = "region of buoyage that does not fit the place"
CLASH = "two sources contradict each other about the buoyage"


def test_each_contradiction_of_one_mark_is_told_by_itself() -> None:
    met = mark_pass(
        "port-hand",
        contradiction="green on the port hand in region A",
        odd_shape="a cone on the port hand",
        doubtful=("it stands on land", "another mark is charted 3 m off"),
        conflict="--buoyage says 90, the chart 270",
        distance_m=123.46,
    )
    found = run(mark_data_contradicts, leg_with(mark_pass(), met))
    called = "port-hand mark Deep"
    kinds = "contradict each other"
    assert said(found) == [
        ("caution", f"{called}: its colours and kind {kinds}",
         f"At {called}: green on the port hand in region A."),
        ("caution", f"{called}: its shape or top mark and its kind {kinds}",
         f"At {called}: a cone on the port hand."),
        ("caution", f"{called}: its place is doubtful", f"At {called}: it stands on land."),
        ("caution", f"{called}: its place is doubtful",
         f"At {called}: another mark is charted 3 m off."),
        ("caution", CLASH, f"At {called}: --buoyage says 90, the chart 270."),
    ]  # fmt: skip
    key = "cell/BOYSPP/Deep"
    assert [one.object_key for one in found] == [
        key, f"{key}/shape", f"{key}/place/0", f"{key}/place/1", f"{key}/conflict",
    ]  # fmt: skip
    for one in found:
        stands_at_mark(one, met)
        assert one.sums == {"distance_m": 123.5, "marks": 1.0}
        assert (one.evidence, one.rests_on) == ((), "cell; region by nothing")


def test_marks_under_one_conflict_are_told_together() -> None:
    conflicts = ("x", "", "y", "x", "x")
    passes = [
        mark_pass("east", f"E{n}", conflict=text, along_m=100.0 * n, region_from="--region")
        for n, text in enumerate(conflicts)
    ]
    first, second = run(mark_data_contradicts, leg_with(*passes))
    assert said([first, second]) == [
        ("caution", CLASH, "At east mark E0: x."),
        ("caution", CLASH, "At east mark E2: y."),
    ]
    assert first.evidence == tuple(
        Evidence(
            key=f"cell/BOYSPP/E{n}", cls="BOYSPP", text=f"east mark E{n}, under the same conflict",
            lon_deg=-150.0, lat_deg=0.0, along_m=100.0 * n, cross_m=100.0, source="cell",
        )
        for n in (3, 4)
    )  # fmt: skip
    assert first.sums["marks"] == 3.0
    assert (second.evidence, second.sums["marks"]) == ((), 1.0)
    assert first.rests_on == "cell; region by --region"


@pytest.mark.parametrize("region", ["A", "B", ""])
def test_a_region_that_is_not_in_use_there(region: str) -> None:
    passes = [
        mark_pass("lateral", name, geometry=where, region=region, region_from="the chart")
        for name, where in (("o", shapely.Point(-150.0, 0.0)), ("p", OFF_AFRICA), ("q", OFF_AFRICA))
    ]
    found = run(mark_data_contradicts, leg_with(*passes))
    text = "At lateral mark p: region B by the chart, where region A is in use."
    assert said(found) == ([("note", UNFIT, text)] if region == "B" else [])
    for one in found:
        assert one.object_key == "cell/BOYSPP/p/region"
        assert [held.key for held in one.evidence] == ["cell/BOYSPP/q"]


def test_the_first_mark_says_which_region_is_in_use() -> None:
    """Off Africa A, in Florida B: each is charted as the other."""
    africa = mark_pass("lateral", "p", geometry=OFF_AFRICA, region="B", region_from="the chart")
    florida = mark_pass(
        "lateral", "q", geometry=shapely.Point(-80.0, 25.0), region="A", region_from="the chart"
    )
    for passes, told, usual in (((africa, florida), "B", "A"), ((florida, africa), "A", "B")):
        (one,) = run(mark_data_contradicts, leg_with(*passes))
        assert f"region {told} by the chart, where region {usual} is in use" in one.explanation
        (alone,) = run(mark_data_contradicts, leg_with(passes[0]))
        assert alone.explanation == one.explanation
