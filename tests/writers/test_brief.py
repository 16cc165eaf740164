"""brief.html and its depth profile."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest
from defusedxml.ElementTree import fromstring

from routecheck.model.finding import CAUTION, Report
from routecheck.writers.brief import leg_ranges, to_brief
from routecheck.writers.drawing.profile import COLUMNS, to_profile
from routecheck.writers.drawing.seabed import seabed
from routecheck.writers.wording.lengths import Lengths, Units
from routecheck.writers.wording.sums import sum_line
from tests.writers import reports
from tests.writers.test_map_html import Page

REPORTS = [reports.hazards, reports.empty, reports.hostile, reports.antimeridian]


@pytest.mark.parametrize("make", REPORTS)
def test_no_script_nothing_fetched_nothing_inline(make: Callable[[], Report]) -> None:
    page = Page(to_brief(make()))
    for tag, attributes in page.tags:
        assert tag not in ("script", "link", "img", "iframe", "object", "foreignobject"), tag
        assert not [a for a in attributes if a.startswith("on") or a in ("style", "src", "href")]
    policy = page.tags[2][1]["content"] or ""
    assert "script-src 'none'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize("make", REPORTS)
def test_verdict_and_caution_come_first(make: Callable[[], Report]) -> None:
    report = make()
    shown = Page(to_brief(report)).shown
    assert shown.index(str(report.verdict)) < shown.index("Findings along the track")
    assert shown.index(CAUTION) < shown.index("Findings along the track")


def test_every_part_is_there() -> None:
    report = reports.hazards()
    shown = Page(to_brief(report)).shown
    lengths = Lengths()
    for finding in report.findings:
        assert finding.title[1:] in shown
        if finding.number:
            assert sum_line(finding.sums, lengths) in shown
    for leg in report.legs:
        assert leg.from_name in shown
    for text in ("Inner 2", "Bell Rock", "wrong side", "channel crossed", "leave to starboard"):
        assert text in shown
    for text in (*report.assumptions, "abababababab", "1:22,000", "25.0 m cells", "surveyed 2019"):
        assert text in shown
    assert "charts/old.bin : no reader takes this format" in shown
    assert "charts/readme.txt : not a chart" in shown
    assert "to settle it: a survey of the rock" in shown


def test_least_margin_and_shoalest_are_rounded_down() -> None:
    report = reports.hazards()
    leg = replace(report.legs[0], shoalest_depth_m=5.49, least_margin_m=-0.01)
    shown = Page(to_brief(replace(report, legs=(leg,)))).shown
    assert "5.4 m" in shown
    assert "−0.1 m" in shown


def test_hostile_names_are_text() -> None:
    shown = Page(to_brief(reports.hostile())).shown
    assert "<script>alert(1)</script>" in shown
    assert "{{ 7*7 }}" in shown


@pytest.mark.parametrize("make", REPORTS)
def test_same_report_same_bytes(make: Callable[[], Report]) -> None:
    first, second = to_brief(make()), to_brief(make())
    assert first.encode() == second.encode(), "bytes differ"


@pytest.mark.parametrize("make", REPORTS)
@pytest.mark.parametrize("units", list(Units))
def test_profile_is_well_formed(make: Callable[[], Report], units: Units) -> None:
    svg = to_profile(make(), Lengths(units=units))
    if svg:
        fromstring(svg)
        assert "style=" not in svg


def test_profile_bears_the_numbers_of_the_findings() -> None:
    svg = to_profile(reports.hazards(), Lengths())
    texts = re.findall(r"<text[^>]*>([^<]*)</text>", svg)
    for number in range(1, 6):
        assert str(number) in texts
    assert "needed 3.0 m" in texts


def test_seabed_takes_the_shoalest_and_keeps_the_holes() -> None:
    report = reports.hazards()
    bed = seabed(report, COLUMNS, Units.METRIC)
    per_metre = COLUMNS / bed.length_m
    inside = bed.charted_depth_m[int(1500 * per_metre) + 1 : int(1820 * per_metre) - 1]
    assert set(inside.tolist()) == {1.8}
    # A border belongs to both sides: the shoaler depth is taken there.
    assert bed.charted_depth_m[int(1500 * per_metre)] == 1.8
    assert bed.charted_depth_m[int(1820 * per_metre)] == 1.8
    start = report.views[3].start_along_m
    hole = slice(int((start + 2100) * per_metre), int((start + 3400) * per_metre))
    assert bed.gap[hole].all()
    assert bed.bands[int(1700 * per_metre)] == 1
    assert not bed.solid.any()


def test_what_the_lines_mean_stands_clear_of_the_ground() -> None:
    """Below the plot: beside the lines, ground that reaches up to them would cross the words."""
    root = fromstring(to_profile(reports.hazards(), Lengths()))
    texts = [one for one in root.iter() if one.tag.endswith("text")]
    words = [one for one in texts if "needed" in (one.text or "") or "keel" in (one.text or "")]
    assert len(words) == 2 and words[0].get("y") == words[1].get("y")
    foot = float(words[0].attrib["y"])
    others = {float(one.attrib["y"]) for one in texts if one not in words}
    assert max(others) + 10.0 <= foot <= float(root.attrib["viewBox"].split()[3]) - 4.0
    first, second = (float(one.attrib["x"]) for one in words)
    assert first + 7.0 * len(words[0].text or "") < second - 30.0


def test_a_route_without_views_has_no_profile() -> None:
    assert to_profile(reports.antimeridian(), Lengths()) == ""
    assert "<figure>" not in to_brief(reports.antimeridian())


@pytest.mark.parametrize(
    ("legs", "shown"), [([], ""), ([3], "3"), ([1, 2, 3], "1-3"), ([5, 1, 2, 9, 2], "1-2, 5, 9")]
)
def test_legs_as_ranges(legs: list[int], shown: str) -> None:
    assert leg_ranges(legs) == shown


def test_the_mark_list_tells_look_eta_and_rule() -> None:
    from dataclasses import replace
    from datetime import UTC, datetime

    report = reports.hazards()
    told = replace(
        report.marks[0],
        top_mark="can, red",
        light="flashing red, every 4 s",
        rule="a port-hand mark is left to port",
        sure="stated",
        eta=datetime(2027, 5, 14, 9, 5, tzinfo=UTC),
    )
    shown = Page(to_brief(replace(report, marks=(told, *report.marks[1:])))).shown
    for part in (
        "; top mark can, red; light flashing red, every 4 s",
        "a port-hand mark is left to port (direction of buoyage stated)",
        "2027-05-14 09:05 UTC",
    ):
        assert part in shown, part
