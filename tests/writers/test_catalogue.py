"""The catalogue of checks, from docstrings."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from routecheck.model.chart import Severity
from routecheck.model.finding import CAUTION, Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import Check
from routecheck.model.view import LegView
from routecheck.writers.catalogue import to_catalogue, to_check_list, to_check_page


def _invented(view: LegView, passage: Passage) -> Iterator[Finding]:
    """Less water than | wanted.

    Rule      margin < 0
    Why       The boat may ground, which spoils the day and, in a swell, the boat; so the skipper
              should know of it beforehand.
    Examples  found: 99499
              quiet: 99699
    Settings  draught, under_keel
    Limits    Uncharted shoals.
    Sources   Common practice.
    """
    yield from ()


def invented(name: str = "too-shoal", group: str = "depth") -> Check:
    return Check(
        name=name,
        group=group,
        needs=frozenset({Layer.DEPTH, Layer.LAND}),
        gives=frozenset({Severity.DANGER, Severity.CAUTION}),
        function=_invented,
    )


CHECKS = [invented("wrong-side", "marks"), invented(), invented("a-rock", "dangers")]


def test_catalogue_holds_every_section_of_every_check() -> None:
    page = to_catalogue(CHECKS)
    for check in CHECKS:
        assert f"## {check.name}\n" in page
        assert f"[{check.name}](#{check.name})" in page
    for heading in ("Rule", "Why it matters", "What it cannot see", "Sources"):
        assert page.count(f"### {heading}\n") == len(CHECKS)
    assert "```text\nfound: 99499\nquiet: 99699\n```" in page
    assert CAUTION in page


def test_a_bar_in_a_summary_does_not_break_the_table() -> None:
    rows = [line for line in to_catalogue(CHECKS).splitlines() if line.startswith("| [")]
    assert len(rows) == 3
    assert all(r"Less water than \| wanted." in row for row in rows)
    assert all(row.replace(r"\|", "").count("|") == 5 for row in rows)


def test_order_of_groups_not_of_input() -> None:
    page = to_catalogue(CHECKS)
    assert page.index("## too-shoal") < page.index("## a-rock") < page.index("## wrong-side")
    assert to_catalogue(CHECKS[::-1]) == page


@pytest.mark.parametrize("width", [50, 80])
def test_pages_for_the_terminal_fit(width: int) -> None:
    for page in (to_check_page(invented(), width=width), to_check_list(CHECKS, width=width)):
        assert all(len(line) <= width for line in page.splitlines())
        assert " ".join(CAUTION.split()) in " ".join(page.split())


def test_a_check_page_says_what_it_needs_and_gives() -> None:
    page = to_check_page(invented())
    assert page.startswith("too-shoal\n=========\n")
    assert "needs     depth, land" in page
    assert "can give  caution, danger" in page
    assert "  found: 99499\n  quiet: 99699\n" in page
