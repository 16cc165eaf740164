"""Depths in metres, feet, fathoms: what each format's own codes mean.

S-57: IHO S-57 edition 3.1, part 3, clause 7.3.2.1, DSPM: DUNI 1 metres, 2 fathoms and feet, 3 feet,
4 fathoms and fractions; HUNI 1 metres, 2 feet. Exact lengths: International Yard and Pound
Agreement (1959), 1 ft = 0.3048 m, 1 fathom = 6 ft.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely

from routecheck.model.errors import BadInput
from routecheck.readers.folder import read_charts
from routecheck.readers.s57 import read_cell
from tests.readers.rasters import geotiff
from tests.readers.test_grids import depths, opened, refused, sidecar
from tests.s57_writer import Cell

WATER = shapely.box(10.0, 54.0, 10.1, 54.1)


def cell(folder: Path, **head: int) -> Path:
    made = Cell(**head)  # type: ignore[arg-type]
    made.add("DEPARE", WATER, DRVAL1="10", DRVAL2="20")
    made.add("M_COVR", WATER, CATCOV=1)
    made.add("SOUNDG", [(10.05, 54.05, 7.5)])
    made.add("UWTROC", shapely.Point(10.02, 54.02), VALSOU="6")
    made.add("BRIDGE", shapely.LineString([(10.0, 54.05), (10.1, 54.05)]), VERCLR="30")
    return made.write(folder)


@pytest.mark.parametrize(
    ("duni", "unit_m", "word"), [(1, 1.0, "m"), (3, 0.3048, "ft"), (4, 1.8288, "fm")]
)
def test_depths_of_a_cell(tmp_path: Path, duni: int, unit_m: float, word: str) -> None:
    chart = read_cell(cell(tmp_path, depth_unit=duni))
    assert chart.source.depth_unit == word
    (area,) = chart.depth_areas
    assert area.charted_depth_m == pytest.approx(10.0 * unit_m, abs=1e-9)
    assert area.deep_end_m == pytest.approx(20.0 * unit_m, abs=1e-9)
    assert chart.soundings[0].charted_depth_m == pytest.approx(7.5 * unit_m, abs=1e-9)
    assert chart.dangers[0].charted_depth_m == pytest.approx(6.0 * unit_m, abs=1e-9)
    assert chart.spans[0].vertical_clearance_m == pytest.approx(30.0)


def test_heights_of_a_cell_in_feet(tmp_path: Path) -> None:
    chart = read_cell(cell(tmp_path, height_unit=2))
    assert chart.spans[0].vertical_clearance_m == pytest.approx(30.0 * 0.3048)
    assert chart.depth_areas[0].charted_depth_m == 10.0


@pytest.mark.parametrize(("duni", "word"), [(2, "fathoms and feet"), (5, "code 5"), (0, "code 0")])
def test_fathoms_and_feet_are_refused_and_the_rest_is_used(
    tmp_path: Path, duni: int, word: str
) -> None:
    """One number cannot say both, and the standard does not say how it should: 5.3 may be 5 fathoms
    and 3 feet, or 5.3 fathoms."""
    path = cell(tmp_path, depth_unit=duni)
    with pytest.raises(BadInput, match=word) as told:
        read_cell(path)
    assert "\n" not in str(told.value) and "DSPM DUNI" in str(told.value)
    geotiff(tmp_path / "b.tif", np.full((3, 3), 5.0), name="depth")
    charts = read_charts([tmp_path])
    assert len(charts.grids) == 1
    (unread,) = charts.unread
    assert unread.looks_like_chart and word in unread.why


def test_a_cell_whose_units_change_inside_is_told(tmp_path: Path) -> None:
    """M_UNIT (S-57 appendix A, class 311): prohibited in an ENC; its area is in another unit."""
    made = Cell()
    made.add("DEPARE", WATER, DRVAL1="10", DRVAL2="20")
    made.add("M_COVR", WATER, CATCOV=1)
    made.add(311, WATER)
    chart = read_cell(made.write(tmp_path))
    told = [one for one in chart.problems if one.severity == "not-assessed"]
    assert told or [one for one in chart.unknown if one.cls == "M_UNIT"]


@pytest.mark.parametrize(
    ("said", "unit_m"),
    [
        *(("m", 1.0), ("metres", 1.0), ("meter", 1.0), ("ft", 0.3048), ("feet", 0.3048)),
        *(("foot", 0.3048), ("fathom", 1.8288), ("fathoms", 1.8288), ("cm", 0.01)),
        ("US survey foot", 1200.0 / 3937.0),
    ],
)
def test_units_that_a_grid_states(tmp_path: Path, said: str, unit_m: float) -> None:
    path = geotiff(tmp_path / "a.tif", np.full((3, 3), 5.0), name="depth", unit=said)
    grid = opened(path)
    assert float(depths(grid)[0, 0]) == pytest.approx(5.0 * unit_m, abs=1e-6)
    assert float(depths(grid)[0, 0]) <= 5.0 * unit_m, "rounded towards the shoal side"


@pytest.mark.parametrize("said", ["fathoms and feet", "dbar", "1"])
def test_units_that_are_none_are_refused(tmp_path: Path, said: str) -> None:
    path = geotiff(tmp_path / "a.tif", np.full((3, 3), 5.0), name="depth", unit=said)
    assert "no unit of depth" in refused(path)
    sidecar(path, 'unit = "ft"\n')
    assert float(depths(opened(path))[0, 0]) == pytest.approx(1.524)
