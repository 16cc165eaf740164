"""Zones of buoyage at a place, by trust, by scale and the innermost first."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import BuoyageZone, Mark, MarkKind
from routecheck.model.passes import GroundKind
from routecheck.model.source import SourceKind
from routecheck.survey.zones import Zones, foremost
from tests.survey.charts import source

Shape = shapely.geometry.base.BaseGeometry
BIG, MIDDLE, SMALL = (shapely.box(-r, -r, r, r) for r in (9.0, 6.0, 3.0))


def zone(
    name: str,
    where: Shape = SMALL,
    region: str = "",
    direction_deg: float | None = None,
    user: bool = False,
    key: str = "k",
) -> BuoyageZone:
    return BuoyageZone(
        key=f"x/M_NSYS/{key}", cls="M_NSYS", source="x", geometry=where, name=name,
        region=region, direction_of_buoyage_deg=direction_deg, from_user=user,
    )  # fmt: skip


def chart(name: str, *zones: BuoyageZone, scale: float | None = 20_000.0, **more: object) -> Chart:
    return Chart(source=source(name, scale=scale, **more), buoyage_zones=zones)


def names(
    *charts: Chart, user: tuple[BuoyageZone, ...] = (), at: tuple[float, float] = (0.0, 0.0)
) -> list[str]:
    zones = Zones(ChartSet(charts=charts, zones=user))
    (found,) = zones.at(np.array([at[0]]), np.array([at[1]]))
    return [held.text for held in found]


def test_who_comes_first_and_how_each_is_called() -> None:
    """The user's, wherever they stand; cells by scale, then files; of each the smaller first."""
    charts = (
        chart("file", zone("f"), scale=5_000.0, kind=SourceKind.VECTOR),
        chart("coast", zone("big", BIG), zone("small"), zone("", MIDDLE, key="Z7"), scale=90_000.0),
        chart("port", zone("p", BIG), zone("own", BIG, user=True), scale=10_000.0),
    )
    assert names(*charts, user=(zone("mine", MIDDLE),)) == [
        "the user's zone mine",
        "the user's zone own",
        "port (zone p)",
        "coast (zone small)",
        "coast (zone Z7)",
        "coast (zone big)",
        "file (zone f)",
    ]
    assert names(*charts, at=(8.0, 0.0)) == [
        "the user's zone own", "port (zone p)", "coast (zone big)",
    ]  # fmt: skip
    assert names(*charts, at=(20.0, 0.0)) == []
    port = chart("port", zone("own", SMALL, user=True))
    users = ["the user's zone own", "the user's zone mine"]
    assert names(port, user=(zone("mine", BIG),)) == users


@pytest.mark.parametrize(
    ("where", "lon", "inside"),
    [
        (shapely.box(175.0, 0.0, 185.0, 1.0), -179.0, True),
        (shapely.box(-185.0, 0.0, -175.0, 1.0), 179.0, True),
        (shapely.box(-10.0, 0.0, 10.0, 1.0), 5.0, True),
        (shapely.box(-10.0, 0.0, 10.0, 1.0), 10.0, True),  # on its edge
        (shapely.box(-10.0, 0.0, 10.0, 1.0), 10.001, False),
        (shapely.box(175.0, 0.0, 185.0, 1.0), -174.0, False),
    ],
)
def test_a_zone_holds_a_whole_turn_off_as_well(where: Shape, lon: float, inside: bool) -> None:
    assert bool(names(chart("c", zone("z", where)), at=(lon, 0.5))) is inside


def stated(
    charts: tuple[Chart, ...],
    user: tuple[BuoyageZone, ...] = (),
    option: str = "",
    own: str = "",
) -> tuple[list[tuple[str, str]], list[tuple[str, float | None, GroundKind]]]:
    zones = Zones(ChartSet(charts=charts, zones=user))
    (here,) = zones.at(np.array([0.0]), np.array([0.0]))
    mark = Mark(key="x/m", cls="BOYLAT", source="x", geometry=shapely.Point(0.0, 0.0),
                kind=MarkKind.LATERAL, region=own)  # fmt: skip
    return (
        [(s.text, s.region) for s in zones.regions(here, mark, option)],
        [(s.text, s.direction_deg, s.kind) for s in zones.directions(here)],
    )


def test_the_region_in_order_of_trust() -> None:
    charts = (chart("c", zone("sea", BIG, "B"), zone("dir", SMALL, "", 10.0)),)
    users = (zone("wide", BIG, "A"), zone("near", MIDDLE, "B"), zone("silent", SMALL, "", 20.0))
    regions, _ = stated(charts, users, option="A", own="B")
    assert regions == [
        ("the user's zone near", "B"),  # the smallest that states a region, and no other
        ("--region", "A"),
        ("the mark itself", "B"),
        ("c (zone sea)", "B"),
    ]
    assert stated(charts)[0] == [("c (zone sea)", "B")]
    assert stated((), own="A")[0] == [("the mark itself", "A")]
    assert stated((), option="B")[0] == [("--region", "B")]
    assert stated(())[0] == []


