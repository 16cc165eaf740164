"""map.html in a browser, from disk, without a network."""

from __future__ import annotations

import json
import re
import zlib
from pathlib import Path
from typing import Any

import pytest

from routecheck.model.chart import ChartSet
from routecheck.model.finding import CAUTION, Report
from routecheck.writers.drawing.bands import STYLES, Band
from routecheck.writers.findings_json import to_findings_json
from routecheck.writers.map_html import to_map
from routecheck.writers.wording.names import heading
from tests.browser.conftest import Opened
from tests.writers import reports

LAYERS = {
    "Corridor": ".corridor-edge",
    "Track and waypoints": ".waypoint",
    "Marks": ".mark-spot",
    "Findings": ".finding",
}
CANVASES = {"Water by margin": "water", "Land and structures": "ground"}


def map_of(report: Report, charts: ChartSet | None = None) -> str:
    return to_map(report, reports.water(report, charts))


def ready(page: Any) -> Any:
    page.wait_for_function("document.documentElement.dataset.water === 'drawn'", timeout=60_000)
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => setTimeout(done, 60)))")
    return page


def numbered(report: Report) -> list[dict[str, Any]]:
    return [f for f in json.loads(to_findings_json(report))["findings"] if f["number"]]


def check_popup(page: Any, finding: dict[str, Any]) -> None:
    card = page.locator(".leaflet-popup .card")
    assert card.locator("h2").text_content() == heading(finding["title"], finding["check"])
    assert card.locator(".badge").text_content() == str(finding["number"])
    cells = card.locator("[data-sum]")
    assert cells.evaluate_all("all => all.map(one => one.dataset.sum)") == list(finding["sums"])
    for key, value in finding["sums"].items():
        shown = card.locator(f"[data-sum='{key}']").text_content()
        if isinstance(value, str):
            assert shown == value
        else:
            number = float(shown.split()[0].replace("\u2212", "-").replace(",", "").strip("°"))
            assert abs(number - value) <= 0.05 + 1e-9, (key, shown, value)


def test_every_finding_opens_by_keyboard_and_tells_what_the_json_tells(opened: Opened) -> None:
    report = reports.hazards()
    page = ready(opened(map_of(report)))
    for finding in numbered(report):
        marker = page.locator(f".finding[aria-label^='Finding {finding['number']},']")
        marker.focus()
        page.keyboard.press("Enter")
        check_popup(page, finding)
        assert page.evaluate("document.activeElement.classList.contains('card')")
        page.keyboard.press("Escape")
        page.wait_for_selector(".leaflet-popup", state="detached")
        assert page.evaluate("document.activeElement.getAttribute('aria-label')").startswith(
            f"Finding {finding['number']},"
        )


def test_tab_goes_through_the_findings_in_order(opened: Opened) -> None:
    page = ready(opened(map_of(reports.hazards())))
    page.locator("#chart").focus()
    met: list[str] = []
    for _ in range(40):
        page.keyboard.press("Tab")
        label = page.evaluate("document.activeElement.getAttribute('aria-label') || ''")
        if label.startswith("Finding "):
            met.append(label.split()[1].strip(","))
    assert met[:5] == ["1", "2", "3", "4", "5"]


@pytest.mark.parametrize("viewport", ["desktop", "phone"])
def test_a_click_opens_a_finding(opened: Opened, viewport: str) -> None:
    report = reports.hazards()
    page = ready(opened(map_of(report), viewport))
    page.locator(".finding .badge", has_text="5").click()
    check_popup(page, numbered(report)[4])


def test_the_list_leads_to_the_finding(opened: Opened) -> None:
    report = reports.hazards()
    page = ready(opened(map_of(report)))
    page.locator("[data-finding='4']").click()
    check_popup(page, numbered(report)[3])


def pixels(page: Any, pane: str) -> int:
    """How many pixels of a pane's canvas are painted; 0 without a canvas."""
    painted: int = page.evaluate(
        """pane => {
          const canvas = document.querySelector(`.leaflet-${pane}-pane canvas`);
          if (!canvas) return 0;
          const data = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height).data;
          let count = 0;
          for (let i = 3; i < data.length; i += 4) if (data[i]) count++;
          return count;
        }""",
        pane,
    )
    return painted


def test_layers_can_be_put_away_and_brought_back(opened: Opened) -> None:
    page = ready(opened(map_of(reports.hazards())))
    page.locator(".leaflet-control-layers-toggle").focus()
    page.keyboard.press("Enter")
    boxes = page.locator(".leaflet-control-layers-overlays label")
    names = [name.strip() for name in boxes.all_text_contents()]
    assert set(LAYERS) | set(CANVASES) | {"Edge of what is charted"} == set(names)

    def shown(name: str) -> int:
        if name in LAYERS:
            return int(page.locator(LAYERS[name]).count())
        return pixels(page, CANVASES.get(name, "edge"))

    for index, name in enumerate(names):
        before = shown(name)
        assert before > 0, name
        box = boxes.nth(index).locator("input")
        for ticked, count in ((False, 0), (True, before)):
            box.click()
            assert box.is_checked() is ticked, name
            page.wait_for_timeout(50)
            assert shown(name) == count, name
    page.keyboard.press("Escape")
    assert not boxes.first.is_visible()


