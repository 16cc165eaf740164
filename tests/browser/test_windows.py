"""windows.html in a browser: on the screen, on a phone and on paper."""

from __future__ import annotations

import re

import pytest

from routecheck.writers.windows_html import to_windows_html
from tests.browser.conftest import Opened
from tests.writers.test_windows import NASTY, hazardous, scanned


@pytest.mark.parametrize("viewport", ["desktop", "phone"])
def test_windows_open_and_fit(opened: Opened, viewport: str) -> None:
    page = opened(to_windows_html(scanned()), viewport)
    assert page.locator(".word").text_content() == "5 windows"
    assert page.locator("table.windows tbody tr").count() == 5
    # The page does not scroll sideways; on a phone the picture does, in its own frame.
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert page.locator("svg.plot").bounding_box()["width"] >= 500
    for number in range(5):
        box = page.locator("table.windows tbody tr").nth(number).bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= page.evaluate("window.innerWidth") + 1


def test_no_text_of_the_picture_is_cut_off(opened: Opened) -> None:
    """Every label lies within the picture's own frame."""
    page = opened(to_windows_html(scanned()))
    frame = page.locator("svg.plot").bounding_box()
    texts = page.locator("svg.plot text")
    for number in range(texts.count()):
        box = texts.nth(number).bounding_box()
        assert box["x"] >= frame["x"] - 1, texts.nth(number).text_content()
        assert box["x"] + box["width"] <= frame["x"] + frame["width"] + 1
        assert box["y"] >= frame["y"] - 1


def test_the_picture_fits_on_a_page_of_a4(opened: Opened) -> None:
    page = opened(to_windows_html(scanned()))
    page.emulate_media(media="print")
    # A4 less the margins of the style: 182 mm by 265 mm, at 96 pixels an inch.
    page.set_viewport_size({"width": round(182 / 25.4 * 96), "height": 1000})
    figure = page.locator("figure").bounding_box()
    assert figure["height"] <= 265 / 25.4 * 96
    pdf = page.pdf(prefer_css_page_size=True, print_background=True)
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) <= 3


def test_hostile_names_are_text(opened: Opened) -> None:
    page = opened(to_windows_html(scanned(6.0, NASTY)))
    assert page.locator("script, img").count() == 0
    assert "<script>alert(1)</script>" in page.locator("h1").text_content()


def test_a_danger_at_any_time_is_the_headline(opened: Opened) -> None:
    page = opened(to_windows_html(hazardous()))
    assert page.locator(".word").text_content() == "No departure without danger"
    heads = page.locator("h2").all_text_contents()
    assert heads[:2] == ["Whatever the departure", "What the clock opens and closes"]