@pytest.mark.parametrize("silent", [0, 1, 2, 3])
def test_a_chart_is_trusted_less_than_the_mark_however_many_charts_rank_before_it(
    silent: int,
) -> None:
    """Better charts that state nothing here lift no other one's zone above what is trusted more."""
    before = tuple(chart(f"c{n}", scale=10_000.0 + n) for n in range(silent))
    zones = Zones(ChartSet(charts=(*before, chart("last", zone("sea", BIG, "B"), scale=50_000.0))))
    (here,) = zones.at(np.array([0.0]), np.array([0.0]))
    for option, own, texts in (
        ("", "A", ["the mark itself"]),
        ("A", "", ["--region"]),
        ("A", "B", ["--region"]),
        ("", "", ["last (zone sea)"]),
    ):
        mark = Mark(key="x/m", cls="BOYLAT", source="x", geometry=shapely.Point(0.0, 0.0),
                    kind=MarkKind.LATERAL, region=own)  # fmt: skip
        assert [s.text for s in foremost(zones.regions(here, mark, option))] == texts


def test_the_direction_in_order_of_trust() -> None:
    charts = (chart("c", zone("sea", BIG, "B"), zone("dir", BIG, "", 0.0)),)
    mine = (zone("mine", MIDDLE, "", 20.0), zone("silent", SMALL, "A"))
    assert stated(charts, mine)[1] == [
        ("the user's zone mine", 20.0, GroundKind.USER_ZONE),
        ("c (zone dir)", 0.0, GroundKind.CHART),
    ]


@pytest.mark.parametrize(("first", "second"), [(10_000.0, 20_000.0), (20_000.0, None)])
def test_only_the_largest_scale_that_states_anything(first: float, second: float | None) -> None:
    large = chart("large", zone("l", MIDDLE, "A", 10.0), scale=first)
    again = chart("again", zone("g", BIG, "A", 20.0), scale=first)
    small = chart("small", zone("s", SMALL, "B", 180.0), scale=second)
    regions, directions = stated((small, large, again))
    assert {text for text, _ in regions} == {"large (zone l)", "again (zone g)"}
    assert {text for text, *_ in directions} == {"large (zone l)", "again (zone g)"}
    silent = chart("large", zone("l", MIDDLE), scale=first)
    regions, directions = stated((small, silent))
    assert [text for text, _ in regions] == ["small (zone s)"]
    assert [text for text, *_ in directions] == ["small (zone s)"]


BLOCK = shapely.box(-1.5, -1.0, 1.5, 2.0)


def sticking_out(share: float) -> tuple[Shape, Shape]:
    """A zone of a square degree, and a larger one that leaves a share of it outside."""
    return shapely.box(-0.5, -0.5, 0.5, 0.5), shapely.box(-0.5 + share, -2.0, 2.0, 2.0)


@pytest.mark.parametrize(
    ("inner", "outer", "kept"),
    [
        (SMALL, BIG, ["inner"]),
        (SMALL, SMALL, ["inner", "outer"]),  # of one size neither is the exception
        (SMALL, shapely.box(-3.0, -3.0, 3.0, 3.66), ["inner", "outer"]),  # nor of nearly one
        (SMALL, shapely.box(-3.0, -3.0, 3.0, 3.67), ["inner"]),
        # Nine square degrees of ten: nine tenths to the last bit are no smaller share.
        (BLOCK, BLOCK.union(shapely.box(1.5, 0.0, 2.5, 1.0)), ["inner", "outer"]),
        (*sticking_out(0.0099), ["inner"]),  # a hundredth may stick out
        (*sticking_out(0.0101), ["inner", "outer"]),
        # One of a hundred square degrees exactly: what may, does.
        (shapely.box(-50.0, -0.5, 50.0, 0.5), shapely.box(-49.0, -60.0, 60.0, 60.0), ["inner"]),
        (shapely.box(-1.0, -1.0, 1.0, 1.0), shapely.box(0.0, -3.0, 5.0, 3.0), ["inner", "outer"]),
    ],
)
def test_a_zone_that_holds_a_smaller_one_whole_is_the_general_statement(
    inner: Shape, outer: Shape, kept: list[str]
) -> None:
    one = chart("c", zone("outer", outer, "A", 10.0), zone("inner", inner, "B", 20.0))
    regions, directions = stated((one,))
    wanted = [f"c (zone {name})" for name in kept]
    assert sorted(text for text, _ in regions) == wanted
    assert sorted(text for text, *_ in directions) == wanted
    # Of two charts, or of the user's and a chart's, neither is the other's exception.
    two = chart("c", zone("outer", outer, "A", 10.0)), chart("d", zone("inner", inner, "B", 20.0))
    assert len(stated(two)[1]) == 2
    users = stated((two[0],), (zone("inner", inner, "B", 20.0),))[1]
    assert [kind for *_, kind in users] == [GroundKind.USER_ZONE, GroundKind.CHART]


def test_three_zones_in_one_another() -> None:
    held = (zone("a", BIG, "", 1.0), zone("b", MIDDLE, "", 2.0), zone("c", SMALL, "", 3.0))
    assert [text for text, *_ in stated((chart("x", *held),))[1]] == ["x (zone c)"]
    # The smallest may lie in the largest alone: the one between is no exception to it.
    beside = shapely.box(-1.0, -8.0, 8.0, -2.0).union(shapely.box(-1.0, -2.0, 1.0, 1.0))
    held = (zone("a", BIG, "", 1.0), zone("b", beside, "", 2.0), zone("c", SMALL, "", 3.0))
    assert [text for text, *_ in stated((chart("x", *held),))[1]] == ["x (zone c)", "x (zone b)"]
