"""One shoal, one finding: how failing depths are gathered."""

from __future__ import annotations

import random

import shapely

from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Severity
from routecheck.model.depth_sum import DepthSum
from routecheck.model.passage import HeightOfTide
from routecheck.model.shoal import Shallow, shoals
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.model.view import DepthFrom, Place

SOURCE = Source(id="c", file="c", sha256="", kind=SourceKind.CHART_CELL, format="test", datum="LAT")
BOAT = Boat(name="b", draught_m=2.0, margins=Margins(under_keel_m=1.0))


def shallow(
    key: str,
    depth_m: float,
    shape: shapely.Geometry,
    depth_from: DepthFrom = DepthFrom.AREA,
    severity: Severity = Severity.DANGER,
) -> Shallow:
    west, _, east, _ = shape.bounds
    return Shallow(
        key=key,
        cls="DEPARE",
        name="",
        depth_from=depth_from,
        sum=DepthSum.of(
            charted_depth_m=depth_m,
            quality=Quality(name="q", vertical_m=1.0),
            tide=HeightOfTide(height_m=0.0, uncertainty_m=0.0, text="t"),
            boat=BOAT,
        ),
        severity=severity,
        place=Place(
            along_m=(west + east) / 2.0,
            cross_m=0.0,
            lon_deg=0.0,
            lat_deg=0.0,
            along_from_m=west,
            along_to_m=east,
        ),
        source=SOURCE,
        quality_name="q",
        reach=shape,
    )


def keys(things: list[Shallow]) -> list[tuple[str, set[str]]]:
    return [(s.lead.key, {e.key for e in s.evidence}) for s in shoals(things)]


def test_dangers_that_touch_are_one_shoal_led_by_the_shoalest() -> None:
    rim = shallow("rim", 2.5, shapely.box(0, 0, 100, 10))
    top = shallow("top", 0.5, shapely.box(40, 10, 60, 20))
    assert keys([rim, top]) == [("top", {"rim"})]


def test_two_lumps_in_one_cautious_area_stay_two() -> None:
    around = shallow("around", 3.5, shapely.box(0, 0, 1000, 100), severity=Severity.CAUTION)
    one = shallow("one", 1.0, shapely.box(100, 100, 120, 120))
    two = shallow("two", 2.0, shapely.box(800, 100, 820, 120))
    found = keys([around, one, two])
    assert [lead for lead, _ in found] == ["one", "two"]
    assert found[0][1] == {"around"}


def test_soundings_inside_are_evidence_and_those_apart_their_own() -> None:
    area = shallow("area", 2.0, shapely.box(0, 0, 100, 100))
    inside = shallow("inside", 2.1, shapely.Point(50, 50), DepthFrom.SOUNDING)
    apart = shallow("apart", 1.0, shapely.Point(500, 50), DepthFrom.SOUNDING)
    assert keys([area, inside, apart]) == [("area", {"inside"}), ("apart", set())]


def test_a_shoaler_sounding_does_not_take_the_lead_from_its_area() -> None:
    area = shallow("area", 2.0, shapely.box(0, 0, 100, 100))
    sounding = shallow("s", 0.1, shapely.Point(50, 50), DepthFrom.SOUNDING)
    assert keys([area, sounding]) == [("area", {"s"})]


def test_two_soundings_side_by_side_stay_their_own() -> None:
    one = shallow("one", 1.0, shapely.Point(0, 0), DepthFrom.SOUNDING)
    two = shallow("two", 1.0, shapely.Point(0.5, 0), DepthFrom.SOUNDING)
    assert len(shoals([one, two])) == 2


def test_every_depth_stands_in_exactly_one_shoal_whatever_the_order() -> None:
    rng = random.Random(20260101)
    things = []
    for i in range(60):
        x, y, size = rng.uniform(0, 2000), rng.uniform(-50, 50), rng.uniform(1, 120)
        things.append(
            shallow(
                f"k{i}",
                rng.uniform(-2, 3),
                shapely.box(x, y, x + size, y + size),
                rng.choice(list(DepthFrom)),
                rng.choice([Severity.DANGER, Severity.CAUTION]),
            )
        )
    want = keys(things)
    held = [key for lead, rest in want for key in (lead, *rest)]
    assert sorted(held) == sorted(t.key for t in things)
    for _ in range(5):
        rng.shuffle(things)
        assert {lead: rest for lead, rest in keys(things)} == dict(want)
