"""Cables and pipes on the bed. CATPIP 2 is an outfall, 3 an intake (IHO S-57, attribute 47)."""

from __future__ import annotations

from routecheck.checks.cable_or_pipe_below import cable_or_pipe_below
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import LINE, across, area, beside, leg, near
from tests.checks.views import run


def test_one_note_for_all() -> None:
    """three cables across the corridor are one note"""
    cables = [across(area(AreaKind.CABLE, key=f"cell/CBLSUB/{n}", geometry=LINE)) for n in range(3)]
    pipes = beside(area(AreaKind.PIPELINE_AREA, 2, 6, 24, key="cell/PIPARE/1"))
    (finding,) = run(cable_or_pipe_below, leg(*cables, pipes))
    assert finding.severity is Severity.NOTE
    assert finding.title == "3 submarine cables, 1 pipeline area below the corridor"
    assert [e.key for e in finding.evidence] == ["cell/CBLSUB/1", "cell/CBLSUB/2", "cell/PIPARE/1"]
    assert "dragging prohibited" in finding.evidence[-1].text


def test_a_note_needs_the_corridor() -> None:
    assert run(cable_or_pipe_below, leg(near(area(AreaKind.CABLE, geometry=LINE)))) == []


def test_the_end_of_an_outfall_is_a_caution() -> None:
    pipe = area(AreaKind.PIPELINE, categories=(2,), geometry=LINE)
    for where in (across, near):
        (finding,) = run(cable_or_pipe_below, leg(where(pipe)))
        assert finding.severity is Severity.CAUTION
