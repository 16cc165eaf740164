"""Real S-101 cells: north Brittany (Shom, 2023) and the IHO S-164 set, whose fictional place is
that of the S-64 set of S-57: an independent writing of the same water."""

from __future__ import annotations

import struct
from collections import Counter
from functools import lru_cache
from pathlib import Path

import pytest
import shapely

from routecheck.model.chart import Chart
from routecheck.model.objects import MarkKind
from routecheck.readers import s57, s101

FRENCH = ("00369300", "00369660", "00471530", "00471540", "00571260", "0067126A")
TEST_SET = ("NAVHZ", "SAFCO", "X0000", "X01NE", "X01NW", "X01SE", "X01SW", "X02SE")
CELLS = [f"s101_fr_treguier/101FR{name}.000" for name in FRENCH]
CELLS += [f"s101_s164_gb/10100AA_{name}.000" for name in TEST_SET]
TWINS = {"X0000": "GB4X0000", "X01NE": "GB5X01NE", "X01NW": "GB5X01NW", "X01SE": "GB5X01SE"} | {
    "X01SW": "GB5X01SW",
    "X02SE": "GB5X02SE",
}


@lru_cache(maxsize=20)
def cell(data: Path, name: str) -> Chart:
    return s101.read_cell(data / name)


@lru_cache(maxsize=10)
def twins(data: Path, name: str) -> tuple[Chart, Chart]:
    new = cell(data, f"s101_s164_gb/10100AA_{name}.000")
    return new, s57.read_cell(data / "s57_s64_gb" / f"{TWINS[name]}.000")


@pytest.mark.parametrize("name", CELLS)
def test_every_feature_is_read(real_data: Path, name: str) -> None:
    """As many as the head states (DSSI, NOFR), found here by its place in the file."""
    data = (real_data / name).read_bytes()
    body = data[int(data[:5]) :]
    base, directory = int(body[12:17]), body[24 : body.index(b"\x1e")]
    place = directory.index(b"DSSI")
    tag, size, start = 4, int(body[20:21]), int(body[21:22])
    at = base + int(directory[place + tag + size : place + tag + size + start])
    stated = struct.unpack_from("<3d10I", body, at)[-1]
    chart = cell(real_data, name)
    # A feature of many soundings counts once for each sounding.
    features = sum(chart.counts.values()) - len(chart.soundings)
    features += len({s.key.rpartition("/")[2].partition(".")[0] for s in chart.soundings})
    assert features == stated
    assert [p.text for p in chart.problems if "IALA" not in p.text] == []


@pytest.mark.parametrize("name", CELLS)
def test_no_shape_is_broken(real_data: Path, name: str) -> None:
    chart = cell(real_data, name)
    shapes = [thing.geometry for thing in chart.objects()]
    assert shapes
    assert shapely.is_valid(shapes).all()
    (cover, *_) = chart.coverage
    assert cover.covered
    assert not [area for area in chart.depth_areas if area.geometry.area == 0.0]


COUNTS = {
    # cell: DEPARE, SOUNDG, BOYLAT, BCNLAT, BOYCAR, BCNCAR, WRECKS, OBSTRN, UWTROC: counted with
    # an independent reader, and beside its obstructions some features FoulGround
    "00369300": (227, 690, 5, 7, 11, 2, 163, 40, 237),
    "00369660": (1091, 2692, 3, 17, 49, 27, 262, 196 + 4, 951),
    "00471530": (135, 1473, 0, 0, 3, 1, 15, 18, 48),
    "00471540": (754, 2004, 3, 13, 12, 9, 21, 132 + 2, 265),
    "00571260": (266, 1776, 16, 21, 1, 1, 4, 50, 242),
    "0067126A": (29, 184, 9, 7, 0, 1, 0, 0, 1),
}


@pytest.mark.parametrize("name", COUNTS)
def test_objects_by_class(real_data: Path, name: str) -> None:
    counts = cell(real_data, f"s101_fr_treguier/101FR{name}.000").counts
    classes = ("DEPARE", "SOUNDG", "BOYLAT", "BCNLAT", "BOYCAR", "BCNCAR", "WRECKS", "OBSTRN")
    assert tuple(counts.get(cls, 0) for cls in (*classes, "UWTROC")) == COUNTS[name]


