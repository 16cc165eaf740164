"""What the map's script makes of the packed water, against plain Python."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import shapely

from routecheck.model.picture import CellState, WaterGrid
from routecheck.writers.drawing.bands import STYLES, Band
from routecheck.writers.drawing.water import painted_areas, painted_grids
from routecheck.writers.map_html import to_map
from routecheck.writers.wording.lengths import Units
from tests.browser.conftest import Opened
from tests.browser.test_map import ready
from tests.writers import reports

ASK = """places => places.map(p => {
  const found = routecheck.waterAt(routecheck.water, p[0], p[1]);
  return !found ? "nothing" : found.land ? "land" : found.band;
})"""


def places(count: int = 400) -> list[list[float]]:
    random = np.random.default_rng(5)
    return np.column_stack(
        [random.uniform(9.97, 10.16, count), random.uniform(49.98, 50.09, count)]
    ).tolist()


def test_uppermost_water_is_the_one_painted_last(opened: Opened) -> None:
    report = reports.hazards()
    picture = reports.water(report)
    page = ready(opened(to_map(report, picture)))
    painted = painted_areas(report, picture, Units.METRIC)
    land = shapely.union_all([one.geometry for one in picture.ground])
    expected: list[Any] = []
    for lon, lat in places():
        point = shapely.Point(lon, lat)
        over = [one for one in painted if one.area.geometry.contains(point)]
        top = max(over, key=lambda one: one.layer, default=None)
        if land.contains(point):
            expected.append("land")
        else:
            expected.append("nothing" if top is None else int(top.band))
    assert page.evaluate(ASK, places()) == expected
    assert {"land", "nothing", int(Band.TOUCHES), int(Band.AMPLE)} <= set(expected)


def slanted_grid() -> WaterGrid:
    """A grid turned against the meridians, part of it empty."""
    random = np.random.default_rng(3)
    rows, columns = 17, 23
    depth = random.uniform(-1.0, 20.0, (rows, columns)).astype(np.float32)
    state = random.choice([0, 1, 2, 2, 2, 2], (rows, columns)).astype(np.uint8)
    depth[state == CellState.EMPTY] = 0.0
    down, across = np.meshgrid(np.linspace(0, 1, 5), np.linspace(0, 1, 4), indexing="ij")
    return WaterGrid(
        charted_depth_m=depth,
        state=state,
        lon_deg=9.98 + 0.13 * across + 0.02 * down + 0.004 * across * down,
        lat_deg=50.08 - 0.08 * down + 0.015 * across,
        datum="LAT",
        source="survey.tif",
        vertical_fixed_m=0.5,
        vertical_share=0.01,
    )


def test_cells_of_a_slanted_grid_lie_where_they_are(opened: Opened) -> None:
    report = reports.hazards()
    one = slanted_grid()
    picture = replace(reports.water(report), areas=(), ground=(), grids=(one,))
    page = ready(opened(to_map(report, picture)))
    (painted,) = painted_grids(report, picture, Units.METRIC)
    rows, columns = one.state.shape
    random = np.random.default_rng(11)
    asked, expected = [], []
    for cell in random.integers(0, rows * columns, 200):
        row, column = divmod(int(cell), columns)
        # The middle of the cell, by bilinear interpolation of the lattice's corners in its part.
        y = (row + random.uniform(0.1, 0.9)) / rows * 4
        x = (column + random.uniform(0.1, 0.9)) / columns * 3
        i, j = int(y), int(x)
        weights = np.outer([1 - (y - i), y - i], [1 - (x - j), x - j])
        part = (slice(i, i + 2), slice(j, j + 2))
        asked.append(
            [float((one.lon_deg[part] * weights).sum()), float((one.lat_deg[part] * weights).sum())]
        )
        empty = one.state[row, column] == CellState.EMPTY
        expected.append("nothing" if empty else int(painted.bands[row, column]))
    assert page.evaluate(ASK, asked) == expected
    assert "nothing" in expected


def test_depths_arrive_rounded_down(opened: Opened) -> None:
    report = reports.hazards()
    picture = reports.water(report)
    page = ready(opened(to_map(report, picture)))
    arrived = page.evaluate("routecheck.water.areas.map(a => a.depth)")
    painted = painted_areas(report, picture, Units.METRIC)
    for depth_m, one in zip(arrived, painted, strict=True):
        charted_m = one.area.charted_depth_m
        if charted_m is None:
            assert depth_m is None
        else:
            assert charted_m - 0.01 - 1e-6 <= depth_m <= charted_m + 1e-6


def test_unassessed_water_does_not_look_like_deep_water(opened: Opened) -> None:
    report = reports.hazards()
    page = ready(opened(to_map(report, reports.water(report))))
    colours = page.evaluate(
        """places => places.map(p => {
          const at = routecheck.map.latLngToLayerPoint([p[1], p[0]]);
          return ["water", "basis"].map(pane => {
            const canvas = document.querySelector(`.leaflet-${pane}-pane canvas`);
            const corner = L.DomUtil.getPosition(canvas);
            return [...canvas.getContext("2d")
              .getImageData(at.x - corner.x, at.y - corner.y, 1, 1).data];
          });
        })""",
        [[10.09, 50.05], [10.14, 50.03]],
    )
    (deep, _), (hole, ground) = colours
    assert "#" + "".join(f"{v:02x}" for v in deep[:3]) == STYLES[Band.AMPLE].fill
    assert hole[3] == 0
    assert ground[3] == 255
    assert abs(ground[2] - deep[2]) > 8


def test_a_click_on_the_water_tells_its_sum(opened: Opened) -> None:
    report = reports.hazards()
    page = ready(opened(to_map(report, reports.water(report))))
    at = page.evaluate(
        "() => { const p = routecheck.map.latLngToContainerPoint([50.05, 10.09]);"
        " const r = document.getElementById('chart').getBoundingClientRect();"
        " return [p.x + r.left, p.y + r.top]; }"
    )
    page.mouse.click(*at)
    text = page.locator(".leaflet-popup .card").inner_text()
    for words in ("14.00 m", "3.00 m", "11.00 m", "INVENTED.000", "LAT"):
        assert words in text
