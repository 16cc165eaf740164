"""What must be said of a route, worked out place by place: the oracle.

It meets every object, cell by cell and corner by corner, and makes claims: "of leg 2 at least a
caution must stand in the group depth, because of this object". It claims only what it is sure of:
the corridor is drawn 2 cm narrower than it is, and sums are short by more than its own rounding.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import Any

import numpy as np

from tests.oracle import sums, tides
from tests.oracle.areas import Regulated, area_claims
from tests.oracle.cells import squares_touching
from tests.oracle.clockwork import clock_claims
from tests.oracle.corridor import Corridor, Part, arc_m, corridor
from tests.oracle.cover import Cover
from tests.oracle.limits import beside_a_limit
from tests.oracle.marks import mark_claims
from tests.oracle.plane import Floats, Sheet, around, shared, touches
from tests.oracle.sources import Sources, on_datum, usable
from tests.oracle.sums import CAUTION, DANGER, NOT_ASSESSED, NOTHING

World = dict[str, Any]
Window = tuple[float, float] | None
_AT_ONCE = 32
"""Cells of a grid that are asked together: a wider look, the same answer."""


@dataclass(frozen=True)
class Claim:
    """At least `rank` must be said of one of `legs` (from 0) in `group`; of `key`, if not ""."""

    legs: frozenset[int]
    group: str
    rank: int
    key: str
    text: str


class Oracle:
    """One world, met once; then judged for each clock."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.sheet = Sheet(world["lon"], world["lat"])
        self.corridor: Corridor = corridor(world, self.sheet)
        self.sources = Sources(world, self.sheet)
        self.items: list[dict[str, Any]] = []
        self.spans: list[dict[str, Any]] = []
        self.fixed: list[Claim] = []
        for chart in world["charts"]:
            self._depths(chart)
            self._dangers(chart)
            self._lands(chart)
            self._spans(chart)
            self._unsurveyed(chart)
        for grid in world["grids"]:
            self._grid(grid)
        self.fixed += [
            Claim(*found) for found in Cover(world, self.corridor, self.sources).claims()
        ]
        self.arcs_m = [
            arc_m(before, after, radius_m)
            for before, after, radius_m in zip(
                self.corridor.legs[:-1],
                self.corridor.legs[1:],
                world["route"]["radius_m"][1:-1],
                strict=True,
            )
        ]
        self.regulated = Regulated(world, self.corridor, self.sources)
        self.fixed += [
            Claim(legs, "marks", rank, key, text)
            for legs, rank, key, text in mark_claims(world, self.corridor)
        ]

    def claims(self, clock: dict[str, Any]) -> list[Claim]:
        """All that must be said for one boat, tide and departure."""
        tide = self.world["tides"][clock["tide"]]
        made = list(self.fixed)
        for item in self.items:
            rank, text = min(  # one of its legs must speak, each with its own time
                sums.depth_rank(item, clock, here, window, tides.rounding_m(here))
                for window in self.windows(clock, item["legs"], item["along_m"])
                for here in tides.stations_at(tide, item["at"])
            )
            if rank == NOT_ASSESSED:  # the tide at that time: one line a leg
                made.append(Claim(item["legs"], "depth", rank, "", text))
            every = tides.stations_at(tide, item["at"])
            if all(sums.hangs_on_a_level(item, clock, s, tides.rounding_m(s)) for s in every):
                made.append(Claim(item["legs"], "depth", NOT_ASSESSED, "", "a datum not placed"))
            if tides.in_no_zone(tide, item["at"]) and all(
                sums.hangs_on_the_tide(item, clock, s, tides.rounding_m(s)) for s in every
            ):
                made.append(Claim(item["legs"], "depth", CAUTION, "tide/zone", "in no zone"))
            rank = max(rank if rank != NOT_ASSESSED else NOTHING, item["floor"])
            if rank:
                made.append(Claim(item["legs"], item["group"], rank, item["key"], text))
        for span in self.spans:
            rank, text = min(
                sums.air_rank(
                    span["span"], clock, here, window, tides.rounding_m(here), belt=span["belt"]
                )
                for window in self.windows(clock, span["legs"], span["along_m"])
                for here in tides.stations_at(tide, span["at"])
            )
            rank = min(rank, CAUTION) if span["belt"] else rank
            if tides.in_no_zone(tide, span["at"]) and not span["belt"]:
                made.append(Claim(span["legs"], "depth", CAUTION, "tide/zone", "in no zone"))
            if rank:
                made.append(Claim(span["legs"], "overhead", rank, span["span"]["key"], text))
        made += [
            Claim(legs, "areas", rank, key, text)
            for legs, rank, key, text in area_claims(self.regulated, clock, self.window_at)
        ]
        made += [
            Claim(legs, "time", rank, key, text)
            for legs, rank, key, text in clock_claims(
                self.world, self.corridor, clock, self.window_at
            )
        ]
        return made

    def windows(
        self, clock: dict[str, Any], legs: frozenset[int], along_m: dict[int, float]
    ) -> list[Window]:
        """The same, of each of some legs."""
        return [self.window_at(clock, leg, along_m[leg]) for leg in sorted(legs)]

    def window_at(self, clock: dict[str, Any], leg: int, along_m: float) -> Window:
        """The span of time in which the boat may be at a place of a leg; None without a clock.

        Counted through the waypoints, and as much earlier as she may be by the arcs of all turns
        before; along the first half of an arc she is as much later as it bulges."""
        start = self.start_s(clock, leg)
        speed = self.speed_mps(clock, leg)
        if start is None or speed is None:
            return None
        at, early_s, late_s = start + along_m / speed, 0.0, 0.0
        for n in range(leg):
            shorter, bulge = self.arcs_m[n]
            early_s += shorter / (self.speed_mps(clock, n) or 1e9) + shorter / (
                self.speed_mps(clock, n + 1) or 1e9
            )
            if n == leg - 1:
                early_s += bulge / speed
        if leg < len(self.arcs_m):
            late_s = self.arcs_m[leg][1] / speed
        # A little less of it than on the sheet, whose courses are of the legs' last pieces.
        return at - clock["eta_s"] - 0.98 * early_s, at + clock["eta_s"] + 0.98 * late_s

    def start_s(self, clock: dict[str, Any], leg: int) -> float | None:
        """When a leg begins."""
        if clock["depart_s"] is None:
            return None
        at = float(clock["depart_s"])
        for n in range(leg):
            speed = self.speed_mps(clock, n)
            if speed is None:
                return None
            at += self.corridor.legs[n].length_m / speed
        return at

    def speed_mps(self, clock: dict[str, Any], leg: int) -> float | None:
        speed = self.world["route"]["legs"][leg]["speed_kn"] or clock["speed_kn"]
        return None if speed is None else float(speed) * 1852.0 / 3600.0

    def _lonlat(self, point: Floats) -> Floats:
        return np.array(self.sheet.proj(*point, inverse=True))

    def _along(self, legs: frozenset[int], point: Floats) -> dict[int, float]:
        return {n: float(self.corridor.legs[n].along(point[None])[0]) for n in legs}

    def _meet(self, chart: dict[str, Any], shape: Floats, kind: str) -> list[tuple[Part, Floats]]:
        """(part, a place in it that no better chart hides) for every part that a shape touches."""
        made = []
        for part in self.corridor.parts:
            places = shared(shape, kind, part.ring)
            if len(places):
                shown = places[~self.sources.perhaps_hidden(chart, places)]
                if len(shown):
                    made.append((part, shown))
        return made

    def _depths(self, chart: dict[str, Any]) -> None:
        things = [
            (one, self.sources.flat[one["key"]], "ring")
            for one in chart["areas"]
            if one["depth_m"] is not None
        ]
        things += [(one, self.sheet.xy(one["at"]), "point") for one in chart["soundings"]]
        things += [
            (one, self.sheet.shape(one["line"], ring=False), "line") for one in chart["contours"]
        ]
        coarse = self.sources.coarse(chart)
        for one, shape, kind in things:
            for part, met in self._meet(chart, shape, kind):
                places = met
                # What is too coarse condemns only where no adequate source covers the place.
                if coarse:
                    places = met[~self.sources.cleared_about(met)]
                for place in places[:4]:
                    self._item(chart, one, part.legs, place, "depth", belt=False)
            if not coarse:
                self._belt(chart, one, shape, kind, "depth")

    def _dangers(self, chart: dict[str, Any]) -> None:
        for one in chart["dangers"]:
            shape = self.sheet.xy(one["at"])
            for part, places in self._meet(chart, shape, "point"):
                self._danger(chart, one, part.legs, places[0], belt=False)
            self._belt(chart, one, shape, "point", "dangers")
            for part in beside_a_limit(self.sources, self.corridor, chart, one, shape):
                self._danger(chart, one, part.legs, shape[0], belt=True)

    def _belt(
        self, chart: dict[str, Any], one: dict[str, Any], shape: Floats, kind: str, group: str
    ) -> None:
        """What lies outside a leg's strip, but within its position uncertainty of it: the nearest
        places count, each with the quality there."""
        for part in self.corridor.parts:
            if len(part.legs) != 1:
                continue
            places, away = around(shape, kind, part.ring, 600.0)
            for place, off_m in list(zip(places, away, strict=True))[:3]:
                if off_m <= 0.0 or self.sources.perhaps_hidden(chart, place[None])[0]:
                    continue
                qualities = self.sources.qualities(chart, place)
                near = min(sums.belt_m(chart, q, one["depth_m"]) for q in qualities)
                if off_m <= max(near, one.get("accuracy_m") or 0.0) - 0.1:
                    if group == "depth":
                        self._item(chart, one, part.legs, place, group, belt=True)
                    else:
                        self._danger(chart, one, part.legs, place, belt=True)
                    break

    def _danger(
        self,
        chart: dict[str, Any],
        one: dict[str, Any],
        legs: frozenset[int],
        place: Floats,
        *,
        belt: bool,
    ) -> None:
        """A rock, wreck, obstruction: its depth held against the boat, or what it is without."""
        depth, key = one["depth_m"], one["key"]
        farm = one["kind"] == "marine farm"
        if depth is None and one["in_area_range"] and not one["stands_out"]:
            depths = [
                a["depth_m"]
                for a in chart["areas"]
                if a["depth_m"] is not None and touches(place, self.sources.flat[a["key"]])
            ]
            depth = min(depths) if depths else None
            if depth is not None and depth > 0.0 and one["uncovers"]:
                depth = None
        if one["stands_out"] or depth is None:
            rank = DANGER if (one["stands_out"] or one["dangerous"]) and not belt else CAUTION
            self.fixed.append(Claim(legs, "dangers", rank, key, "no depth, or stands out"))
            return
        floor = CAUTION if farm else NOTHING
        self._item(chart, {**one, "depth_m": depth}, legs, place, "dangers", belt=belt, floor=floor)

    def _item(
        self,
        chart: dict[str, Any],
        one: dict[str, Any],
        legs: frozenset[int],
        place: Floats,
        group: str,
        *,
        belt: bool,
        floor: int = NOTHING,
    ) -> None:
        zone = self.sources.datum_at(chart, place)
        if zone is None:
            return
        depth, datum = on_datum(chart, float(one["depth_m"]), zone)
        off = min(
            sums.uncertainty_m(q, d)
            for q in self.sources.qualities(chart, place)
            for d in (depth, one["depth_m"])
        )
        self.items.append(
            {
                "key": one["key"],
                "legs": legs,
                "depth_m": depth,
                "datum": datum,
                "u_m": off,
                "belt": belt,
                "unreliable": one.get("unreliable", False),
                "along_m": self._along(legs, place),
                "at": self._lonlat(place),
                "group": group,
                "floor": floor,
            }
        )

    def _lands(self, chart: dict[str, Any]) -> None:
        for one in chart["lands"]:
            shape = self.sources.flat[one["key"]]
            met = self._meet(chart, shape, "ring")
            for part, _ in met:
                self.fixed.append(Claim(part.legs, "dangers", DANGER, one["key"], "land"))
            near = sums.own_belt_m(chart) - 0.1
            for part in self.corridor.parts:
                places, _ = around(shape, "ring", part.ring, near)
                if len(part.legs) == 1 and len(self.sources.free(chart, places)):
                    self.fixed.append(
                        Claim(part.legs, "dangers", CAUTION, one["key"], "land in its belt")
                    )

    def _spans(self, chart: dict[str, Any]) -> None:
        for one in chart["spans"]:
            shape = self.sheet.shape(one["line"], ring=False)
            for part, places in self._meet(chart, shape, "line"):
                self._span(one, part.legs, places[0], belt=False)
            for part in self.corridor.parts:
                near, _ = around(shape, "line", part.ring, sums.own_belt_m(chart) - 0.1)
                free = self.sources.free(chart, near)
                if len(part.legs) == 1 and len(free):
                    self._span(one, part.legs, free[0], belt=True)

    def _span(
        self, one: dict[str, Any], legs: frozenset[int], place: Floats, *, belt: bool
    ) -> None:
        along, at = self._along(legs, place), self._lonlat(place)
        self.spans.append({"span": one, "legs": legs, "along_m": along, "belt": belt, "at": at})

    def _unsurveyed(self, chart: dict[str, Any]) -> None:
        for one in chart["unsurveyed"]:
            for part in self.corridor.parts:
                shape = self.sources.flat[one["key"]]
                near, _ = around(shape, "ring", part.ring, sums.own_belt_m(chart) - 0.1)
                if len(part.legs) == 1 and len(self.sources.free(chart, near)):
                    self.fixed.append(Claim(part.legs, "coverage", CAUTION, "", "unsurveyed near"))

    def _grid(self, grid: dict[str, Any]) -> None:
        """Every cell with a depth, as a rectangle of its own; the shoalest of each part counts."""
        depths, rings = squares_touching(grid, self.sheet, [p.ring for p in self.corridor.parts])
        better = self._better_grids(grid)
        for part, touched in zip(self.corridor.parts, rings, strict=True):
            order = sorted(touched, key=lambda n: depths[n][0])
            shoalest = (
                one
                for at in range(0, len(order), _AT_ONCE)
                for one in self._free(grid, better, part, order[at : at + _AT_ONCE], depths)
            )
            for depth, place in islice(shoalest, 2):
                self._item(grid_as_chart(grid), {"key": grid["id"], "depth_m": depth}, part.legs,
                           place, "depth", belt=False)  # fmt: skip

    def _free(
        self, grid: dict[str, Any], better: list[dict[str, Any]], part: Any, cells: list[int],
        depths: Any,
    ) -> list[tuple[float, Any]]:  # fmt: skip
        """(depth, a place in the part) of those cells that no better source hides all of there."""
        places = [shared(depths[n][1], "ring", part.ring) for n in cells]
        every = np.vstack(places)
        free = np.ones(len(every), dtype=bool)
        for other in better:
            free &= ~self.sources.gridded(other, every)
        if self.sources.coarse(grid):
            free &= ~self.sources.cleared_about(every)
        mine = np.split(free, np.cumsum([len(one) for one in places])[:-1])
        return [
            (depths[n][0], one[held][0])
            for n, one, held in zip(cells, places, mine, strict=True)
            if held.any()
        ]

    def _better_grids(self, grid: dict[str, Any]) -> list[dict[str, Any]]:
        """Adequate grids before this one: by quality, then resolution; no rougher or equal one."""

        def rank(one: dict[str, Any]) -> tuple[float, float]:
            known = sums.known(one["quality"])
            return (one["quality"]["vertical_m"] if known else 1e9, one["resolution_m"])

        return [
            other
            for other in self.world["grids"]
            if other is not grid
            and usable(other)
            and not self.sources.coarse(other)
            and rank(other) < rank(grid)
            and other["resolution_m"] <= grid["resolution_m"]
        ]


def grid_as_chart(grid: dict[str, Any]) -> dict[str, Any]:
    """A grid has one quality and no zones."""
    return {**grid, "qualities": [], "scale": None}
