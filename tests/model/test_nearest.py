"""The nearest places, against the rule put plainly; and that nothing is worked out twice."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from pyproj import Geod

import routecheck.model.nearest as module
from routecheck.model.nearest import Nearest
from routecheck.model.tide import Tide, TideStation

GEOD = Geod(ellps="WGS84")


def apart_m(a: tuple[float, float], b: tuple[float, float]) -> float:
    return float(GEOD.inv(*a, *b)[2])


def plainly(here: tuple[float, float], places: list[tuple[float, float]], reach_m: float) -> Any:
    """Every place that none hides: one nearer by twice the reach, and no further from the other
    than the other is from here, less the reach (and a metre)."""
    away = [apart_m(here, place) for place in places]
    seen = []
    for j, place in enumerate(places):
        hidden = [
            away[k] + 2.0 * reach_m < away[j] and apart_m(place, other) <= away[j] - reach_m + 1.0
            for k, other in enumerate(places)
        ]
        if not any(hidden):
            seen.append(j)
    return sorted(seen, key=lambda j: away[j])


@pytest.mark.parametrize("reach_m", [0.0, 300.0, 20_000.0])
def test_as_the_rule_has_it(reach_m: float) -> None:
    rng = np.random.default_rng(7)
    sizes = set()
    for lon0, lat0 in ((10.0, 50.0), (179.8, -35.0), (0.0, 80.0)):
        lon = (lon0 + rng.uniform(-1.0, 1.0, 8) + 180.0) % 360.0 - 180.0
        lat = lat0 + rng.uniform(-1.0, 1.0, 8)
        nearest = Nearest(lon, lat)
        places = list(zip(lon.tolist(), lat.tolist(), strict=True))
        for _ in range(40):
            here = (float(rng.uniform(-179.0, 179.0)), float(lat0))
            if rng.random() < 0.8:
                here = (lon0 + float(rng.uniform(-1.0, 0.15)), lat0 + float(rng.uniform(-1, 1)))
            found = list(nearest.to(*here, reach_m))
            assert found == plainly(here, places, reach_m)
            sizes.add(len(found))
    assert len(sizes) > 2


def test_of_none_and_of_one() -> None:
    assert Nearest(np.array([]), np.array([])).to(0.0, 0.0) == ()
    assert Nearest(np.array([5.0]), np.array([5.0])).to(0.0, 0.0) == (0,)


def test_what_was_asked_before_is_not_worked_out_again(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []
    inverse = module.geodesic_inverse

    def counted(*args: Any) -> Any:
        asked.append(1)
        return inverse(*args)

    monkeypatch.setattr(module, "geodesic_inverse", counted)
    tide = Tide(
        datum="LAT",
        uncertainty_m=0.0,
        stations=tuple(
            TideStation(name=str(n), constant_m=1.0, lon_deg=float(n), lat_deg=0.0)
            for n in range(4)
        ),
    )
    first = tide.neighbours(0.4, 0.1)
    most = len(asked)
    assert 1 <= most <= 5
    assert tide.neighbours(0.4, 0.1) == first and len(asked) == most
    # Of another place only its own distances are new, once those between the stations are known.
    tide.neighbours(2.4, 0.1)
    most = len(asked)
    tide.neighbours(2.5, 0.1)
    assert len(asked) == most + 1


def test_no_more_is_kept_than_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_MOST_KEPT", 10)
    nearest = Nearest(np.array([0.0, 1.0]), np.array([0.0, 0.0]))
    answers = [nearest.to(x, 0.0) for x in np.linspace(-1.0, 2.0, 100).tolist()]
    assert len(nearest._kept) <= 10
    assert answers == [nearest._to(x, 0.0, 0.0) for x in np.linspace(-1.0, 2.0, 100).tolist()]
