"""Every branch of what is told of too little water, word for word; the boat draws 2 m and wants 1 m
below her keel. Expected sums by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
import shapely

from routecheck.checks.too_little_water import too_little_water
from routecheck.model.chart import Severity
from routecheck.model.finding import Evidence
from routecheck.model.heights import TableHeights
from routecheck.model.passage import Passage, Tide, TideStation
from routecheck.model.source import UNKNOWN_QUALITY, Quality
from routecheck.model.view import DepthFrom, DepthGridMet, DepthMet, Touch
from tests.checks.test_depth_findings import grid
from tests.checks.told import Said, said
from tests.checks.views import EXACT, SOURCE, boat, depth, passage, place, run, view

ROUGH = Quality(name="rough", vertical_m=0.5)
IN_BELT = {"where": place(cross_m=300.0, touch=Touch.BELT, belt_m=500.0)}
BELT = " As charted it lies outside the corridor, but its position is only known to 500 m."
GROUND = " At 2.0 m the keel touches: the boat would ground."
DOUBTFUL = " The sounding is marked doubtful or unreliable."
COARSE = " The chart is coarse, and no larger scale shows this place."


def of_water(depth: str, margin: str, uncertainty: str = "0.0 m") -> str:
    return (
        f"{depth} of water ({depth} charted, +0 m tide) against 3.0 m needed: margin {margin}, "
        f"uncertainty {uncertainty}."
    )


CASES: list[tuple[DepthMet, Said | None]] = [
    (depth(3.0), None),
    (
        depth(2.5),
        ("danger", "depth area charted at 2.5 m: 0.5 m short", of_water("2.5 m", "-0.5 m")),
    ),
    (
        replace(depth(2.5, depth_from=DepthFrom.CONTOUR), name="Bar"),
        ("danger", "depth contour Bar charted at 2.5 m: 0.5 m short", of_water("2.5 m", "-0.5 m")),
    ),
    (
        depth(2.0),
        (
            "danger",
            "depth area charted at 2.0 m: 1.0 m short, the keel touches",
            of_water("2.0 m", "-1.0 m") + GROUND,
        ),
    ),
    (
        depth(0.5),
        (
            "danger",
            "depth area charted at 0.5 m: 2.5 m short, the keel touches",
            of_water("0.5 m", "-2.5 m") + GROUND,
        ),
    ),
    (
        depth(0.0),
        (
            "danger",
            "depth area charted at 0.0 m: 3.0 m short, the keel touches",
            of_water("0.0 m", "-3.0 m") + GROUND,
        ),
    ),
    (
        depth(-0.5),
        (
            "danger",
            "depth area dries 0.5 m: 3.5 m short, the keel touches",
            of_water("-0.5 m", "-3.5 m") + GROUND,
        ),
    ),
    # Out of the corridor as charted, so that nobody can say that the boat would ground.
    (
        depth(0.5, **IN_BELT),
        (
            "caution",
            "depth area charted at 0.5 m: 2.5 m short",
            of_water("0.5 m", "-2.5 m") + BELT,
        ),
    ),
    # Of what is also unreliable and coarse the gravest is told.
    (
        depth(2.5, unreliable=True, coarse=True, **IN_BELT),
        ("caution", "depth area charted at 2.5 m: 0.5 m short", of_water("2.5 m", "-0.5 m") + BELT),
    ),
    (
        depth(2.5, unreliable=True, coarse=True),
        (
            "danger",
            "depth area charted at 2.5 m: 0.5 m short",
            of_water("2.5 m", "-0.5 m") + DOUBTFUL,
        ),
    ),
    (
        depth(2.5, coarse=True),
        (
            "danger",
            "depth area charted at 2.5 m: 0.5 m short",
            of_water("2.5 m", "-0.5 m") + COARSE,
        ),
    ),
    (
        depth(3.2, quality=ROUGH),
        (
            "caution",
            "depth area charted at 3.2 m: margin 0.2 m within its uncertainty",
            of_water("3.2 m", "0.2 m", "0.5 m"),
        ),
    ),
    # An uncertainty that nobody states is more than nothing.
    (
        depth(3.0, quality=UNKNOWN_QUALITY),
        (
            "caution",
            "depth area charted at 3.0 m: margin 0.0 m within its uncertainty",
            of_water("3.0 m", "0.0 m", "not known"),
        ),
    ),
    # Without its part of the corridor drawn, the point nearest the track stands for it.
    (
        replace(depth(2.5), reach_wkb=b""),
        ("danger", "depth area charted at 2.5 m: 0.5 m short", of_water("2.5 m", "-0.5 m")),
    ),
]


@pytest.mark.parametrize("case", range(len(CASES)))
def test_what_is_told(case: int) -> None:
    one, expected = CASES[case]
    found = run(too_little_water, view(depths=(one,)))
    assert said(found) == ([] if expected is None else [expected])
    for finding in found:
        assert (finding.leg, finding.object_key, finding.cls) == (3, "cell/area", "DEPARE")
        assert (finding.along_m, finding.along_to_m) == (100.0, 110.0)
        assert finding.cross_m == one.place.cross_m
        assert (finding.lon_deg, finding.lat_deg) == (10.0, 50.0)
        quality = one.quality.name
        assert finding.rests_on == f"cell, quality {quality}; tide: no tide given: 0 at chart datum"


def test_a_keel_on_the_bottom_with_no_margin_wanted() -> None:
    found = run(too_little_water, view(depths=(depth(2.0),)), passage(boat(under_keel_m=0.0)))
    title = "depth area charted at 2.0 m: 0.0 m short, the keel touches"
    assert [(one.severity, one.title) for one in found] == [(Severity.DANGER, title)]


def test_a_tide_that_is_not_added_is_told() -> None:
    on_msl = view(depths=(depth(2.5, datum="MSL"),))
    (found,) = run(too_little_water, on_msl, passage(tide_m=2.0, tide_datum="MLLW"))
    why = "eights of tide are above MLLW, the depth is below MSL: no tide added"
    assert found.explanation == of_water("2.5 m", "-0.5 m") + f" H{why}."
    assert found.rests_on == f"cell, quality exact; tide: h{why}"


def beside(gap_m: float, metres: float = 2.5, belt_m: float = 0.0, **facts: Any) -> DepthMet:
    """Another depth, `gap_m` beyond the end of the first, which lies from 100 m to 110 m."""
    where = place(110.0 + gap_m, belt_m=belt_m)
    facts = {"depth_from": DepthFrom.SOUNDING, **facts}
    if facts["depth_from"] is DepthFrom.SOUNDING:
        facts["shape"] = shapely.Point(110.0 + gap_m, 0.0)
    return depth(metres, key="cell/other", where=where, **facts)


@pytest.mark.parametrize(
    ("other", "findings"),
    [
        (beside(0.5), 1),
        (beside(1.5), 2),
        # As far as its own place is uncertain, a sounding may lie in the shoal …
        (beside(30.0, belt_m=40.0), 1),
        (beside(41.0, belt_m=40.0), 2),
        # … but not one area in another, whose edges are both drawn.
        (beside(30.0, belt_m=40.0, depth_from=DepthFrom.AREA), 2),
        # A caution looks for a shoal by itself.
        (beside(0.5, 3.2, quality=ROUGH), 1),
        (beside(1.5, 3.2, quality=ROUGH), 2),
    ],
)
def test_what_lies_beside_a_shoal_is_its_evidence(other: DepthMet, findings: int) -> None:
    assert len(run(too_little_water, view(depths=(depth(2.5), other)))) == findings


def test_evidence_is_told_in_full() -> None:
    dot = beside(0.5, 2.7, unreliable=True)
    (found,) = run(too_little_water, view(depths=(depth(2.5), dot, beside(0.5, 2.8))))
    # The two are one object: its worst part stands for it.
    assert found.evidence == (
        Evidence(
            key="cell/other", cls="DEPARE", severity=Severity.DANGER, charted_depth_m=2.7,
            text="sounding, 2.7 m, margin -0.3 m; the sounding is marked doubtful or unreliable",
            lon_deg=10.0, lat_deg=50.0, along_m=110.5, cross_m=0.0, source="cell",
        ),
    )  # fmt: skip
    (found,) = run(too_little_water, view(depths=(depth(2.5), beside(0.5, 2.8))))
    assert found.evidence[0].text == "sounding, 2.8 m, margin -0.2 m"


@pytest.mark.parametrize(
    ("parts", "led_m"),
    [
        # By how far the depth may fall short: -0.3 m is worse than -0.05 m, which has less margin.
        (((3.2, 0.5), (3.1, 0.15)), 3.2),
        (((3.1, 0.15), (3.2, 0.5)), 3.2),
        # A danger before a caution, whatever the uncertainty.
        (((3.2, 5.0), (2.9, 0.0)), 2.9),
    ],
)
def test_the_worst_part_of_an_object_stands_in_front(
    parts: tuple[tuple[float, float], ...], led_m: float
) -> None:
    mets = [depth(m, quality=Quality(name=f"{off}", vertical_m=off)) for m, off in parts]
    (found,) = run(too_little_water, view(depths=tuple(mets)))
    assert found.sums["charted_depth_m"] == led_m
    # Of two alike the first is kept.
    twice = (depth(2.5, quality=EXACT), depth(2.5, quality=Quality(name="same", vertical_m=0.0)))
    (found,) = run(too_little_water, view(depths=twice))
    assert "quality exact" in found.rests_on


def stretches(*along: tuple[float, float], length_m: float, cell_m: float | None) -> DepthGridMet:
    """Parts of a grid with 2.5 m: (where each begins, where its shoalest cell lies)."""
    start, shoalest = np.array(along).T
    source = replace(SOURCE, resolution_m=cell_m)
    return grid(
        [2.5] * len(along),
        source=source,
        along_from_m=start,
        along_to_m=start + length_m,
        along_m=shoalest,
    )


@pytest.mark.parametrize(
    ("length_m", "cell_m", "apart_m"),
    [
        # Cells side by side, corner to corner and a little more: 1.6 of a cell's side.
        (20.0, 50.0, 80.0),
        # As far as two stretches side by side may have theirs, and a tenth.
        (100.0, 10.0, 110.0),
        # Without a cell's size, that of a stretch: a twentieth of a mile.
        (20.0, None, 1.6 * 92.6),
    ],
)
def test_stretches_within_reach_of_each_other_are_one_shoal(
    length_m: float, cell_m: float | None, apart_m: float
) -> None:
    for more_m, findings in ((-0.1, 1), (0.1, 2)):
        met = stretches(
            (1000.0, 1000.0),
            (1300.0, 1000.0 + apart_m + more_m),
            length_m=length_m,
            cell_m=cell_m,
        )
        assert len(run(too_little_water, view(grids=(met,)))) == findings


def test_what_a_grid_tells() -> None:
    met = stretches((0.0, 50.0), (4630.0, 4650.0), length_m=92.6, cell_m=50.0)
    found = run(too_little_water, view(grids=(replace(met, coarse=True),)))
    words = of_water("2.5 m", "-0.5 m")
    coarse = " The source is coarse, and no better one covers this place."
    title = "depth grid charted at 2.5 m: 0.5 m short"
    assert said(found) == 2 * [("danger", title, words + coarse)]
    # 4,630 m are 50 stretches of a twentieth of a mile.
    assert [one.object_key for one in found] == ["cell/stretch/0", "cell/stretch/50"]
    assert [(one.along_m, one.cls) for one in found] == [(50.0, "grid cell"), (4650.0, "grid cell")]
    (plain, _) = run(too_little_water, view(grids=(met,)))
    assert plain.explanation == words


def test_a_grid_at_the_limits() -> None:
    # Just enough by a source whose accuracy nobody states: a caution.
    (one,) = run(too_little_water, view(grids=(grid([3.0], UNKNOWN_QUALITY),)))
    assert one.severity is Severity.CAUTION
    assert run(too_little_water, view(grids=(grid([]),))) == []
    # The tide's uncertainty comes on top of the grid's: 0.5 m and 0.3 m.
    station = TideStation(name="station", constant_m=0.0)
    tide = Tide(datum="chart datum", uncertainty_m=0.3, stations=(station,))
    by = Passage(boat=boat(), tide=tide)
    found = run(too_little_water, view(grids=(grid([3.7, 3.9], ROUGH),)), by)
    assert [one.sums["uncertainty_m"] for one in found] == [0.8]


def test_low_water_at_the_far_end_of_a_grid_counts_there() -> None:
    """30 miles and six hours on, where the tide is 1 m below its datum: 2.3 m, 0.7 m short."""
    start_s = datetime(2027, 5, 14, tzinfo=UTC).timestamp()
    falling = TableHeights(
        event_s=start_s + 3600.0 * np.array([-6.0, 0.0, 6.0, 12.0]),
        event_m=np.array([-1.0, 1.0, -1.0, 1.0]),
    )
    station = TideStation(name="Bar", heights=falling)
    by = Passage(
        boat=replace(boat(), margins=replace(boat().margins, eta_s=0.0)),
        tide=Tide(datum="chart datum", uncertainty_m=0.0, stations=(station,)),
        depart_s=start_s,
        offset_s=0.0,
        speed_kn=5.0,
    )
    start = np.array([0.0, 30.0 * 1852.0])
    far = grid([9.0, 3.3], along_from_m=start, along_to_m=start + 10.0, along_m=start)
    (found,) = run(too_little_water, view(grids=(far,)), by)
    assert found.severity is Severity.DANGER
    assert found.sums["margin_m"] == pytest.approx(-0.7, abs=0.01)
