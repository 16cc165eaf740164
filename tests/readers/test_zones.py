"""The user's zones of buoyage."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from routecheck.model.errors import BadInput
from routecheck.model.objects import BuoyageZone
from routecheck.readers.zones import read_zones

SQUARE = [[0, 0], [2, 0], [2, 2], [0, 2], [0, 0]]


def zone(coordinates: Any = None, kind: str = "Polygon", **properties: Any) -> dict[str, Any]:
    return {
        "type": "Feature",
        "properties": properties,
        "geometry": {"type": kind, "coordinates": coordinates or [SQUARE]},
    }


def read(tmp_path: Path, *features: Any) -> tuple[BuoyageZone, ...]:
    path = tmp_path / "zones.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return read_zones(path)


def test_direction_and_region_either_alone(tmp_path: Path) -> None:
    hole = [[0.5, 0.5], [1, 0.5], [1, 1], [0.5, 0.5]]
    both, region, direction = read(
        tmp_path,
        zone([SQUARE, hole], direction_of_buoyage_deg=360, region="A", name="Fairway", fid=1),
        zone(region="B", direction_of_buoyage_deg=None),
        zone([[SQUARE]], "MultiPolygon", direction_of_buoyage_deg=45.5),
    )
    assert (both.key, both.name, both.source) == (
        "zones.geojson/zone/1",
        "Fairway",
        "zones.geojson",
    )
    assert (both.region, both.direction_of_buoyage_deg, both.from_user) == ("A", 0.0, True)
    assert both.geometry.area == pytest.approx(4 - 0.125)
    assert (region.key, region.region, region.direction_of_buoyage_deg) == (
        "zones.geojson/zone/2",
        "B",
        None,
    )
    assert (direction.region, direction.direction_of_buoyage_deg) == ("", 45.5)


@pytest.mark.parametrize(
    ("feature", "said"),
    [
        (zone(), "feature 1: it has neither direction_of_buoyage_deg nor region"),
        (zone(region="C"), "region 'C' is neither A nor B"),
        (zone(region="a"), "neither A nor B"),
        (zone(direction_of_buoyage_deg="45"), "'45' is not a number"),
        (zone(direction_of_buoyage_deg=True), "True is not a number"),
        (zone(direction_of_buoyage_deg=-1), "not from 0 to 360"),
        (zone(direction_of_bouyage_deg=1, region="A"), "did you mean 'direction_of_buoyage_deg'?"),
        (zone(direction=1, region="A"), "did you mean 'direction_of_buoyage_deg'?"),
        (zone(regions="A", direction_of_buoyage_deg=1), "did you mean 'region'?"),
        (zone([0, 0], "Point", region="A"), "it is a Point, not a Polygon"),
        (zone([SQUARE[:-1]], region="A"), "not closed"),
        (zone([[[0, 0], [2, 2], [2, 0], [0, 2], [0, 0]]], region="A"), "cross or overlap"),
        (zone([[[170, 0], [-170, 0], [-170, 1], [170, 0]]], region="A"), "over the antimeridian"),
        (zone([[[0, 0], [200, 0], [1, 1], [0, 0]]], region="A"), "longitude 200"),
        (zone([[[0, 0], [1, None], [1, 1], [0, 0]]], region="A"), "position 2: None is not"),
        ({"type": "Feature", "properties": {"region": "A"}, "geometry": None}, "without geometry"),
    ],
)
def test_refusals(tmp_path: Path, feature: Any, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(tmp_path, feature)
    assert said in str(caught.value)


def test_no_zone(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="holds no zone"):
        read(tmp_path)
