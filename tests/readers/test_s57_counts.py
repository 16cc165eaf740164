"""Real S-57 cells: counts, depths, units, datums and zones against the published table of them.

Source of the counts: the data sets' own README beside the real data (GDAL's dump), from where the
table below is copied; depth ranges and clearances from the same place.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from routecheck.model.chart import Chart
from routecheck.model.objects import MarkKind
from routecheck.readers.s57 import read_cell

NAMES = (
    *("DEPARE", "DEPCNT", "SOUNDG", "WRECKS", "OBSTRN", "UWTROC"),
    *("LNDARE", "BOYLAT", "BCNLAT", "BOYCAR", "BCNCAR"),
)
CELLS = {
    "s57_noaa_us4md81m/US4MD81M": (525, 566, 3326, 111, 219, 18, 183, 71, 194, 0, 0),
    "s57_s64_gb/GB4X0000": (193, 189, 1228, 20, 56, 50, 41, 22, 2, 11, 6),
    "s57_s64_gb/GB5X01SW": (188, 105, 273, 2, 26, 12, 19, 6, 2, 4, 3),
    "s57_s64_gb/GB5X01NW": (54, 59, 148, 0, 19, 6, 10, 7, 8, 0, 0),
    "s57_s64_gb/GB5X01NE": (50, 55, 157, 3, 5, 21, 5, 1, 0, 0, 1),
    "s57_s64_gb/GB5X02SE": (4, 3, 0, 0, 0, 0, 0, 0, 0, 0, 0),
    "s57_noaa_survey/H12488_add_S57_input": (1, 0, 198, 4, 5, 15, 0, 0, 0, 0, 0),
    "s57_gdal_autotest/1B5X02NE": (4, 4, 11, 0, 0, 0, 1, 0, 0, 0, 0),
    "s57_gdal_autotest/bug2147_3R7D0889": (3, 0, 0, 0, 0, 0, 12, 0, 0, 0, 0),
}
OTHERS = {
    "s57_noaa_us4md81m/US4MD81M": {
        **{"BOYISD": 0, "BCNISD": 0, "BOYSAW": 2, "DRGARE": 7, "BRIDGE": 51, "CBLOHD": 27},
        **{"RESARE": 12, "UNSARE": 4, "M_QUAL": 91},
    },
    "s57_s64_gb/GB4X0000": {
        **{"BOYISD": 1, "BCNISD": 0, "BOYSAW": 8, "TSSLPT": 18, "TSEZNE": 6, "RESARE": 29},
        **{"ACHARE": 3, "DRGARE": 14, "BRIDGE": 32, "M_QUAL": 15, "M_NSYS": 4},
    },
    "s57_s64_gb/GB5X01SW": {"DRGARE": 9, "ACHARE": 4, "M_NSYS": 2},
    "s57_s64_gb/GB5X01NW": {"BCNISD": 1, "BRIDGE": 8, "CBLOHD": 2, "M_NSYS": 5},
    "s57_s64_gb/GB5X01NE": {"M_NSYS": 3},
    "s57_gdal_autotest/bug2147_3R7D0889": {"boywtw": 4, "bcnwtw": 3, "notmrk": 2},
}
CATZOC = {
    "s57_noaa_us4md81m/US4MD81M": {1: 19, 2: 4, 3: 45, 4: 7, 6: 16},
    "s57_s64_gb/GB4X0000": {1: 3, 2: 3, 3: 6, 4: 1, 5: 1, 6: 1},
    "s57_noaa_survey/H12488_add_S57_input": {1: 1},
}
SOUNDINGS_M = {
    "s57_noaa_us4md81m/US4MD81M": (0.1, 41.4),
    "s57_s64_gb/GB4X0000": (-4.3, 439.0),
    "s57_s64_gb/GB5X01SW": (-4.2, 20.4),
    "s57_s64_gb/GB5X01NW": (-4.1, 17.2),
    "s57_s64_gb/GB5X01NE": (-4.2, 46.0),
}
DATUMS = {
    "s57_noaa_us4md81m/US4MD81M": "MLLW",
    "s57_s64_gb/GB4X0000": "LAT",  # code 10, approximate LAT
    "s57_s64_gb/GB5X01SW": "LAT",
}
ONE_TENTH_MILLIMETRE = 0.0001


@cache
def cell(folder: Path, name: str) -> Chart:
    return read_cell(folder / f"{name}.000")


@pytest.mark.parametrize("name", CELLS)
def test_counts_of_the_main_classes(real_data: Path, name: str) -> None:
    counts = cell(real_data, name).counts
    assert tuple(counts.get(cls, 0) for cls in NAMES) == CELLS[name]


@pytest.mark.parametrize("name", OTHERS)
def test_counts_of_other_classes(real_data: Path, name: str) -> None:
    counts = cell(real_data, name).counts
    assert {cls: counts.get(cls, 0) for cls in OTHERS[name]} == OTHERS[name]


@pytest.mark.parametrize("name", CELLS)
def test_every_object_is_judged_or_harmless_or_unknown(real_data: Path, name: str) -> None:
    chart = cell(real_data, name)
    made = [*chart.objects(), *chart.quality_zones, *chart.buoyage_zones, *chart.coverage]
    made += chart.datum_zones
    found = Counter(thing.cls for thing in made)
    for cls, count in chart.counts.items():
        harmless = chart.harmless.get(cls, 0)
        # Kept as the datum of spans, as what positions are worth; compared with the scale.
        if cls in ("M_VDAT", "M_ACCY", "M_CSCL"):
            continue
        assert found[cls] + harmless >= count, cls


@pytest.mark.parametrize("name", CATZOC)
def test_quality_zones(real_data: Path, name: str) -> None:
    found = Counter(zone.catzoc for zone in cell(real_data, name).quality_zones)
    assert found == CATZOC[name]


@pytest.mark.parametrize("name", SOUNDINGS_M)
def test_depths_of_soundings(real_data: Path, name: str) -> None:
    depths = [one.charted_depth_m for one in cell(real_data, name).soundings]
    low, high = SOUNDINGS_M[name]
    assert min(depths) == pytest.approx(low, abs=ONE_TENTH_MILLIMETRE)
    assert max(depths) == pytest.approx(high, abs=ONE_TENTH_MILLIMETRE)


@pytest.mark.parametrize("name", DATUMS)
def test_sounding_datum(real_data: Path, name: str) -> None:
    assert cell(real_data, name).source.datum == DATUMS[name]


def test_the_noaa_cell_with_its_updates(real_data: Path) -> None:
    chart = cell(real_data, "s57_noaa_us4md81m/US4MD81M")
    source = chart.source
    assert (source.scale, source.edition, source.updates) == (80_000, "31", 3)
    assert source.issued == "2025-09-23"
    assert chart.problems == ()
    dredged = {a.charted_depth_m for a in chart.depth_areas if a.cls == "DRGARE"}
    assert (min(d for d in dredged if d), max(d for d in dredged if d)) == (0.9, 2.5)
    clear = {s.vertical_clearance_m for s in chart.spans if s.cls == "BRIDGE"} - {None}
    assert clear == {3.0, 7.3, 17.6, 19.8, 55.4}
    closed = {s.vertical_clearance_closed_m for s in chart.spans} - {None}
    assert closed == {3.6, 5.4}
    cables = [s for s in chart.spans if s.cls == "CBLOHD"]
    assert sum(s.vertical_clearance_m is None for s in cables) == 22
    assert {s.clearance_datum for s in chart.spans} == {"MHW"}  # VDAT 16
    assert [(z.region, z.direction_of_buoyage_deg) for z in chart.buoyage_zones] == [("B", None)]


def test_the_survey_whose_one_area_is_shoaler_than_every_sounding(real_data: Path) -> None:
    chart = cell(real_data, "s57_noaa_survey/H12488_add_S57_input")
    (area,) = chart.depth_areas
    assert (area.charted_depth_m, area.deep_end_m) == (1.2192, 38.4048)
    assert min(s.charted_depth_m for s in chart.soundings) == pytest.approx(1.735, abs=5e-4)


def test_depth_areas_that_are_lines_are_no_areas(real_data: Path) -> None:
    chart = cell(real_data, "s57_s64_gb/GB5X01SW")
    assert sum(area.cls == "DEPARE" for area in chart.depth_areas) == 94
    assert all(area.geometry.area > 0.0 for area in chart.depth_areas)
    assert sum(line.cls == "DEPARE" for line in chart.contours) == 94


def test_directions_of_buoyage(real_data: Path) -> None:
    zones = cell(real_data, "s57_s64_gb/GB5X01SW").buoyage_zones
    assert {(z.region, z.direction_of_buoyage_deg) for z in zones} == {("A", None), ("", 310.0)}
    zones = cell(real_data, "s57_s64_gb/GB5X01NE").buoyage_zones
    assert {z.direction_of_buoyage_deg for z in zones} == {None, 300.0, 270.0}


def test_inland_classes_are_not_taken_for_what_they_resemble(real_data: Path) -> None:
    chart = cell(real_data, "s57_gdal_autotest/bug2147_3R7D0889")
    # one states 2.5 m, two state nothing and are holes
    assert {a.charted_depth_m for a in chart.depth_areas} == {2.5, None}
    assert {mark.kind for mark in chart.marks} == {MarkKind.UNKNOWN}
    assert {mark.cls for mark in chart.marks} >= {"boywtw", "bcnwtw"}
    assert "notmrk" in {thing.cls for thing in chart.unknown}
