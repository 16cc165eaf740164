"""Whether the charts cover the corridor: sounded at random places, and where they have holes."""

from __future__ import annotations

from typing import Any

import numpy as np

from tests.oracle import sums
from tests.oracle.cells import lonlat_of
from tests.oracle.corridor import Corridor
from tests.oracle.plane import Floats, inside
from tests.oracle.sources import Sources
from tests.oracle.sums import CAUTION, NOT_ASSESSED

Found = tuple[frozenset[int], str, int, str, str]
_ROUND = ((0.0, 0.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))


class Cover:
    """One world's corridor, and what covers it: (legs, group, rank, "", why) of what does not."""

    def __init__(self, world: dict[str, Any], corridor: Corridor, sources: Sources) -> None:
        self.world, self.corridor, self.sources = world, corridor, sources
        self.made: list[Found] = []

    def claims(self) -> list[Found]:
        """Sound the corridor at random places, and where the charts have their own holes."""
        dice = np.random.default_rng(self.world["seed"])
        spots = self.corridor.samples(dice, 24)
        holes = self._holes()
        for part in self.corridor.parts:
            here = holes[inside(holes, part.ring)] if len(holes) else holes
            if len(here):
                spots.append((part.legs, here[:12]))
        for legs, points in spots:
            if len(legs) == 1:
                leg = self.corridor.legs[min(legs)]
                room = 0.2 * min(1.0, leg.port_m, leg.starboard_m)
            else:
                room = 0.2
            self._sound(legs, points, max(room, 0.15))
        return self.made

    def _sound(self, legs: frozenset[int], points: Floats, room_m: float) -> None:
        rings = [p.ring for p in self.corridor.parts if p.legs == legs]
        around = [points + room_m * np.array(step) for step in _ROUND]
        within = np.all([np.any([inside(a, r) for r in rings], axis=0) for a in around], axis=0)
        around = [a[within] for a in around]
        if not within.any():
            return
        bare, deep, unknown, unseen = [], [], [], []
        for at in around:
            held = self.sources.clearing(at)
            some = np.any([c for _, c in held], axis=0) if held else np.zeros(len(at), bool)
            coarse = self.sources.deep_but_coarse(at)
            bare.append(~some & ~coarse)
            deep.append(~some & coarse)
            unknown.append(self.sources.surely_clearing(at) & ~self._stated(held, at))
            unseen.append(~self.sources.shown(at) | self.sources.unsurveyed(at))
        for what, rank, group, text in (
            (bare, NOT_ASSESSED, "coverage", "no depth that clears"),
            (unseen, NOT_ASSESSED, "coverage", "no chart shows dangers and marks, or unsurveyed"),
            # A coarse grid is looked at stretch by stretch: beside shoaler cells it clears nothing.
            (deep, CAUTION, "depth or coverage", "only a coarse source"),
            (unknown, CAUTION, "depth", "only depths of unknown quality"),
        ):
            everywhere = np.all(what, axis=0)
            if everywhere.any():
                n = int(np.flatnonzero(everywhere)[0])
                spot = self.sources.sheet.proj(*around[0][n], inverse=True)
                self.made.append((legs, group, rank, "", f"{text} at {spot[0]:.6f} {spot[1]:.6f}"))

    def _stated(self, held: list[Any], points: Floats) -> Any:
        """Where a source that clears states its quality."""
        found = np.zeros(len(points), dtype=bool)
        for source, here in held:
            for n in np.flatnonzero(here & ~found):
                if "scale" in source:
                    qualities = self.sources.qualities(source, points[n])
                    found[n] = any(sums.known(q) for q in qualities)
                else:
                    found[n] = sums.known(source["quality"])
        return found

    def _holes(self) -> Floats:
        """Middles of what charts and grids leave out."""
        spots = []
        for chart in self.world["charts"]:
            for one in [*chart["unsurveyed"], *(a for a in chart["areas"] if a["depth_m"] is None)]:
                spots.append(self.sources.flat[one["key"]][:-1].mean(axis=0))
            for n in range(len(chart["holes"])):
                ring = self.sources.flat[f"{chart['id']}/h{n}"]
                spots += [ring[:-1].mean(axis=0), *(ring[:-1] * 0.7 + ring[:-1].mean(axis=0) * 0.3)]
        for grid in self.world["grids"]:
            for r, row in enumerate(grid["depth_m"]):
                for c, value in enumerate(row):
                    if value is None:
                        xy = grid["x"] + c * grid["dx"], grid["y"] - r * grid["dy"]
                        spots.append(self.sources.sheet.xy(lonlat_of(grid, np.array([xy])))[0])
        return np.array(spots).reshape(-1, 2)
