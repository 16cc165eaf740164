"""The water of the map: what covers what, and how it is packed."""

from __future__ import annotations

import base64
import zlib
from dataclasses import replace

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from routecheck.model.passage import Tide, TideStation
from routecheck.model.picture import GroundShape, TrackLine, WaterArea, WaterGrid, WaterPicture
from routecheck.writers.drawing.bands import Band
from routecheck.writers.drawing.packing import packed_water, varints
from routecheck.writers.drawing.water import painted_areas, painted_grids
from routecheck.writers.wording.lengths import Units
from tests.writers import reports

BOX = shapely.box(10.0, 50.0, 10.1, 50.1)


def area(depth_m: float | None, **changes: object) -> WaterArea:
    facts: dict[str, object] = {
        "key": "a", "geometry": BOX, "charted_depth_m": depth_m, "datum": "LAT", "source": "s",
        "vertical_uncertainty_m": 0.5,
    }  # fmt: skip
    return WaterArea(**(facts | changes))  # type: ignore[arg-type]


def grid(depths: object, state: object, **changes: object) -> WaterGrid:
    lon, lat = np.meshgrid([10.0, 10.1], [50.1, 50.0])
    facts: dict[str, object] = {
        "charted_depth_m": np.array(depths, dtype=np.float32),
        "state": np.array(state, dtype=np.uint8), "lon_deg": lon, "lat_deg": lat, "datum": "LAT",
        "source": "g", "vertical_fixed_m": 0.5,
    }  # fmt: skip
    return WaterGrid(**(facts | changes))  # type: ignore[arg-type]


def picture(*areas: WaterArea, grids: tuple[WaterGrid, ...] = ()) -> WaterPicture:
    line = TrackLine(
        leg=1, along_m=np.array([0.0, 1.0]), lon_deg=np.array([10.0, 10.1]), lat_deg=np.zeros(2)
    )
    return WaterPicture(bounds_deg=(10, 50, 10.1, 50.1), tracks=(line,), areas=areas, grids=grids)


def numbers(text: str) -> list[int]:
    """The other half of the packing, written anew."""
    found, value, shift = [], 0, 0
    for byte in zlib.decompress(base64.b64decode(text)):
        value |= (byte & 127) << shift
        shift += 7
        if byte < 128:
            found.append(value // 2 if value % 2 == 0 else -(value + 1) // 2)
            value, shift = 0, 0
    return found


def tide(height_m: float, datum: str = "chart datum") -> Tide:
    station = TideStation(name="t", constant_m=height_m)
    return Tide(datum=datum, uncertainty_m=0.1, stations=(station,))


def bands(*areas: WaterArea, **changes: object) -> list[Band]:
    report = replace(reports.empty(), **changes)  # type: ignore[arg-type]
    return [one.band for one in painted_areas(report, picture(*areas), Units.METRIC)]


@given(st.lists(st.integers(-(2**52), 2**52)))
def test_whole_numbers_survive(values: list[int]) -> None:
    text = base64.b64encode(zlib.compress(varints(np.array(values, dtype=np.int64)))).decode()
    assert numbers(text) == values


def test_a_depth_on_chart_datum_is_coloured_by_its_margin() -> None:
    # needed 3.0 m
    assert bands(area(1.0)) == [Band.TOUCHES]
    assert bands(area(2.5)) == [Band.SHORT]
    assert bands(area(3.4)) == [Band.EXACT]
    assert bands(area(20.0)) == [Band.AMPLE]


def test_no_depth_no_datum_and_too_coarse_are_not_assessed() -> None:
    assert bands(area(None)) == [Band.UNKNOWN]
    assert bands(area(50.0, datum="unknown")) == [Band.UNKNOWN]
    assert bands(area(50.0, datum="MSL")) == [Band.UNKNOWN]
    assert bands(area(50.0, coarse=True)) == [Band.UNKNOWN]
    assert bands(area(199.9, coarse=True)) == [Band.UNKNOWN]


def test_they_condemn_all_the_same() -> None:
    assert bands(area(1.0, datum="unknown")) == [Band.TOUCHES]
    assert bands(area(2.5, coarse=True)) == [Band.SHORT]
    assert bands(area(200.0, coarse=True)) == [Band.AMPLE]


def test_the_height_of_tide_counts_up_and_down() -> None:
    assert bands(area(2.5), tide=tide(1.5)) == [Band.SLIM]
    assert bands(area(3.6), tide=tide(-1.0)) == [Band.SHORT]


def test_heights_on_another_datum_clear_nothing() -> None:
    assert bands(area(50.0), tide=tide(1.0, "MSL")) == [Band.UNKNOWN]
    assert bands(area(3.6), tide=tide(-1.0, "MSL")) == [Band.SHORT]


def test_the_worse_of_two_adequate_sources_is_painted_last() -> None:
    painted = painted_areas(
        reports.empty(),
        picture(area(1.0, key="shoal"), area(20.0, key="deep"), area(2.5, key="short")),
        Units.METRIC,
    )
    assert [one.area.key for one in painted] == ["deep", "short", "shoal"]


def test_what_clears_nothing_lies_beneath_and_coarse_beneath_adequate() -> None:
    painted = painted_areas(
        reports.empty(),
        picture(
            area(20.0, key="adequate"),
            area(2.5, key="coarse shoal", coarse=True),
            area(50.0, key="msl", datum="MSL"),
            area(None, key="hole"),
        ),
        Units.METRIC,
    )
    order = [one.area.key for one in painted]
    assert order == ["msl", "coarse shoal", "adequate", "hole"]


def test_cells_of_a_grid() -> None:
    report = reports.empty()
    one = grid([[1.0, 2.5, 20.0, 0.0]], [[2, 2, 1, 0]])
    (painted,) = painted_grids(report, picture(grids=(one,)), Units.METRIC)
    assert painted.bands.tolist()[0][:3] == [Band.TOUCHES, Band.SHORT, Band.AMPLE]
    assert painted.layers[0, 3] == 255
    assert 255 not in painted.layers[0, :3]
    (coarse,) = painted_grids(report, picture(grids=(replace(one, coarse=True),)), Units.METRIC)
    assert coarse.bands.tolist()[0][:3] == [Band.TOUCHES, Band.SHORT, Band.UNKNOWN]


def test_packed_depths_are_rounded_down_and_uncertainty_up() -> None:
    report = reports.empty()
    shown = picture(area(5.499, vertical_uncertainty_m=0.501))
    text, sources, datums = packed_water(painted_areas(report, shown, Units.METRIC), (), ())
    look, source, datum, stated, depth, height, uncertainty = numbers(text)[1:8]
    assert (sources[source], datums[datum]) == ("s", "LAT")
    assert look % 8 == Band.EXACT or look % 8 == Band.FAIR
    assert (stated, depth, height, uncertainty) == (1, 549, 0, 52)


def test_packed_shapes_keep_their_corners() -> None:
    report = reports.empty()
    shown = picture(area(5.0))
    ground = (GroundShape(geometry=shapely.Point(10.05, 50.05), source="s"),)
    text, _, _ = packed_water(painted_areas(report, shown, Units.METRIC), ground, ())
    flat = numbers(text)
    assert flat[8:11] == [1, 1, 4]  # one polygon, one ring, four corners
    steps = np.array(flat[11:19]).reshape(4, 2).cumsum(axis=0) * 1e-6
    assert {tuple(p) for p in steps.round(6)} == {
        (10.0, 50.0), (10.1, 50.0), (10.1, 50.1), (10.0, 50.1)
    }  # fmt: skip
    assert flat[19:] == [1, 0, 1, 0, 1, 10050000, 50050000, 0]