def test_spot_values(real_data: Path) -> None:
    chart = cell(real_data, "s101_fr_treguier/101FR00571260.000")
    source = chart.source
    assert (source.format, source.datum, source.scale) == ("S-101", "LAT", 22_000.0)
    assert (source.edition, source.updates, source.issued) == ("1", 0, "2023-06-22")
    crublent = next(mark for mark in chart.marks if mark.name == "Basse Crublent")
    assert crublent.kind is MarkKind.PORT_HAND
    assert crublent.colours == ("red",)
    (north,) = [mark for mark in chart.marks if mark.name == "Les Trois Pierres"]
    assert north.kind is MarkKind.NORTH
    assert {zone.region for zone in chart.buoyage_zones} == {"A"}
    assert {zone.catzoc for zone in chart.quality_zones} <= {3, 4, 5, 6}
    harbour = cell(real_data, "s101_fr_treguier/101FR0067126A.000")
    assert 3.0 in {span.vertical_clearance_m for span in harbour.spans}
    low = next(span for span in harbour.spans if span.vertical_clearance_m == 3.0)
    assert low.clearance_datum == "MHWS"


@pytest.mark.parametrize("name", TWINS)
def test_depths_of_both_standards(real_data: Path, name: str) -> None:
    new, old = twins(real_data, name)
    for things in ("soundings", "contours"):
        ours = Counter(round(one.charted_depth_m, 2) for one in getattr(new, things))
        theirs = Counter(round(one.charted_depth_m, 2) for one in getattr(old, things))
        if things == "contours":  # S-57 charts lines of depth areas as well
            theirs = Counter(
                round(one.charted_depth_m, 2) for one in old.contours if one.cls == "DEPCNT"
            )
        assert ours == theirs
    assert new.source.scale is not None and old.source.scale is not None
    # Stated is 1:12,000 for cells compiled at 1:25,000 and 1:45,000 for one at 1:52,000.
    assert old.source.scale * 0.85 < new.source.scale < old.source.scale * 2.0


@pytest.mark.parametrize("name", TWINS)
def test_what_is_charted_at_a_place_is_the_same(real_data: Path, name: str) -> None:
    """At 400 places of a grid the depth area's shoal end, by both cells."""
    new, old = twins(real_data, name)
    west, south, east, north = shapely.union_all([c.geometry for c in old.coverage]).bounds
    asked = 0
    for i in range(20):
        for j in range(20):
            place = shapely.Point(
                west + (i + 0.513) * (east - west) / 20, south + (j + 0.487) * (north - south) / 20
            )
            depths = [
                {
                    (area.charted_depth_m, area.deep_end_m)
                    for area in chart.depth_areas
                    if area.geometry.contains(place)
                }
                for chart in (new, old)
            ]
            asked += bool(depths[1])
            assert depths[0] == depths[1], place
    assert asked > 50


@pytest.mark.parametrize("name", TWINS)
def test_marks_of_both_standards(real_data: Path, name: str) -> None:
    new, old = twins(real_data, name)
    both = [
        Counter((m.kind, m.colours, round(m.lon_deg, 5), round(m.lat_deg, 5)) for m in chart.marks)
        for chart in (new, old)
    ]
    assert both[0] == both[1]
    directions = [
        sorted(
            zone.direction_of_buoyage_deg
            for zone in chart.buoyage_zones
            if zone.direction_of_buoyage_deg is not None
        )
        for chart in (new, old)
    ]
    assert directions[0] == directions[1]


@pytest.mark.parametrize("name", TWINS)
def test_dangers_of_both_standards(real_data: Path, name: str) -> None:
    new, old = twins(real_data, name)
    both = [
        Counter(
            (d.cls, d.charted_depth_m, d.stands_out, d.dangerous)
            for d in chart.dangers
            if d.cls in ("UWTROC", "WRECKS")
        )
        for chart in (new, old)
    ]
    assert both[0] == both[1]
