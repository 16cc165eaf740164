"""The summary on the terminal."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from routecheck.model.finding import CAUTION, Report
from routecheck.writers.terminal import to_terminal
from routecheck.writers.wording.names import columns
from tests.writers import reports

REPORTS = [reports.hazards, reports.empty, reports.hostile, reports.antimeridian]
OURS = re.compile(r"\x1b\[[\d;]*m")


@pytest.mark.parametrize("width", [40, 80, 132])
@pytest.mark.parametrize("make", REPORTS)
@pytest.mark.parametrize("units", ["metric", "feet"])
def test_no_line_is_wider_than_asked(make: Callable[[], Report], width: int, units: str) -> None:
    for line in to_terminal(make(), units=units, width=width).splitlines():
        assert columns(line) <= width, line


@pytest.mark.parametrize("make", REPORTS)
def test_verdict_groups_and_caution_are_there(make: Callable[[], Report]) -> None:
    report = make()
    text = to_terminal(report)
    assert str(report.verdict).upper() in text
    for group in report.groups:
        assert re.search(rf"^  {group.group} +{group.outcome}", text, re.MULTILINE)
    assert CAUTION in " ".join(text.split())


def test_findings_stand_in_order_with_number_place_title_and_sum() -> None:
    text = to_terminal(reports.hazards())
    places = [text.index(f"\n{number:>4} ") for number in range(1, 6)]
    assert places == sorted(places)
    first = text[places[0] : places[1]]
    assert "danger  leg 1, 0.81 to 0.98 nmi, on the track" in first
    assert "depth area charted at 1.8 m: 1.2 m short" in first
    flat = " ".join(first.split())
    assert "charted depth 1.8 m + height of tide 0.0 m = available 1.8 m" in flat
    assert "margin -1.2 m" in flat
    assert "90 m to port" in text[places[1] : places[2]]
    assert "not assessed" in text[places[4] :]


def test_what_would_settle_it_is_said() -> None:
    assert "to settle it: give a chart that covers it" in to_terminal(reports.hazards())


def test_only_our_own_escape_sequences_and_only_with_colour() -> None:
    for make in REPORTS:
        bare = to_terminal(make())
        assert "\x1b" not in bare
        bright = to_terminal(make(), colour=True)
        assert "\x1b" not in OURS.sub("", bright)
        assert OURS.sub("", bright) == bare
    assert OURS.search(to_terminal(reports.hazards(), colour=True))


def test_control_characters_in_names_are_gone() -> None:
    text = to_terminal(reports.hostile(), colour=False)
    assert all(c == "\n" or c.isprintable() for c in text)


def test_feet_change_the_sums() -> None:
    # 3.0 m is 9.84 ft, 1.8 m is 5.91 ft: NIST SP 811 (2008), Appendix B.8.
    text = " ".join(to_terminal(reports.hazards(), units="feet").split())
    assert "needed 9.84 ft" in text
    assert "charted depth 5.91 ft" in text


def test_unknown_units_are_refused() -> None:
    with pytest.raises(ValueError):
        to_terminal(reports.hazards(), units="furlongs")


def test_the_mark_list_is_whole_and_in_order() -> None:
    report = reports.hazards()
    lit = replace(
        report,
        marks=tuple(
            replace(m, light="flashing red", top_mark="can", rule="left to port", sure="stated")
            for m in report.marks
        ),
    )
    text = to_terminal(lit, width=200)
    listed = text[text.index("Marks in the order of meeting") :]
    assert len(report.marks) >= 4
    for number, mark in enumerate(report.marks, start=1):
        (at,) = [line for line in listed.splitlines() if line.startswith(f"{number:>4}  ")]
        assert f"leg {mark.leg}, " in at
        assert mark.name in listed
    assert listed.count("; top mark can; light flashing red") == len(report.marks)
    assert listed.count("rule: left to port (direction of buoyage stated)") == len(report.marks)
    assert "wrong side" in listed and "left to starboard" in listed and " m off" in listed


def test_without_marks_there_is_no_mark_list() -> None:
    assert "Marks" not in to_terminal(reports.empty())