def test_hostile_names_are_text_and_nothing_runs(opened: Opened) -> None:
    report = reports.hostile()
    page = ready(opened(map_of(report)))
    names = page.locator(".name").all_text_contents()
    assert "<script>alert(1)</script>" in names
    assert page.locator("h1").text_content() == "<script>alert(1)</script>"
    assert page.locator("img").count() == 0
    assert page.title().startswith("<script>alert(1)</script>")
    for finding in numbered(report):
        page.locator(f".finding[aria-label^='Finding {finding['number']},']").focus()
        page.keyboard.press("Enter")
        title = page.locator(".leaflet-popup h2").text_content()
        assert title
        assert "\x1b" not in title
        page.keyboard.press("Escape")
        page.wait_for_selector(".leaflet-popup", state="detached")
    for mark in page.locator(".mark-spot").all():
        mark.focus()
        page.keyboard.press("Enter")
        page.keyboard.press("Escape")
    assert page.locator("img").count() == 0


@pytest.mark.parametrize("viewport", ["desktop", "phone"])
@pytest.mark.parametrize("zoom_by", [0, 1, -2])
def test_no_label_lies_over_another(opened: Opened, viewport: str, zoom_by: int) -> None:
    page = ready(opened(map_of(reports.hazards()), viewport))
    zoom = "by => routecheck.map.setZoom(routecheck.map.getZoom() + by, {animate: false})"
    page.evaluate(zoom, zoom_by)
    page.wait_for_timeout(120)
    boxes = page.evaluate(
        """() => {
          const map = document.getElementById("chart").getBoundingClientRect();
          return [...document.querySelectorAll(".spot:not(.shrunk) .spot-body")].map(one => {
            const box = one.getBoundingClientRect();
            return [box.left, box.top, box.right, box.bottom, one.textContent];
          }).filter(b => b[2] > map.left && b[0] < map.right)
            .filter(b => b[3] > map.top && b[1] < map.bottom);
        }"""
    )
    assert len(boxes) >= 3
    for index, a in enumerate(boxes):
        for b in boxes[index + 1 :]:
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (a, b)


@pytest.mark.parametrize("viewport", ["desktop", "phone"])
def test_the_caution_is_always_in_sight(opened: Opened, viewport: str, tmp_path: Path) -> None:
    page = ready(opened(map_of(reports.hazards()), viewport))
    for scroll in (0, 100_000):
        page.evaluate("by => window.scrollTo(0, by)", scroll)
        caution = page.locator("#caution")
        assert caution.text_content() == CAUTION
        box = caution.bounding_box()
        height = page.viewport_size["height"]
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= height + 0.5
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    shot = tmp_path / f"map-{viewport}.png"
    page.screenshot(path=shot)
    assert shot.stat().st_size > 20_000


@pytest.mark.parametrize(("units", "unit"), [("metric", "m"), ("feet", "ft")])
def test_the_scale_is_in_the_readers_units(opened: Opened, units: str, unit: str) -> None:
    report = reports.hazards()
    page = ready(opened(to_map(report, reports.water(report), units=units)))
    bars = page.locator(".leaflet-control-scale-line").all_inner_texts()
    assert [bar.split()[1] for bar in bars] == ["nmi", unit]


def test_a_route_over_the_antimeridian_is_in_one_piece(opened: Opened) -> None:
    page = ready(opened(map_of(reports.antimeridian())))
    width = page.evaluate("document.querySelector('.track-line').getBoundingClientRect().width")
    assert 300 < width < 1000
    box = page.locator(".finding .badge").bounding_box()
    assert 372 < box["x"] < 1360


def test_ten_thousand_depth_areas_are_drawn(opened: Opened) -> None:
    page = ready(opened(map_of(reports.hazards(), reports.many_areas(10_000))))
    assert page.evaluate("routecheck.water.areas.length") > 9_900
    assert pixels(page, "water") > 500_000


def test_a_browser_that_cannot_unpack_the_water_says_so(opened: Opened) -> None:
    report = reports.hazards()
    page = opened(map_of(report), init="delete window.DecompressionStream")
    page.wait_for_function("document.documentElement.dataset.water === 'missing'")
    assert "nothing on it is assessed" in page.locator("#routecheck-trouble").text_content()
    page.locator(".finding .badge", has_text="1").click()
    check_popup(page, numbered(report)[0])


def printed_pictures(pdf: bytes) -> list[bytes]:
    """The colours of all large pictures in a PDF as Chromium writes it."""
    found = []
    for match in re.finditer(rb"<<([^<>]*?/Subtype /Image[^<>]*?)>>\s*stream\r?\n", pdf, re.S):
        facts = match.group(1)
        width = re.search(rb"/Width (\d+)", facts)
        length = re.search(rb"/Length (\d+)", facts)
        if width is None or length is None or int(width.group(1)) < 500:
            continue
        if b"DeviceGray" not in facts and b"FlateDecode" in facts:
            found.append(zlib.decompress(pdf[match.end() : match.end() + int(length.group(1))]))
    return found


def test_the_water_is_there_on_paper(opened: Opened) -> None:
    """Without its water a printed map would show shoals as white as deep water."""
    page = ready(opened(map_of(reports.hazards())))
    zoom = page.evaluate("routecheck.map.getZoom()")
    pdf = page.pdf(prefer_css_page_size=True, print_background=True)
    shoal = bytes(int(STYLES[Band.TOUCHES].fill[i : i + 2], 16) for i in (1, 3, 5))
    unknown = bytes(int(STYLES[Band.UNKNOWN].fill[i : i + 2], 16) for i in (1, 3, 5))
    pictures = printed_pictures(pdf)
    for colour in (shoal, unknown):
        assert max(one.count(colour) for one in pictures) > 1000
    assert page.evaluate("routecheck.map.getZoom()") == zoom
