"""Which station is too far from which place, to either side of each limit.

A place and a station stand on the equator: a degree of longitude is 60.11 nmi there (NGA.STND.0036
(2014), Table 3.1, the semi-major axis), so 50 nmi are 0.8319 and 300 nmi 4.991 degrees.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import shapely

from routecheck.checks.tide_from_afar import tide_from_afar
from routecheck.model.finding import Finding
from routecheck.model.objects import Danger, DangerKind
from routecheck.model.passage import Passage
from routecheck.model.source import Quality
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import DepthMet, Met
from tests.checks.test_span_overhead import span
from tests.checks.told import said
from tests.checks.views import POINT, boat, depth, met, place, view

AFAR = "So far off it may come at another hour and to another height."
ELSEWHERE = (
    "So far off it says nothing of the tide here: is a sign lost, or are longitude and latitude "
    "exchanged?"
)


def at(lon_deg: float, along_m: float = 100.0) -> Any:
    return replace(place(along_m), lon_deg=lon_deg, lat_deg=0.0)


def shoal(
    metres: float = 2.5, lon_deg: float = 0.0, along_m: float = 100.0, **facts: Any
) -> DepthMet:
    return depth(metres, where=at(lon_deg, along_m), key=f"cell/{along_m}", **facts)


def station(lon_deg: float | None, **facts: Any) -> TideStation:
    base: dict[str, Any] = {"name": "Far", "constant_m": 1.5, "lat_deg": 0.0, "lon_deg": lon_deg}
    return TideStation(**{**base, **facts})


def found(*stations: TideStation, off_m: float = 0.0, **of: Any) -> list[Finding]:
    tide = Tide(datum="LAT", uncertainty_m=off_m, stations=stations)
    on = view(**(of or {"depths": (shoal(),)}))
    return list(tide_from_afar(on, Passage(boat=boat(), tide=tide)))


@pytest.mark.parametrize(
    ("lon_deg", "told"),
    [
        (0.83, None),
        (0.835, ("caution", "the tide counted here is that of Far, 50 nmi away", AFAR)),
        (-0.9, ("caution", "the tide counted here is that of Far, 54 nmi away", AFAR)),
        (4.98, ("caution", "the tide counted here is that of Far, 299 nmi away", AFAR)),
        (5.0, ("not-assessed", "the tide counted here is that of Far, 301 nmi away", ELSEWHERE)),
    ],
)
def test_how_far(lon_deg: float, told: tuple[str, str, str] | None) -> None:
    assert said(found(station(lon_deg))) == ([told] if told else [])


def test_where_and_how_far_in_figures() -> None:
    (one,) = found(station(1.0))
    assert (one.leg, one.object_key) == (3, "tide")
    assert (one.along_m, one.along_to_m) == (100.0, 110.0)
    assert (one.lon_deg, one.lat_deg) == (0.0, 0.0)
    assert one.sums == {"away_nmi": 60.1}
    assert one.settle == "add a station nearer by, or give that one the zone in which it holds"


def test_the_first_and_the_last_place_are_asked() -> None:
    """One of the two is near the station: the other is told, whichever it is."""
    for lons, along_m in (((0.0, 1.0), 5000.0), ((1.0, 0.0), 100.0)):
        depths = (shoal(lon_deg=lons[0]), shoal(lon_deg=lons[1], along_m=5000.0))
        (one,) = found(station(0.1), depths=depths)
        assert (one.along_m, one.lon_deg, one.lat_deg) == (along_m, 1.0, 0.0)


def test_the_farther_of_two_stations_is_told() -> None:
    here = (station(1.0, name="East"), station(-2.0, name="West"))
    for stations in (here, here[::-1]):
        (one,) = found(*stations)
        assert "West, 120 nmi" in one.title


ROCK: Met[Any] = met(
    Danger(key="r", cls="UWTROC", source="cell", geometry=POINT, kind=DangerKind.ROCK,
           charted_depth_m=50.0), at(0.0),
)  # fmt: skip


@pytest.mark.parametrize(
    ("of", "told"),
    [
        ({"dangers": (ROCK,)}, True),
        ({"spans": (met(span(vertical_clearance_m=99.0), at(0.0)),)}, True),
        ({"dangers": (ROCK,), "spans": (met(span(), at(0.0)),)}, True),
        ({"depths": ()}, False),
        # 3 m are needed and the tide is never below its datum: 3 m pass without it.
        ({"depths": (shoal(2.9),)}, True),
        ({"depths": (shoal(3.0),)}, False),
        ({"depths": (shoal(3.4),)}, False),
        # What the depth's own accuracy may take away.
        ({"depths": (shoal(3.4, quality=Quality(name="rough", vertical_m=0.5)),)}, True),
        ({"depths": (shoal(3.6, quality=Quality(name="rough", vertical_m=0.5)),)}, False),
        # A level that stands 1 m above that of the tide takes that away as well.
        ({"depths": (shoal(3.9, datum="MSL"),)}, True),
        ({"depths": (shoal(4.1, datum="MSL"),)}, False),
    ],
)
def test_where_the_tide_matters(of: dict[str, Any], told: bool) -> None:
    assert bool(found(station(1.0, levels_m={"MSL": 1.0}), **of)) is told


@pytest.mark.parametrize(
    ("metres", "constant_m", "off_m", "told"),
    [
        # A tide 0.5 m below its datum takes that away; one above it gives nothing.
        (3.4, -0.5, 0.0, True),
        (3.5, -0.5, 0.0, False),
        (3.1, 0.5, 0.0, False),
        (2.9, 0.5, 0.0, True),
        # And so does its uncertainty.
        (3.2, 0.0, 0.25, True),
        (3.3, 0.0, 0.25, False),
    ],
)
def test_what_the_tide_may_take_away(
    metres: float, constant_m: float, off_m: float, told: bool
) -> None:
    far = station(1.0, constant_m=constant_m)
    assert bool(found(far, off_m=off_m, depths=(shoal(metres),))) is told


def test_a_zone_speaks_for_its_station_where_it_holds() -> None:
    around, elsewhere = shapely.box(-0.1, -0.1, 0.1, 0.1), shapely.box(0.9, -0.1, 1.1, 0.1)
    assert found(station(1.0, zone=around)) == []
    assert len(found(station(1.0, zone=elsewhere))) == 1


def test_a_station_without_a_position_is_taken_at_its_word() -> None:
    assert found(station(None)) == []
    assert found(station(1.0, lat_deg=None)) == []
    assert found(station(None, lat_deg=None)) == []
    assert list(tide_from_afar(view(depths=(shoal(),)), Passage(boat=boat()))) == []
