"""brief.html in a browser, on the screen and on paper."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from routecheck.model.finding import CAUTION
from routecheck.writers.brief import to_brief
from tests.browser.conftest import Opened
from tests.writers import reports


@pytest.mark.parametrize("viewport", ["desktop", "phone"])
def test_brief_opens_and_fits(opened: Opened, viewport: str, tmp_path: Path) -> None:
    page = opened(to_brief(reports.hazards()), viewport)
    assert page.locator(".word").text_content() == "hazards"
    assert page.locator(".notice").first.text_content() == CAUTION
    assert page.locator("article.finding").count() == 5
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert page.locator("svg.profile").bounding_box()["height"] > 50
    page.screenshot(path=tmp_path / "brief.png", full_page=True)


@pytest.mark.parametrize("viewport", ["desktop", "phone"])
def test_all_of_a_mark_is_on_the_screen(opened: Opened, viewport: str) -> None:
    """2026-11-25: on a phone the judgement stood off the screen, and the rule made its row tall."""
    page = opened(to_brief(reports.hazards()), viewport)
    width = page.evaluate("window.innerWidth")
    cells = page.locator(".marks tbody td")
    assert cells.count() >= 8
    for box in (cell.bounding_box() for cell in cells.all()):
        assert box["x"] >= 0.0
        assert box["x"] + box["width"] <= width
        assert box["height"] < 200.0


def test_brief_prints_on_a4(opened: Opened) -> None:
    page = opened(to_brief(reports.hazards()))
    pdf = page.pdf(prefer_css_page_size=True, print_background=True)
    assert pdf.startswith(b"%PDF")
    boxes = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert boxes
    for width, height in boxes:
        # ISO 216: A4 is 210 mm by 297 mm; 72 points an inch.
        assert abs(float(width) - 210 / 25.4 * 72) < 1
        assert abs(float(height) - 297 / 25.4 * 72) < 1


def test_hostile_names_are_text_and_nothing_runs(opened: Opened) -> None:
    page = opened(to_brief(reports.hostile()))
    assert page.locator("h1").text_content() == "<script>alert(1)</script>"
    assert page.locator("img, script").count() == 0
    assert "{{ 7*7 }}" in page.locator("body").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_numbers_on_the_profile_are_those_of_the_findings(opened: Opened) -> None:
    page = opened(to_brief(reports.hazards()))
    texts = page.locator("svg.profile text").all_text_contents()
    numbers = page.locator("article.finding .badge").all_text_contents()
    assert numbers == ["1", "2", "3", "4", "5"]
    assert set(numbers) <= set(texts)
