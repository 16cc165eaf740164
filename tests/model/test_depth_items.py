"""Many departures at once against each alone, to the last bit."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from routecheck.checks.too_little_water import too_little_water
from routecheck.model.boat import Margins
from routecheck.model.departures import LegDepartures
from routecheck.model.depth_items import (
    depth_items,
    floors_m,
    least_margin_m,
    least_margins_m,
    lowest_heights_m,
    sweep_codes,
)
from routecheck.model.heights import HarmonicHeights, TableHeights
from routecheck.model.passage import Passage
from routecheck.model.rule import code_of
from routecheck.model.source import Quality
from routecheck.model.tide import Tide, TideStation
from routecheck.model.tide_along import stations_along
from routecheck.model.view import DepthGridMet, LegView, Touch
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic
from tests.checks.views import SOURCE, boat, depth, place, view

START_S = datetime(2027, 5, 14, tzinfo=UTC).timestamp()
TABLE = TableHeights(
    event_s=START_S + 3600.0 * np.array([0.0, 6.1, 12.3, 18.4, 24.7, 31.0]),
    event_m=np.array([0.5, 4.5, 0.7, 4.1, -0.2, 4.4]),
)
HARMONIC = HarmonicHeights(
    mean_level_m=2.0,
    harmonics=(Harmonic(constituent=constituent("M2"), amplitude_m=2.2, phase_deg=50.0),),
)
ROUGH = Quality(name="rough", vertical_m=0.4, vertical_share=0.02)


def tide(kind: str, datum: str = "chart datum") -> Tide:
    one = TideStation(name="T", heights=TABLE, lon_deg=10.0, lat_deg=50.0, levels_m={"MSL": 2.2})
    two = TideStation(name="H", heights=HARMONIC, lon_deg=10.2, lat_deg=50.0)
    zone = TideStation(name="Z", constant_m=0.3, zone=shapely.box(10.03, 49.9, 10.06, 50.1))
    stations = {
        "table": (one,),
        "harmonic": (two,),
        "several": (one, two),
        "zoned": (one, two, zone),
        "constant": (TideStation(name="C", constant_m=1.1),),
    }[kind]
    return Tide(datum=datum, uncertainty_m=0.15, stations=stations, surge_down_m=0.1)


def leg_of(depths: list[tuple[float, float, float]], grid: list[float]) -> LegView:
    """A leg of 7 km with areas (depth, from, length) and a grid of 500 m parts."""
    areas = []
    for number, (metres, start, length) in enumerate(depths):
        touch = Touch.BELT if number % 5 == 4 else Touch.CORRIDOR
        where = replace(
            place(start, touch=touch, belt_m=5.0),
            along_to_m=min(start + length, 7000.0),
            lon_deg=10.0 + start / 70_000.0,
        )
        areas.append(
            depth(
                metres,
                key=f"a/{number}",
                where=where,
                quality=ROUGH,
                unreliable=number % 7 == 3,
                datum="MSL" if number % 6 == 5 else "LAT",
                counts=number % 8 != 7,
            )
        )
    along = 500.0 * np.arange(len(grid))
    met = DepthGridMet(
        source=SOURCE,
        quality=ROUGH,
        datum="LAT",
        along_from_m=along,
        along_to_m=along + 500.0,
        charted_depth_m=np.array(grid, dtype=float),
        lon_deg=10.0 + along / 70_000.0,
        lat_deg=np.full(len(grid), 50.0),
        along_m=along,
        cross_m=np.zeros(len(grid)),
        counts=np.arange(len(grid)) % 4 != 3,
    )
    return view(depths=tuple(areas), grids=(met,) if grid else ())


def passage(of: LegView, by: Tide | None, eta_s: float) -> Passage:
    mine = replace(boat(speed_kn=5.0), margins=Margins(eta_s=eta_s))
    stations = None if by is None else stations_along(by, of.leg, of.length_m)
    return Passage(boat=mine, tide=by, offset_s=5_000.0, speed_kn=5.0, stations=stations)


def alone(of: LegView, base: Passage, start: float) -> tuple[int, float | None]:
    by = replace(base, depart_s=start)
    found = [one.severity for one in too_little_water(of, by)]
    worst = min((code_of(s) for s in found), default=code_of(None))
    return worst, least_margin_m(of, by)


DEPTHS = st.lists(
    st.tuples(st.floats(-2.0, 12.0), st.floats(0.0, 6500.0), st.floats(10.0, 4000.0)), max_size=9
)


@pytest.mark.parametrize("kind", ["table", "harmonic", "several", "zoned", "constant", "none"])
@given(
    depths=DEPTHS,
    grid=st.lists(st.floats(-2.0, 12.0), max_size=14),
    eta_s=st.sampled_from([0.0, 600.0, 5400.0]),
    starts=st.lists(st.floats(-20_000.0, 120_000.0), min_size=1, max_size=12),
    datum=st.sampled_from(["chart datum", "LAT", "MLLW"]),
)
@settings(max_examples=60)
def test_sweeps_and_margins(
    kind: str, depths: Any, grid: list[float], eta_s: float, starts: list[float], datum: str
) -> None:
    of = leg_of(depths, grid)
    by = None if kind == "none" else tide(kind, datum)
    base = passage(of, by, eta_s)
    departs = LegDepartures(passage=base, depart_s=START_S + np.array(starts))
    codes = sweep_codes(depth_items(of), departs)
    margins = least_margins_m(of, departs)
    for index, start in enumerate(departs.depart_s.tolist()):
        code, margin = alone(of, base, start)
        assert codes[index] == code
        assert (None if margins is None else margins[index]) == margin


def test_no_departure_falls_below_the_floor() -> None:
    of = leg_of([(3.0, 100.0 * n, 2000.0) for n in range(12)], [4.0] * 14)
    for kind in ("table", "several", "zoned", "constant"):
        base = passage(of, tide(kind, "LAT"), 1800.0)
        items = depth_items(of)
        departs = LegDepartures(passage=base, depart_s=START_S + 3600.0 * np.arange(-3.0, 40.0))
        heights = lowest_heights_m(items, base, departs.lowest, (departs.count,))
        assert (heights >= floors_m(items, departs)).all()


def test_a_leg_without_depths_has_no_margin() -> None:
    of = leg_of([], [])
    base = passage(of, tide("table"), 0.0)
    assert least_margin_m(of, base) is None
    departs = LegDepartures(passage=base, depart_s=np.array([START_S]))
    assert least_margins_m(of, departs) is None
    assert sweep_codes(depth_items(of), departs).tolist() == [code_of(None)]


def test_never_more_water_than_cell_by_cell_and_minute_by_minute() -> None:
    """Each part of a grid and each area, the tide asked every minute and at both ends."""
    rng = np.random.default_rng(11)
    for trial in range(30):
        of = leg_of(
            [(float(rng.uniform(0, 9)), float(rng.uniform(0, 6500)), 700.0) for _ in range(4)],
            rng.uniform(0.0, 9.0, 14).tolist(),
        )
        kind = ("table", "harmonic")[trial % 2]
        base = passage(of, tide(kind, "LAT"), float(rng.uniform(0.0, 3000.0)))
        starts = START_S + rng.uniform(3_600.0, 80_000.0, 12)
        margins = least_margins_m(of, LegDepartures(passage=base, depart_s=starts))
        assert margins is not None
        source = (TABLE, HARMONIC)[trial % 2]
        items = depth_items(of)
        items = items.take(items.in_corridor & (items.datum == "LAT"))
        for start, margin in zip(starts.tolist(), margins.tolist(), strict=True):
            windows = replace(base, depart_s=start).windows_s(items.from_m, items.to_m)
            assert windows is not None
            least = []
            for metres, a, b in zip(items.charted_depth_m, *windows, strict=True):
                times = np.append(np.arange(a, b, 60.0), b)
                least.append(metres + float(source.height_m(times).min()) - 0.1)
            assert margin <= min(least) - base.boat.needed_m + 1e-9
            if not (of.depths and any(m.datum == "MSL" for m in of.depths)):
                # And hardly less: by what the tide does within half a minute.
                assert margin > min(least) - base.boat.needed_m - 0.02
