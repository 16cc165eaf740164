"""Holes of one chunk, each with its reason, its place and its size; in metres on the equator.

The corridor is 100 m either side of a leg of 5,000 m.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import Solid, SolidKind, Span
from routecheck.model.source import UNKNOWN_QUALITY, Source, SourceKind
from routecheck.survey.cover import (
    CHART_LAYERS,
    GridCover,
    Pieces,
    cover_chunk,
)
from routecheck.survey.overlay import NOTHING
from tests.survey.charts import EXACT, covered, depth_area, rock, source, unsurveyed, zone
from tests.survey.equator import Shape, at, box, locals_on, planes

WHOLE = box(-400.0, 20000.0, -500.0, 500.0)
HOLE = box(1000.0, 2000.0, -500.0, 500.0)
FIRST, SECOND = box(1000.0, 1500.0, -500.0, 500.0), box(1500.0, 2000.0, -500.0, 500.0)
ROUND = WHOLE.difference(HOLE)
METRE = 0.05


def cell(name: str, *areas: Shape, depth_m: float = 9.0, **more: object) -> Chart:
    of = {key: more.pop(key) for key in list(more) if key in Source.__dataclass_fields__}
    facts = {
        "depth_areas": tuple(depth_area(str(n), a, depth_m, name) for n, a in enumerate(areas)),
        "coverage": (covered(WHOLE, name),),
        **more,
    }
    return Chart(source=source(name, **of), **facts)  # type: ignore[arg-type]


def grid(hole: Shape, **more: object) -> GridCover:
    of = source("g", kind=SourceKind.GRID, scale=None, resolution_m=250.0)
    facts = {"source": of, "quality": EXACT, "clears": True, "hole": hole, **more}
    return GridCover(**facts)  # type: ignore[arg-type]


def pieces(*held: Chart | GridCover, length_m: float = 5000.0, **settings: float) -> Pieces:
    found = Pieces()
    charts = [one for one in held if isinstance(one, Chart)]
    grids = [one for one in held if isinstance(one, GridCover)]
    for on in planes(length_m):
        cover_chunk(on, locals_on(on, *charts, **settings), grids, found)
    return found


Told = dict[tuple[str, str, str], tuple[int, int]]


def told(*held: Chart | GridCover, layer: str | None = "depth") -> Told:
    """(layer, why, what would settle it): from where to where."""
    return {
        (g.layer, g.why, g.settle): (round(g.along_from_m), round(g.along_to_m))
        for g in pieces(*held).gaps.values()
        if layer is None or g.layer == layer
    }


NONE = ("depth", "no depth is charted", "give a chart that covers it")
UNSURVEYED = ("depth", "charted as unsurveyed", "none: nobody has surveyed it")
BARE = ("depth", "a charts water here without a depth", "give a chart that states it")
COARSE = (
    "depth",
    "b is compiled at 1:200000, too small a scale to clear",
    "give a chart of larger scale",
)
MSL = ("depth", "depths of b are on MSL, which cannot clear", "state the chart datum in a sidecar")
GUESSED = (
    "depth",
    "g holds no measured depth here (interpolated or predicted)",
    "give a survey or a chart",
)
WIDE = ("depth", "cells of g are 250 m wide, too coarse", "give a finer grid or a chart")


def unsurveyed_in(where: Shape) -> dict[str, object]:
    return {"unsurveyed": (unsurveyed("u", where, "a"),)}


def bare_in(where: Shape) -> dict[str, object]:
    areas = depth_area("r", ROUND, 9.0, "a"), depth_area("b", where, None, "a")
    return {"depth_areas": areas}


def on_datum(one: GridCover, datum: str) -> GridCover:
    return replace(one, source=replace(one.source, datum=datum), clears=False)


@pytest.mark.parametrize(
    ("held", "reasons"),
    [
        ([], {NONE: (0, 5000)}),
        ([cell("a", WHOLE)], {}),
        ([cell("a", ROUND)], {NONE: (1000, 2000)}),
        ([cell("a", WHOLE, **unsurveyed_in(HOLE))], {UNSURVEYED: (1000, 2000)}),
        ([cell("a", **bare_in(HOLE))], {BARE: (1000, 2000)}),
        # The most telling reason first, and each part of the hole under one alone.
        (
            [cell("a", **bare_in(HOLE), **unsurveyed_in(FIRST))],
            {UNSURVEYED: (1000, 1500), BARE: (1500, 2000)},
        ),
        ([cell("a", **bare_in(FIRST))], {BARE: (1000, 1500), NONE: (1500, 2000)}),
        ([cell("b", WHOLE, scale=200_000.0)], {COARSE: (0, 5000)}),
        # A larger scale's hole is its own: the smaller one has nothing to say of it.
        ([cell("a", ROUND), cell("b", WHOLE, scale=200_000.0)], {NONE: (1000, 2000)}),
        (
            [cell("a", ROUND, coverage=(covered(ROUND),)), cell("b", WHOLE, scale=200_000.0)],
            {COARSE: (1000, 2000)},
        ),
        (
            [cell("a", ROUND, coverage=(covered(ROUND),)), cell("b", FIRST, scale=200_000.0)],
            {COARSE: (1000, 1500), NONE: (1500, 2000)},
        ),
        ([cell("a", ROUND), cell("b", HOLE, datum="MSL")], {MSL: (1000, 2000)}),
        ([cell("a", ROUND), cell("b", HOLE, datum="MSL", datum_below_msl_m=1.0)], {}),
        (
            [cell("a", ROUND), cell("b", SECOND, datum="unknown")],
            {
                (MSL[0], "depths of b are on an unknown datum, which cannot clear", MSL[2]): (
                    1500,
                    2000,
                ),
                NONE: (1000, 1500),
            },
        ),
        # Grids: what one that clears does not see, nor another.
        ([grid(NOTHING)], {}),
        ([grid(HOLE)], {NONE: (1000, 2000)}),
        ([grid(HOLE), cell("a", HOLE)], {}),
        ([grid(FIRST), grid(HOLE)], {NONE: (1000, 1500)}),
        ([grid(FIRST), grid(SECOND)], {}),
        ([cell("a", ROUND), grid(FIRST)], {NONE: (1000, 1500)}),
        ([cell("a", **bare_in(HOLE)), grid(SECOND)], {BARE: (1500, 2000)}),
        ([grid(NOTHING, not_measured=HOLE)], {GUESSED: (1000, 2000)}),
        ([grid(FIRST, not_measured=HOLE)], {GUESSED: (1500, 2000), NONE: (1000, 1500)}),
        ([grid(HOLE, not_measured=FIRST)], {NONE: (1000, 2000)}),
        ([grid(HOLE, clears=False, coarse=True)], {WIDE: (0, 5000), NONE: (1000, 2000)}),
        (
            [cell("a", ROUND), grid(FIRST, clears=False, coarse=True)],
            {WIDE: (1500, 2000), NONE: (1000, 1500)},
        ),
        (
            [cell("a", ROUND), on_datum(grid(FIRST), "MSL")],
            {
                ("depth", "depths of g are on MSL, which cannot clear",
                 "state the datum in a sidecar"): (1500, 2000),
                NONE: (1000, 1500),
            },
        ),
        (
            [cell("a", ROUND), on_datum(grid(NOTHING), "unknown")],
            {
                ("depth", "depths of g are on an unknown datum, which cannot clear",
                 "state the datum in a sidecar"): (1000, 2000)
            },
        ),
    ],
)  # fmt: skip
def test_why_no_depth_clears(held: list[Chart | GridCover], reasons: Told) -> None:
    assert told(*held) == reasons


NO_CHART = ("no chart that shows these covers this water", "give a chart that covers it")
TOO_SMALL = (
    "only a chart compiled at too small a scale covers this water",
    "give a chart of larger scale",
)
OTHERS = ("dangers", "land", "marks", "overhead", "areas")


def test_the_other_layers() -> None:
    assert tuple(CHART_LAYERS) == OTHERS
    ends = (covered(ROUND),)
    none = {(layer, *NO_CHART): (1000, 2000) for layer in OTHERS}
    small = {(layer, *TOO_SMALL): (1000, 2000) for layer in OTHERS}
    assert told(cell("a", ROUND, coverage=ends), grid(NOTHING), layer=None) == none
    coarse = cell("b", WHOLE, scale=200_000.0)
    assert told(cell("a", ROUND, coverage=ends), coarse, grid(NOTHING), layer=None) == small
    half = cell("b", WHOLE, scale=200_000.0, coverage=(covered(FIRST),))
    assert told(cell("a", ROUND, coverage=ends), half, grid(NOTHING), layer=None) == {
        (layer, *why): reach
        for layer in OTHERS
        for why, reach in ((TOO_SMALL, (1000, 1500)), (NO_CHART, (1500, 2000)))
    }
    # A cell that states no coverage of its own shows all layers where it states depths.
    assert told(cell("a", ROUND, coverage=()), grid(NOTHING), layer=None) == none
    found = told(cell("a", WHOLE, **unsurveyed_in(HOLE)), grid(NOTHING), layer=None)
    assert found == {("dangers", *UNSURVEYED[1:]): (1000, 2000)}
    # Where a larger scale shows the water, what a smaller one calls unsurveyed is not.
    hidden = cell("a", WHOLE, scale=50_000.0, **unsurveyed_in(HOLE))
    assert told(cell("fine", FIRST, coverage=(covered(FIRST),)), hidden, layer=None) == {
        (layer, *UNSURVEYED[1:]): (1500, 2000) for layer in ("depth", "dangers")
    }


@pytest.mark.parametrize(
    ("held", "missing"),
    [
        ({}, OTHERS),
        ({"dangers": (rock("r", *at(0.0, 9e3), of="f"),)}, ("land", "marks", "overhead", "areas")),
        ({"solids": (Solid(key="f/s", cls="SLCONS", source="f", geometry=shapely.Point(0.0, 0.08),
                           kind=SolidKind.STRUCTURE),)}, ("dangers", "marks", "overhead", "areas")),
        ({"spans": (Span(key="f/b", cls="BRIDGE", source="f", geometry=shapely.Point(0.0, 0.08)),)},
         ("dangers", "land", "marks", "areas")),
        ({"coverage": (covered(WHOLE, "f"),)}, ()),
        ({"coverage": (covered(WHOLE, "f"),), "proves_absence": False}, OTHERS),
    ],
)  # fmt: skip
def test_a_loose_file_shows_the_layers_that_it_holds(
    held: dict[str, object], missing: tuple[str, ...]
) -> None:
    """One with coverage of its own shows all; one filled in here and there shows nothing."""
    facts = {"kind": SourceKind.VECTOR, "scale": None, "coverage": (), **held}
    found = told(cell("f", WHOLE, **facts), layer=None)
    assert found == {(layer, *NO_CHART): (0, 5000) for layer in missing}
    # Where another chart shows all, and where that ends.
    ends = cell("round", ROUND, coverage=(covered(ROUND, "round"),))
    found = told(cell("f", WHOLE, **facts), ends, layer=None)
    assert found == {(layer, *NO_CHART): (1000, 2000) for layer in missing}
    whole = cell("whole", WHOLE)
    assert told(cell("f", WHOLE, **facts), whole, layer=None) == {}


WRECK = replace(rock("w", 0.0, 0.0, 300.0, of="b"), geometry=HOLE)


@pytest.mark.parametrize(
    ("held", "water"),
    [
        ([cell("b", WHOLE, depth_m=200.0, scale=2e5)], ("b", 0, 5000, 200.0)),
        ([cell("b", WHOLE, depth_m=199.9, scale=2e5)], None),
        ([cell("b", HOLE, depth_m=300.0, scale=2e5)], ("b", 1000, 2000, 200.0)),
        ([cell("b", HOLE, depth_m=300.0, scale=2e5, datum="MSL")], None),
        ([cell("a", FIRST, coverage=(covered(FIRST, "a"),)),
          cell("b", HOLE, depth_m=300.0, scale=2e5)], ("b", 1500, 2000, 200.0)),
        ([cell("a", WHOLE), cell("b", WHOLE, depth_m=300.0, scale=2e5)], None),
        ([cell("a", WHOLE, depth_m=300.0)], None),
        ([cell("b", scale=2e5, depth_areas=(depth_area("d", HOLE, 300.0, "b"),
                                            depth_area("n", FIRST, None, "b")))],
         ("b", 1500, 2000, 200.0)),
        # The depth of a wreck as large as that is no depth of the water.
        ([cell("b", WHOLE, depth_m=50.0, scale=2e5, dangers=(WRECK,))], None),
        ([grid(NOTHING, clears=False, coarse=True, deep=HOLE, shoalest_m=230.0)],
         ("g", 1000, 2000, 230.0)),
        ([cell("a", FIRST), grid(NOTHING, clears=False, coarse=True, deep=HOLE, shoalest_m=230.0)],
         ("g", 1500, 2000, 230.0)),
        ([grid(NOTHING, clears=False, coarse=True)], None),
        ([on_datum(grid(NOTHING, deep=HOLE), "MSL")], None),  # not for being coarse
    ],
)  # fmt: skip
def test_deep_water_under_a_coarse_source_alone(
    held: list[Chart | GridCover], water: tuple[str, int, int, float] | None
) -> None:
    found = [
        (w.source.id, round(w.along_from_m), round(w.along_to_m), w.shoalest_m)
        for w in pieces(*held).coarse.values()
    ]
    assert found == ([water] if water else [])
    covered_m2 = sum(g.area_m2 for g in pieces(*held).gaps.values() if g.layer == "depth")
    if water == ("b", 0, 5000, 200.0):
        assert covered_m2 == 0.0  # it clears


def unknown(*held: Chart | GridCover) -> list[tuple[str, str, int, int]]:
    return [
        (run.source.id, run.quality.name, round(run.along_from_m), round(run.along_to_m))
        for run in pieces(*held).unknown.values()
    ]


U, UNASSESSED = {"quality": UNKNOWN_QUALITY}, "CATZOC U (unassessed)"
MARKED = "marked as not to be trusted (QUASOU)"


def marked(where: Shape) -> dict[str, object]:
    area = replace(depth_area("q", where, 9.0, "a"), unreliable=True)
    return {"depth_areas": (depth_area("w", WHOLE, 9.0, "a"), area)}


@pytest.mark.parametrize(
    ("held", "runs"),
    [
        ([cell("a", WHOLE)], []),
        ([cell("a", WHOLE, **U)], [("a", "unknown", 0, 5000)]),
        ([cell("a", HOLE, **U)], [("a", "unknown", 1000, 2000)]),
        ([cell("a", WHOLE, quality_zones=(zone("z", HOLE, 6, "a"),))],
         [("a", UNASSESSED, 1000, 2000)]),
        ([cell("a", WHOLE, quality_zones=(zone("z", HOLE, 1, "a"),))], []),
        ([cell("a", WHOLE, quality_zones=(zone("z", ROUND, 1, "a"),), **U)],
         [("a", "unknown", 1000, 2000)]),
        ([cell("a", WHOLE, quality_zones=(zone("y", FIRST, 5, "a"), zone("z", HOLE, 6, "a")))],
         [("a", UNASSESSED, 1000, 2000)]),
        ([cell("a", WHOLE, quality_zones=(zone("y", FIRST, 6, "a"), zone("z", HOLE, 5, "a")))],
         [("a", UNASSESSED, 1000, 1500), ("a", "CATZOC D", 1500, 2000)]),
        ([cell("a", **marked(HOLE))], [("a", MARKED, 1000, 2000)]),
        ([cell("a", **marked(FIRST), quality_zones=(zone("z", HOLE, 6, "a"),))],
         [("a", MARKED, 1000, 1500), ("a", UNASSESSED, 1500, 2000)]),
        # What another source knows is known: of one scale, or a grid.
        ([cell("a", WHOLE, **U), cell("c", ROUND)], [("a", "unknown", 1000, 2000)]),
        ([cell("a", WHOLE, **U), grid(HOLE)], [("a", "unknown", 1000, 2000)]),
        ([cell("a", WHOLE, **U), grid(NOTHING, unknown=HOLE)], [("a", "unknown", 1000, 2000)]),
        ([cell("a", WHOLE, **U), grid(FIRST), grid(HOLE)], [("a", "unknown", 1000, 1500)]),
        ([cell("a", WHOLE, **U), grid(NOTHING, clears=False)], [("a", "unknown", 0, 5000)]),
        ([cell("a", WHOLE, **U), cell("b", WHOLE, datum="MSL")], [("a", "unknown", 0, 5000)]),
        # A coarse source is not asked, nor one that does not clear.
        ([cell("b", WHOLE, depth_m=300.0, scale=2e5, **U)], []),
        ([cell("b", WHOLE, datum="MSL", **U)], []),
        ([grid(NOTHING, quality=UNKNOWN_QUALITY)], [("g", "unknown", 0, 5000)]),
        ([grid(ROUND, quality=UNKNOWN_QUALITY)], [("g", "unknown", 1000, 2000)]),
        ([grid(NOTHING, unknown=HOLE)], [("g", "unknown", 1000, 2000)]),
        ([grid(FIRST, unknown=HOLE)], [("g", "unknown", 1500, 2000)]),
        ([cell("a", FIRST, **U), grid(FIRST, quality=UNKNOWN_QUALITY)],
         [("a", "unknown", 1000, 1500), ("g", "unknown", 0, 5000)]),
        ([grid(NOTHING, quality=UNKNOWN_QUALITY, clears=False)], []),
        ([grid(NOTHING, source=source("no"), clears=False, quality=UNKNOWN_QUALITY),
          grid(NOTHING, quality=UNKNOWN_QUALITY)], [("g", "unknown", 0, 5000)]),
        ([grid(NOTHING)], []),
    ],
)  # fmt: skip
def test_where_only_depths_of_unknown_quality_clear(
    held: list[Chart | GridCover], runs: list[tuple[str, str, int, int]]
) -> None:
    assert unknown(*held) == runs
