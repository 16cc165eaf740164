"""The width of what is gone through: bridges and tunnels, from files to the finding.

HORCLR: IHO S-57 edition 3.1, appendix A, attribute 98.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from routecheck.checks.span_too_narrow import span_too_narrow
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.view import Touch
from tests.checks.test_span_overhead import span
from tests.checks.views import boat, met, passage, place, run, view
from tests.readers.test_s101 import LINE, one
from tests.readers.test_vector import read

WAY = {"geometry": LINE}


def found(
    width_m: float | None, beam_m: float | None, cls: str = "BRIDGE", **where: Any
) -> list[Finding]:
    by = passage(replace(boat(), beam_m=beam_m))
    of = span(cls=cls, name="Old", horizontal_clearance_m=width_m)
    return list(run(span_too_narrow, view(spans=(met(of, place(**where)),)), by))


@pytest.mark.parametrize(("cls", "word"), [("BRIDGE", "bridge"), ("TUNNEL", "tunnel")])
@pytest.mark.parametrize("beam_m", [3.0, 3.5])
def test_too_narrow(beam_m: float, cls: str, word: str) -> None:
    """a bridge narrower than the boat is a danger"""
    (told,) = found(3.0, beam_m, cls)
    assert told.severity is Severity.DANGER
    assert told.title == f"{word} Old: narrower than the boat"
    assert told.explanation == "She does not fit through."
    assert told.sums == {"horizontal_clearance_m": 3.0, "beam_m": beam_m}


def test_wide_enough() -> None:
    """a bridge wider than the boat says nothing"""
    assert found(3.1, 3.0) == []


@pytest.mark.parametrize("beam_m", [None, 3.0])
def test_no_width_says_nothing(beam_m: float | None) -> None:
    assert found(None, beam_m) == []


def test_no_beam() -> None:
    """a bridge with a width and a boat without a beam is not assessed"""
    (told,) = found(12.0, None)
    assert told.severity is Severity.NOT_ASSESSED
    assert told.title == "bridge Old: 12.0 m wide, and no beam given"
    assert (told.settle, told.sums) == ("give beam", {"horizontal_clearance_m": 12.0})


def test_one_that_may_only_reach_the_corridor() -> None:
    (told,) = found(2.0, 3.0, touch=Touch.BELT, belt_m=300.0)
    assert told.severity is Severity.CAUTION
    assert told.explanation.endswith("its position is only known to 300 m.")
    (told,) = found(2.0, None, touch=Touch.BELT)
    assert told.severity is Severity.NOT_ASSESSED


@pytest.mark.parametrize("cls", ["BRIDGE", "TUNNEL"])
def test_the_width_in_a_file(tmp_path: Path, cls: str) -> None:
    (made,) = read(tmp_path, {"class": cls, "VERCLR": 60, "HORCLR": 2.0, **WAY}).spans
    assert made.horizontal_clearance_m == 2.0


def test_the_width_of_a_gate_is_judged_with_the_gate(tmp_path: Path) -> None:
    chart = read(tmp_path, {"class": "GATCON", "VERCLR": 60, "HORCLR": 2.0, **WAY})
    assert [made.horizontal_clearance_m for made in (*chart.spans, *chart.areas)] == [None, 2.0]


def test_the_width_in_seamark_tags(tmp_path: Path) -> None:
    tags = {"seamark:type": "bridge", "seamark:bridge:clearance_width": "2", **WAY}
    (made,) = read(tmp_path, tags).spans
    assert made.horizontal_clearance_m == 2.0


@pytest.mark.parametrize("cls", ["SpanFixed", "SpanOpening", "Bridge"])
def test_the_width_in_s101(tmp_path: Path, cls: str) -> None:
    width = {"horizontalClearanceValue": "2.0"}
    (made,) = one(tmp_path, cls, LINE, horizontalClearanceFixed=width).spans
    assert made.horizontal_clearance_m == 2.0
