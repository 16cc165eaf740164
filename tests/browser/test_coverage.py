"""The coverage map in a headless Chromium, with the network off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from routecheck.model.chart import ChartSet, Problem, Unread
from routecheck.survey.coverage import coverage
from routecheck.writers.coverage_html import to_coverage_html
from tests.survey.charts import zone
from tests.survey.test_coverage import EAST, SEA, WEST, cell

Opened = Callable[..., Any]
NASTY = "</script><script>alert(1)</script><b>{{ 7*7 }}"
VIEWS = ("worth", "detail", "datum", "age")


@cache
def page_text() -> str:
    one = cell("good.000", SEA, quality_zones=(zone("q", WEST, 2), zone("r", EAST, 5)))
    other = cell(NASTY, WEST, problems=(Problem(source="s", text=NASTY),))
    other = replace(other, source=replace(other.source, scale=90_000.0))
    unread = (Unread(file=f"a/{NASTY}", why="an archive is not read; unpack it"),)
    charts = ChartSet(charts=(one, other), unread=unread)
    return to_coverage_html(charts, coverage(charts), title=NASTY)


def test_the_same_charts_give_the_same_bytes() -> None:
    first = page_text()
    page_text.cache_clear()
    assert first == page_text()


@pytest.mark.parametrize("viewport", ["desktop", "phone"])
def test_it_opens_and_shows_the_water(opened: Opened, viewport: str) -> None:
    page = opened(page_text(), viewport)
    assert page.locator("path.patch.worth0").count() == 1
    assert page.locator("path.patch.worth2").count() == 1
    assert NASTY in page.locator("h1").inner_text()
    assert "an archive is not read" in page.locator(".left").inner_text()
    assert page.locator("b b").count() == 0
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_every_view_has_its_hatching_and_its_legend(opened: Opened) -> None:
    page = opened(page_text())
    for view in VIEWS:
        page.check(f"input[value={view}]")
        fills = page.evaluate(
            "[...document.querySelectorAll('path.patch')].map(p => getComputedStyle(p).fill)"
        )
        assert all("#step" in fill for fill in fills), view
        shown = page.evaluate(
            "[...document.querySelectorAll('.steps')].filter(s => s.offsetHeight).length"
        )
        assert shown == 1
        assert page.locator(f".for-{view}").is_visible()


def test_a_click_on_the_water_tells_its_source(opened: Opened) -> None:
    page = opened(page_text())
    page.locator("path.patch.worth2").click()
    card = page.locator(".card")
    assert card.locator("h2").inner_text().lower() == "of unknown quality"
    assert "good.000" in card.inner_text()
    assert "CATZOC D" in card.inner_text()


def test_sources_are_reached_by_keyboard(opened: Opened) -> None:
    page = opened(page_text())
    button = page.locator("button[data-source]").first
    button.focus()
    page.keyboard.press("Enter")
    assert page.locator("path.picked").count() == 1
    page.locator(".sources summary").nth(1).click()
    assert NASTY in page.locator(".sources dl").nth(1).inner_text()
