"""Cables and pipes on the bed. CATPIP 2 is an outfall, 3 an intake (IHO S-57, attribute 47)."""

from __future__ import annotations

import pytest

from routecheck.checks.cable_or_pipe_below import cable_or_pipe_below
from routecheck.model.areas import Area, AreaKind
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


def pipe(*categories: int, kind: AreaKind = AreaKind.PIPELINE, number: int = 0) -> Area:
    return area(kind, key=f"cell/{kind.name}/{number}", categories=categories, geometry=LINE)


@pytest.mark.parametrize(
    ("thing", "severity"),
    [
        # IHO S-57 ed. 3.1, attribute 47 (CATPIP): 2 outfall, 3 intake, 4 sewer, 6 supply.
        (pipe(2), "caution"),
        (pipe(3), "caution"),
        (pipe(6, 3), "caution"),
        (pipe(4), "note"),
        (pipe(6), "note"),
        (pipe(), "note"),
        (pipe(2, kind=AreaKind.PIPELINE_AREA), "note"),
        (pipe(2, kind=AreaKind.CABLE), "note"),
    ],
)
def test_which_pipes_may_rise_from_the_bed(thing: Area, severity: str) -> None:
    assert [one.severity for one in run(cable_or_pipe_below, leg(across(thing)))] == [severity]


def test_what_may_rise_is_told_one_by_one_and_the_rest_together() -> None:
    ends = [pipe(2, number=1), pipe(3, number=2)]
    quiet = [pipe(number=n, kind=AreaKind.CABLE) for n in (3, 4)] + [pipe(number=5)]
    mets = [across(thing) for thing in (quiet[0], ends[0], quiet[1], ends[1], quiet[2])]
    found = run(cable_or_pipe_below, leg(*mets, near(pipe(number=6))))
    keys = ["cell/PIPELINE/1", "cell/PIPELINE/2", "cell/CABLE/3"]
    assert [one.object_key for one in found] == keys
    assert found[2].title == "2 submarine cables, 1 submarine pipeline below the corridor"
    assert [held.key for held in found[2].evidence] == ["cell/CABLE/4", "cell/PIPELINE/5"]
    alone = run(cable_or_pipe_below, leg(*mets[:2]))
    assert [one.title for one in alone] == [
        "submarine pipeline: an outfall or intake of unknown depth",
        "submarine cable below the corridor",
    ]
    assert [one.evidence for one in alone] == [(), ()]
