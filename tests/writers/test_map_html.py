"""map.html as text: nothing from outside, nothing that runs, small, the same each time."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

import pytest

from routecheck.model.chart import ChartSet
from routecheck.model.finding import CAUTION, Report
from routecheck.writers.findings_json import to_findings_json
from routecheck.writers.map_html import to_map
from tests.writers import reports

REPORTS = [reports.hazards, reports.empty, reports.hostile, reports.antimeridian]
LARGEST_BYTES = 5_000_000


class Page(HTMLParser):
    """Tags with their attributes, and text outside scripts and styles."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.blocks: dict[str, str] = {}
        self._inside = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag in ("script", "style"):
            self._inside = dict(attrs).get("id") or tag

    def handle_endtag(self, tag: str) -> None:
        if tag in ("script", "style"):
            self._inside = ""

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.blocks[self._inside] = self.blocks.get(self._inside, "") + data
        else:
            self.text.append(data)

    @property
    def shown(self) -> str:
        return " ".join(" ".join(self.text).split())


def page_of(report: Report, charts: ChartSet | None = None, **options: Any) -> str:
    return to_map(report, reports.water(report, charts), **options)


@pytest.fixture(scope="module", params=REPORTS, ids=lambda make: make.__name__)
def pair(request: pytest.FixtureRequest) -> tuple[Report, str]:
    report: Report = request.param()
    return report, page_of(report)


def test_nothing_is_fetched(pair: tuple[Report, str]) -> None:
    page = Page(pair[1])
    for tag, attributes in page.tags:
        assert tag not in ("link", "iframe", "object", "embed", "base", "img"), tag
        for name in ("src", "href", "srcset", "action", "background", "poster"):
            assert attributes.get(name) is None, (tag, name)
    style = page.blocks["style"]
    assert not re.search(r"url\((?!data:|#)|@import", style)


def test_nothing_runs_but_the_hashed_scripts(pair: tuple[Report, str]) -> None:
    page = Page(pair[1])
    for tag, attributes in page.tags:
        assert not [a for a in attributes if a.startswith("on")], tag
        assert "style" not in attributes, tag
    tags = [a for t, a in page.tags if t == "meta"]
    policy = tags[0]["content"] or ""
    assert tags[0]["http-equiv"] == "Content-Security-Policy"
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "img-src data:" in policy
    scripts = [a for t, a in page.tags if t == "script" and "type" not in a]
    assert policy.split("script-src")[1].split(";")[0].count("sha256-") == len(scripts)


def test_caution_verdict_and_names_are_shown_as_text(pair: tuple[Report, str]) -> None:
    report, text = pair
    page = Page(text)
    assert CAUTION in page.shown
    assert str(report.verdict) in page.shown
    for group in report.groups:
        assert group.group in page.shown
    for tag, _ in page.tags:
        assert tag != "img"


def test_hostile_names_stand_in_the_page_as_they_are() -> None:
    page = Page(page_of(reports.hostile()))
    assert "<script>alert(1)</script>" in page.shown
    data = json.loads(page.blocks["routecheck-data"])
    assert data["waypoints"][0]["name"] == "<script>alert(1)</script>"
    assert data["waypoints"][2]["name"] == "`${alert(3)}` {{ 7*7 }} {% raw %}"
    assert "49 {% raw %}" not in page.shown
    assert all("\x1b" not in point["name"] for point in data["waypoints"])


def test_findings_are_those_of_the_json(pair: tuple[Report, str]) -> None:
    report, text = pair
    data = json.loads(Page(text).blocks["routecheck-data"])
    whole = [f for f in json.loads(to_findings_json(report))["findings"] if f["number"]]
    assert [f["number"] for f in data["findings"]] == [f["number"] for f in whole]
    for shown, finding in zip(data["findings"], whole, strict=True):
        assert [row["key"] for row in shown["sums"]] == list(finding["sums"])
        assert shown["shape"] == finding["severity"]


@pytest.mark.parametrize("make", REPORTS)
def test_same_report_same_bytes(make: Callable[[], Report]) -> None:
    first, second = page_of(make()), page_of(make())
    assert first.encode() == second.encode(), "bytes differ"


def test_longitudes_run_on_over_the_antimeridian() -> None:
    page = page_of(reports.antimeridian())
    data = json.loads(Page(page).blocks["routecheck-data"])
    lons = [point["lon"] for point in data["waypoints"]]
    assert lons == sorted(lons)
    assert max(lons) - min(lons) < 1.0
    assert lons[0] < data["findings"][0]["lon"] < lons[-1] + 0.1


def test_ten_thousand_depth_areas_stay_small() -> None:
    report = reports.hazards()
    page = page_of(report, reports.many_areas(10_000))
    assert 500_000 < len(page.encode("utf-8")) < LARGEST_BYTES


def test_feet_change_words_not_positions() -> None:
    report = reports.hazards()
    metric, feet = (
        json.loads(Page(page_of(report, units=units)).blocks["routecheck-data"])
        for units in ("metric", "feet")
    )
    assert feet["unit"] == "ft"
    assert feet["findings"][0]["sums"][0]["text"] == "5.91 ft"
    assert [f["lat"] for f in feet["findings"]] == [f["lat"] for f in metric["findings"]]


def test_no_charts_still_makes_a_map() -> None:
    page = Page(page_of(reports.empty(), ChartSet()))
    assert "Quiet water" in page.shown
    assert "not assessed" in page.shown


def test_legend_tells_bands_and_tide() -> None:
    shown = Page(page_of(reports.hazards())).shown
    for words in ("the keel touches", "less than wanted", "only if the data is exact"):
        assert words in shown
    assert "height of tide of 0 at chart datum" in shown


def test_unknown_units_are_refused() -> None:
    report = reports.empty()
    with pytest.raises(ValueError):
        page_of(report, units="fathoms")


def test_what_was_left_out_of_the_picture_is_said() -> None:
    report = reports.empty()
    picture = replace(reports.water(report), remarks=("survey.tif is too large to be drawn.",))
    assert "survey.tif is too large to be drawn." in Page(to_map(report, picture)).shown
