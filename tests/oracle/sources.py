"""Which source counts at a place, place by place.

Rules: between chart cells the largest scale first; what is too coarse (cells over the limit, scale
under it) clears nothing but water of 200 m and more; a source on a datum that is not a low-water
one (and has no stated offset) clears nothing; unsurveyed areas and areas without a depth are
holes; land is no water, but no hole either. A cell of larger scale hides what a smaller one shows,
but not where it says itself that it does not know.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyproj import Proj

from tests.oracle import sums
from tests.oracle.plane import Floats, Sheet, from_chain, inside
from tests.oracle.tides import LOW_DATUMS

Bools = NDArray[np.bool_]
_EDGE_M = 0.15


def usable(source: dict[str, Any]) -> bool:
    if source["datum"] == "MSL":
        return source["datum_below_msl_m"] is not None
    return source["datum"] in LOW_DATUMS


def on_datum(source: dict[str, Any], depth_m: float, datum: str = "") -> tuple[float, str]:
    """A depth and its datum (`datum`: that of its zone), brought from mean sea level to chart
    datum by the stated offset."""
    datum = datum or source["datum"]
    if datum == "MSL" and source["datum_below_msl_m"] is not None:
        return depth_m - source["datum_below_msl_m"], "chart datum"
    return depth_m, datum


class Sources:
    """All sources of a world on its sheet."""

    def __init__(self, world: dict[str, Any], sheet: Sheet) -> None:
        self.world, self.sheet = world, sheet
        self.charts, self.grids = world["charts"], world["grids"]
        self.flat: dict[str, Floats] = {}
        for chart in self.charts:
            for kind in ("areas", "lands", "unsurveyed"):
                for one in chart[kind]:
                    self.flat[one["key"]] = sheet.shape(one["ring"], ring=True)
            for n, zone in enumerate(chart["qualities"]):
                self.flat[f"{chart['id']}/q{n}"] = sheet.shape(zone["ring"], ring=True)
            for n, zone in enumerate(chart["datum_zones"]):
                self.flat[f"{chart['id']}/z{n}"] = sheet.shape(zone["ring"], ring=True)
            for n, hole in enumerate(chart["holes"]):
                self.flat[f"{chart['id']}/h{n}"] = sheet.shape(hole["ring"], ring=True)
            if chart["coverage"] is not None:
                self.flat[chart["id"]] = sheet.shape(chart["coverage"], ring=True)

    def coarse(self, source: dict[str, Any]) -> bool:
        limits = self.world["margins"]
        if "resolution_m" in source:
            return bool(source["resolution_m"] > limits["coarsest_grid_m"])
        return source["scale"] is not None and source["scale"] > limits["smallest_scale"]

    def _in_any(self, points: Floats, things: list[dict[str, Any]]) -> Bools:
        found = np.zeros(len(points), dtype=bool)
        for one in things:
            found |= inside(points, self.flat[one["key"]])
        return found

    def _better(self, chart: dict[str, Any]) -> list[dict[str, Any]]:
        """Cells of larger scale that are fine enough."""
        if chart["kind"] != "cell":
            return []
        return [
            other
            for other in self.charts
            if other["kind"] == "cell"
            and other["scale"] < chart["scale"]
            and not self.coarse(other)
        ]

    def taken(self, chart: dict[str, Any], points: Floats) -> Bools:
        """Where a better cell's coverage alone may clear."""
        found = np.zeros(len(points), dtype=bool)
        for other in self._better(chart):
            found |= self.covering(other, points)
        return found

    def covering(self, chart: dict[str, Any], points: Floats) -> Bools:
        """Where a cell says that it covers: inside its bounds, and in no hole of them."""
        found = inside(points, self.flat[chart["id"]])
        for n in range(len(chart["holes"])):
            found &= ~inside(points, self.flat[f"{chart['id']}/h{n}"])
        return found

    def perhaps_hidden(self, chart: dict[str, Any], points: Floats) -> Bools:
        """Where a better cell hides what this one shows, or may by a hand's breadth."""
        found = np.zeros(len(points), dtype=bool)
        for other in self._better(chart):
            if not usable(other):
                continue
            ring = self.flat[other["id"]]
            over = inside(points, ring) | (from_chain(points, ring) < _EDGE_M)
            blind = np.zeros(len(points), dtype=bool)
            bare = [a for a in other["areas"] if a["depth_m"] is None] + other["unsurveyed"]
            edges = [self.flat[one["key"]] for one in bare]
            edges += [self.flat[f"{other['id']}/h{n}"] for n in range(len(other["holes"]))]
            for edge in edges:
                blind |= inside(points, edge) & (from_chain(points, edge) > _EDGE_M)
            stated = [a for a in other["areas"] if a["depth_m"] is not None] + other["lands"]
            blank = ~self._in_any(points, stated)
            for one in stated:
                blank &= from_chain(points, self.flat[one["key"]]) > _EDGE_M
            blind |= blank
            found |= over & ~blind
        return found

    def free(self, chart: dict[str, Any], points: Floats) -> Floats:
        """The places where surely no better cell hides what a chart shows."""
        return points[~self.perhaps_hidden(chart, points)] if len(points) else points

    def charted(self, chart: dict[str, Any], points: Floats, *, least_m: float = -99.0) -> Bools:
        """Where a chart states a depth (of at least `least_m`), or land, and that counts."""
        deep = [a for a in chart["areas"] if a["depth_m"] is not None and a["depth_m"] >= least_m]
        held = self._in_any(points, deep + (chart["lands"] if least_m < 0.0 else []))
        blank = [a for a in chart["areas"] if a["depth_m"] is None]  # also below land
        held &= ~self._in_any(points, chart["unsurveyed"] + blank) & ~self.taken(chart, points)
        if chart["coverage"] is not None:
            held &= self.covering(chart, points)
        return held & self._usable_at(chart, points)

    def _usable_at(self, chart: dict[str, Any], points: Floats) -> Bools:
        """Where a depth of a chart stands on a datum that lets it clear."""
        found = np.full(len(points), usable(chart))
        for n, zone in enumerate(chart["datum_zones"]):
            found[inside(points, self.flat[f"{chart['id']}/z{n}"])] = zone["datum"] in LOW_DATUMS
        return found

    def datum_at(self, chart: dict[str, Any], point: Floats) -> str | None:
        """The sounding datum at a place; None on the edge of a zone, where it may be either."""
        found = chart["datum"]
        for n, zone in enumerate(chart.get("datum_zones", ())):
            ring = self.flat[f"{chart['id']}/z{n}"]
            if from_chain(point[None], ring)[0] < _EDGE_M:
                return None
            if inside(point[None], ring)[0]:
                found = zone["datum"]
        return str(found)

    def gridded(self, grid: dict[str, Any], points: Floats, *, least_m: float = -1e9) -> Bools:
        """Where a grid holds a depth (of at least `least_m`), given the benefit of the doubt at
        its rim."""
        rows = grid["depth_m"]
        column, row = self._cell(grid, points)
        reach = grid["reach"]
        found = (column >= -reach) & (column <= len(rows[0]) - 1 + reach)
        found &= (row >= -reach) & (row <= len(rows) - 1 + reach)
        near_c = np.clip(np.round(column).astype(int), 0, len(rows[0]) - 1)
        near_r = np.clip(np.round(row).astype(int), 0, len(rows) - 1)
        for n in np.flatnonzero(found):
            value = rows[near_r[n]][near_c[n]]
            found[n] = value is not None and value >= least_m
        return np.asarray(found)

    def surely_gridded(self, grid: dict[str, Any], points: Floats) -> Bools:
        """The same without any doubt: nodes hold for what lies between four of them, cells for
        themselves, and none is without a depth."""
        column, row = self._cell(grid, points)
        share = 0.0 if grid["reach"] == 1.0 else 0.5
        low_c, low_r = np.floor(column + share), np.floor(row + share)
        steps = (0, 1) if grid["reach"] == 1.0 else (0,)
        found = np.ones(len(points), dtype=bool)
        for n in range(len(points)):
            for r in (int(low_r[n]) + step for step in steps):
                for c in (int(low_c[n]) + step for step in steps):
                    held = 0 <= r < len(grid["depth_m"]) and 0 <= c < len(grid["depth_m"][0])
                    found[n] &= held and grid["depth_m"][r][c] is not None
        return found

    def _cell(self, grid: dict[str, Any], points: Floats) -> tuple[Floats, Floats]:
        """(column, row) of places; the value of column 0, row 0 stands at 0, 0."""
        xy = np.column_stack(self.sheet.proj(points[:, 0], points[:, 1], inverse=True))
        if grid["epsg"] is None:
            xy[:, 0] += 360.0 * np.round((grid["x"] - xy[:, 0]) / 360.0)
        else:
            xy = np.column_stack(Proj(f"EPSG:{grid['epsg']}")(*xy.T))
        return (xy[:, 0] - grid["x"]) / grid["dx"], (grid["y"] - xy[:, 1]) / grid["dy"]

    def clearing(self, points: Floats) -> list[tuple[dict[str, Any], Bools]]:
        """The adequate sources and where each states a depth that may clear."""
        made = [(c, self.charted(c, points)) for c in self.charts if not self.coarse(c)]
        made += [
            (g, self.gridded(g, points)) for g in self.grids if not self.coarse(g) and usable(g)
        ]
        return made

    def surely_clearing(self, points: Floats) -> Bools:
        """Where an adequate source states a depth that clears, beyond doubt."""
        found = np.zeros(len(points), dtype=bool)
        for chart in self.charts:
            if not self.coarse(chart):
                found |= self.charted(chart, points)
        for grid in self.grids:
            if not self.coarse(grid) and usable(grid):
                found |= self.surely_gridded(grid, points)
        return found

    def cleared_about(self, points: Floats) -> Bools:
        """Where an adequate source states a depth within a hand's breadth."""
        found = np.zeros(len(points), dtype=bool)
        for step in ((0.0, 0.0), (1.0, 0.3), (-1.0, -0.3), (-0.3, 1.0), (0.3, -1.0)):
            for _, clears in self.clearing(points + _EDGE_M * np.array(step)):
                found |= clears
        return found

    def deep_but_coarse(self, points: Floats) -> Bools:
        """Where a coarse source alone shows 200 m or more."""
        found = np.zeros(len(points), dtype=bool)
        for chart in self.charts:
            if self.coarse(chart):
                found |= self.charted(chart, points, least_m=200.0)
        for grid in self.grids:
            if self.coarse(grid) and usable(grid):
                found |= self.gridded(grid, points, least_m=200.0)
        return found

    def shown(self, points: Floats) -> Bools:
        """Where a chart cell of a fit scale shows dangers, marks and the rest."""
        found = np.zeros(len(points), dtype=bool)
        for chart in self.charts:
            if chart["coverage"] is not None and not self.coarse(chart):
                found |= self.covering(chart, points)
        return found

    def unsurveyed(self, points: Floats) -> Bools:
        """Where a chart that counts says that nobody has looked."""
        found = np.zeros(len(points), dtype=bool)
        for chart in self.charts:
            if chart["unsurveyed"]:
                here = self._in_any(points, chart["unsurveyed"])
                found |= here & ~self.perhaps_hidden(chart, points)
        return found

    def qualities(self, chart: dict[str, Any], point: Floats) -> list[dict[str, Any] | None]:
        """The quality at a place, the worst of the zones there; several at a zone's edge."""
        worst, edge = None, False
        for n, zone in enumerate(chart["qualities"]):
            ring = self.flat[f"{chart['id']}/q{n}"]
            edge |= bool(from_chain(point[None], ring)[0] < _EDGE_M)
            if inside(point[None], ring)[0] and (worst is None or zone["catzoc"] > worst):
                worst = zone["catzoc"]
        if edge:
            zones = [sums.CATZOC[z["catzoc"]] for z in chart["qualities"]]
            return [chart["quality"], *zones]
        return [chart["quality"] if worst is None else sums.CATZOC[worst]]
