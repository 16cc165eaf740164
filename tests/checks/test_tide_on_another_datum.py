"""Heights of tide on a datum that no one relates to that of the depths.

Of the low waters of which MLLW is the mean about half fall below it (NOAA, Tide and Current
Glossary, mean lower low water): 0 m of tide is no lower bound there. A boat that needs 3 m.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import shapely

from routecheck.checks.tide_on_another_datum import tide_on_another_datum
from routecheck.model.finding import Finding
from routecheck.model.objects import Danger, DangerKind
from routecheck.model.passage import Passage
from routecheck.model.route import Route
from routecheck.model.source import Quality
from routecheck.model.tide import Tide, TideStation
from routecheck.windows import scan, windows_of
from tests.checks.test_depth_findings import grid
from tests.checks.test_tide_not_known import START_S, TABLE
from tests.checks.told import said
from tests.checks.views import POINT, SOURCE, boat, depth, met, place, run, view

BAR = TideStation(name="Bar", constant_m=1.5)
TITLE = "depths below MLLW, heights of tide above LAT, and nothing that relates the two"
WHY = (
    "The water may fall below MLLW, by how much the heights of Bar do not tell. No tide was added "
    "to the depths here."
)


def by(*stations: TideStation, datum: str = "LAT", off_m: float = 0.0, **more: Any) -> Passage:
    tide = Tide(datum=datum, uncertainty_m=off_m, stations=stations or (BAR,), **more)
    return Passage(boat=boat(), tide=tide)


def found(passage: Passage, metres: float = 5.0, datum: str = "MLLW", **of: Any) -> list[Finding]:
    shoal = {"depths": (depth(metres, datum=datum),)}
    return run(tide_on_another_datum, view(**(of or shoal)), passage)


def test_a_shoal_below_mllw_and_a_tide_above_lat() -> None:
    """a shoal charted below MLLW, and a tide above LAT without a level for MLLW, is not assessed;
    with that level, or without a tide, nothing is said"""
    (one,) = found(by())
    assert said([one]) == [("not-assessed", TITLE, WHY)]
    assert (one.leg, one.object_key, one.along_m, one.along_to_m) == (3, "tide", 100.0, 110.0)
    assert (one.lon_deg, one.lat_deg) == (10.0, 50.0)
    assert one.settle == "give the station a level for MLLW, or heights above the chart's own datum"
    assert found(by(replace(BAR, levels_m={"MLLW": 0.3}))) == []
    assert found(Passage(boat=boat())) == []


@pytest.mark.parametrize("datum", ["MLW", "MLWS", "LLWLT", "IGLD 1985", "local datum", "LWS"])
def test_each_datum_that_the_water_may_fall_below(datum: str) -> None:
    assert len(found(by(), datum=datum)) == 1
    assert found(by(datum=datum), datum=datum) == []
    assert found(by(datum="chart datum"), datum=datum) == []


def test_datums_of_which_nothing_is_said_here() -> None:
    """Below LAT no predicted tide falls; below MSL, or of an unknown datum, nothing clears."""
    for datum in ("LAT", "lowest low water", "MSL", "unknown"):
        assert found(by(datum="MLLW"), datum=datum) == []


def test_a_tide_above_a_mean_level_is_no_lower_above_a_low_water() -> None:
    """Its lowest height is taken off in any case (Boston: MLLW lies 1.586 m below MSL, NOAA CO-OPS
    station 8443970)."""
    low = TideStation(name="Bar", constant_m=-2.0)
    assert found(by(low, datum="MSL")) == []
    assert len(found(by(low, datum="MSL"), datum="local datum")) == 1
    assert len(found(by(low, datum="NAVD88"))) == 1


@pytest.mark.parametrize(
    ("metres", "more", "told"),
    [
        # 3 m needed and 10 m that the water may stand below a datum, at a constant height.
        (12.9, {}, True),
        (13.0, {}, False),
        (13.05, {"off_m": 0.1}, True),
        (13.2, {"off_m": 0.1}, False),
        (13.3, {"surge_down_m": 0.4}, True),
        (13.5, {"surge_down_m": 0.4}, False),
    ],
)
def test_in_deep_water_nothing_is_said(metres: float, more: dict[str, Any], told: bool) -> None:
    assert bool(found(by(**more), metres)) is told


def test_a_depth_of_its_own_uncertainty() -> None:
    rough = Quality(name="rough", vertical_m=0.5)
    assert len(found(by(), depths=(depth(13.4, datum="MLLW", quality=rough),))) == 1
    assert found(by(), depths=(depth(13.6, datum="MLLW", quality=rough),)) == []


def test_a_tide_that_varies_falls_no_further_than_its_range() -> None:
    """The table goes from 0.5 m to 4.5 m: 4 m below 0, and 3 m needed."""
    table = by(TideStation(name="Bar", heights=TABLE))
    assert len(found(table, 6.9)) == 1
    assert found(table, 7.0) == []
    assert len(found(table, 7.0, "IGLD 1985")) == 1


def test_a_low_surge_below_lat_counts_whole() -> None:
    """A tide on a local level says nothing of LAT, below which the surge alone may fall."""
    low = by(TideStation(name="Bar", constant_m=0.3), datum="local datum", surge_down_m=0.5)
    assert len(found(low, 3.4, "LAT")) == 1
    assert found(low, 3.5, "LAT") == []
    above = by(TideStation(name="Bar", constant_m=0.3), datum="MLWS", surge_down_m=0.5)
    assert found(above, 3.1, "LAT") == []


ROCK = Danger(key="r", cls="UWTROC", source="cell", geometry=POINT, kind=DangerKind.ROCK,
              charted_depth_m=5.0)  # fmt: skip


def test_grids_and_dangers_as_well() -> None:
    on_mllw = replace(grid([40.0, 5.0]), datum="MLLW")
    assert len(found(by(), grids=(on_mllw,))) == 1
    assert found(by(), grids=(replace(grid([40.0, 50.0]), datum="MLLW"),)) == []
    assert found(by(), grids=(grid([5.0]),)) == []
    assert len(found(by(), dangers=(met(ROCK, datum="MLLW"),))) == 1
    assert found(by(), dangers=(met(ROCK),)) == []
    elsewhere = replace(met(ROCK), source=replace(SOURCE, datum="MLLW"))
    assert len(found(by(), dangers=(elsewhere,))) == 1


def test_from_the_first_to_the_last() -> None:
    places = (place(900.0), place(300.0), place(500.0))
    depths = tuple(
        depth(5.0, key=f"c/{i}", where=at, datum=datum)
        for i, (at, datum) in enumerate(zip(places, ("MLLW", "MLWS", "LAT"), strict=True))
    )
    (one,) = found(by(), depths=depths)
    assert (one.along_m, one.along_to_m) == (300.0, 910.0)
    assert one.title.startswith("depths below MLLW, MLWS, heights")


def test_the_station_that_says_nothing_is_named() -> None:
    told = TideStation(
        name="Told", constant_m=1.0, lon_deg=10.0, lat_deg=50.0, levels_m={"MLLW": 0.2},
        zone=shapely.box(9.0, 49.0, 11.0, 51.0),
    )  # fmt: skip
    mute = TideStation(name="Mute", constant_m=1.0, lon_deg=20.0, lat_deg=50.0)
    assert found(by(told, mute)) == []
    (one,) = found(by(replace(told, zone=None), replace(mute, lon_deg=10.0, lat_deg=50.0)))
    assert "the heights of Mute do not tell" in one.explanation


def test_no_window_is_offered_without_a_word() -> None:
    tide = Tide(datum="LAT", uncertainty_m=0.0, stations=(TideStation(name="Bar", heights=TABLE),))
    of = view(depths=(depth(5.0, datum="MLLW"),))
    start = datetime.fromtimestamp(START_S, UTC)
    departs = [start + timedelta(hours=n) for n in (2, 3, 4)]
    scanned = scan((of,), boat(speed_kn=6.0), tide, departs)
    made = windows_of(Route(name="r", legs=(of.leg,), file="r.gpx"), scanned, step_s=3600.0)
    assert [one.check for one in made.always] == ["tide-on-another-datum"]
    assert made.always_worst == "not-assessed"
