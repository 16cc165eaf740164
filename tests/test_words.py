"""No output judges with "safe", "clear" or "OK"; and every output bears the caution."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from routecheck.checks import all_checks
from routecheck.model.finding import CAUTION
from routecheck.writers.brief import to_brief
from routecheck.writers.findings_csv import to_findings_csv
from routecheck.writers.findings_geojson import to_findings_geojson
from routecheck.writers.findings_json import to_findings_json
from routecheck.writers.map_html import to_map
from routecheck.writers.terminal import to_terminal
from tests.golden.sample import ROUTES, vetted

# Trade terms, and what a source is said not to do, are no judgements.
EXEMPT = re.compile(
    r"safe[- ]water|safe[_ ]vertical[_ ]clearance|safety contour"
    r"|(not|cannot|can not|never) (be )?clear(ed)?\b|clears nothing|clears? only with",
    re.IGNORECASE,
)
JUDGING = re.compile(r"\b(safe|safely|clear|clears|cleared|all clear|ok|okay)\b", re.IGNORECASE)


def judging(text: str) -> list[str]:
    """Words of judgement in a text, with what stands round them."""
    bare = EXEMPT.sub("", text)
    return [bare[max(0, m.start() - 40) : m.end() + 20] for m in JUDGING.finditer(bare)]


def text_of(page: str) -> str:
    """What a page shows: without scripts, styles and tags."""
    bare = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.DOTALL | re.IGNORECASE)
    return html.unescape(re.sub(r"<[^>]+>", " ", bare))


def outputs(root: Path, name: str) -> dict[str, str]:
    whole = vetted(root, name)
    report = whole.report
    return {
        "terminal": to_terminal(report),
        "json": to_findings_json(report),
        "geojson": to_findings_geojson(report),
        "csv": to_findings_csv(report),
        "brief": text_of(to_brief(report)),
        "map": text_of(to_map(report, whole.picture())),
    }


@pytest.mark.parametrize("name", ROUTES)
def test_no_output_judges_with_these_words(name: str, root: Path) -> None:
    for output, text in outputs(root, name).items():
        assert judging(text) == [], output


@pytest.mark.parametrize("name", ROUTES)
def test_every_output_bears_the_caution(name: str, root: Path) -> None:
    for output, text in outputs(root, name).items():
        if output != "csv":
            assert CAUTION[:60] in " ".join(text.split()), output


def test_no_check_judges_with_these_words() -> None:
    for check in all_checks():
        assert judging(check.summary) == []


@pytest.mark.parametrize(
    "said", ["The route is safe.", "All clear", "leg 3: OK", "clears the rock by 2 m"]
)
def test_a_judgement_is_caught(said: str) -> None:
    assert judging(said) != []


@pytest.mark.parametrize("said", ["safe-water mark", "it clears nothing", "under-keel clearance"])
def test_trade_terms_pass(said: str) -> None:
    assert judging(said) == []
