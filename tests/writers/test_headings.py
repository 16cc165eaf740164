"""Titles at the head of findings: with a capital, but never a name's."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.writers.brief import to_brief
from routecheck.writers.drawing.map_data import finding_words
from routecheck.writers.wording.lengths import Lengths
from tests.writers import reports
from tests.writers.test_map_html import page_of

NAMED = ["chart-problem", "sources-disagree", "class-not-judged", "shut-at-that-time"]


@pytest.mark.parametrize("check", NAMED)
def test_a_name_at_the_head_of_a_title_is_shown_as_it_is(check: str) -> None:
    """A chart abc.geojson stood as "Abc.geojson" until 2026-11-29."""
    finding = reports.hazards().findings[0]
    named = replace(finding, check=check, title="abc.geojson: a ring was lost")
    assert finding_words(named, Lengths())["title"] == "abc.geojson: a ring was lost"
    other = replace(finding, check="too-little-water", title="depth area charted at 3 m")
    assert finding_words(other, Lengths())["title"] == "Depth area charted at 3 m"


def test_no_style_sheet_makes_a_capital_of_a_names_first_letter() -> None:
    report = reports.hazards()
    for page in (to_brief(report), page_of(report)):
        assert "first-letter" not in page
