"""What must be said of a route, worked out place by place: the oracle.

It meets every object, cell by cell and corner by corner, and makes claims: "of leg 2 at least a
caution must stand in the group depth, because of this object". It claims only what it is sure of:
the corridor is drawn 2 cm narrower than it is, and sums are short by more than its own rounding.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from tests.oracle import sums, tides
from tests.oracle.areas import Regulated, area_claims
from tests.oracle.cells import squares_touching
from tests.oracle.corridor import Corridor, Part, corridor, distance_from
from tests.oracle.marks import mark_claims
from tests.oracle.plane import Floats, Sheet, inside, shared
from tests.oracle.sources import Sources, on_datum, usable
from tests.oracle.sums import CAUTION, DANGER, NOT_ASSESSED, NOTHING

World = dict[str, Any]
Window = tuple[float, float] | None


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
        for grid in world["grids"]:
            self._grid(grid)
        self._cover()
        self.regulated = Regulated(world, self.corridor, self.sources)
        self.fixed += [
            Claim(legs, "marks", rank, key, text)
            for legs, rank, key, text in mark_claims(world, self.corridor)
        ]

    def claims(self, clock: dict[str, Any]) -> list[Claim]:
        """All that must be said for one boat, tide and departure."""
        tide = self.world["tides"][clock["tide"]]
        made = list(self.fixed)
        rounding = tides.rounding_m(tide)
        for item in self.items:
            window = self.window(clock, item["legs"], item["along_m"])
            rank, text = sums.depth_rank(item, clock, tide, window, rounding)
            if rank == NOT_ASSESSED:  # the tide at that time: one line a leg
                made.append(Claim(item["legs"], "depth", rank, "", text))
            rank = max(rank if rank != NOT_ASSESSED else NOTHING, item["floor"])
            if rank:
                made.append(Claim(item["legs"], item["group"], rank, item["key"], text))
        for span in self.spans:
            window = self.window(clock, span["legs"], span["along_m"])
            rank, text = sums.air_rank(
                span["span"], clock, tide, window, rounding, belt=span["belt"]
            )
            if rank:
                made.append(Claim(span["legs"], "overhead", rank, span["span"]["key"], text))
        made += [
            Claim(legs, "areas", rank, key, text)
            for legs, rank, key, text in area_claims(self.regulated, clock, self.window_at)
        ]
        return made

    def window_at(self, clock: dict[str, Any], leg: int, along_m: float) -> Window:
        """The same, of one leg and a distance along it."""
        return self.window(clock, frozenset({leg}), {leg: along_m})

    def window(
        self, clock: dict[str, Any], legs: frozenset[int], along_m: dict[int, float]
    ) -> Window:
        """The span of time in which the boat may be at a place; None without a clock."""
        leg = min(legs)
        start = self.start_s(clock, leg)
        speed = self.speed_mps(clock, leg)
        if start is None or speed is None:
            return None
        at = start + along_m[leg] / speed
        return at - clock["eta_s"], at + clock["eta_s"]

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
                self._belt(chart, one, shape, "depth")

    def _dangers(self, chart: dict[str, Any]) -> None:
        for one in chart["dangers"]:
            shape = self.sheet.xy(one["at"])
            for part, places in self._meet(chart, shape, "point"):
                self._danger(chart, one, part.legs, places[0], belt=False)
            self._belt(chart, one, shape, "dangers")

    def _belt(self, chart: dict[str, Any], one: dict[str, Any], shape: Floats, group: str) -> None:
        """What lies outside a leg's strip, but within its position uncertainty of it: the nearest
        corner counts, with the quality there."""
        for part in self.corridor.parts:
            if len(part.legs) != 1:
                continue
            away = distance_from(shape, part)
            nearest = int(away.argmin())
            if away[nearest] <= 0.0 or away[nearest] > 600.0:
                continue
            place = shape[nearest]
            if self.sources.perhaps_hidden(chart, place[None])[0]:
                continue
            qualities = self.sources.qualities(chart, place)
            near = min(sums.belt_m(chart, q, one["depth_m"]) for q in qualities)
            if away[nearest] <= max(near, one.get("accuracy_m") or 0.0) - 0.1:
                if group == "depth":
                    self._item(chart, one, part.legs, place, group, belt=True)
                else:
                    self._danger(chart, one, part.legs, place, belt=True)

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
                if a["depth_m"] is not None and inside(place[None], self.sources.flat[a["key"]])[0]
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
        depth, datum = on_datum(chart, float(one["depth_m"]))
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
            hidden = self.sources.perhaps_hidden(chart, shape)
            for part in self.corridor.parts:
                away = distance_from(shape[~hidden], part)
                if len(part.legs) == 1 and (away <= near).any():
                    self.fixed.append(
                        Claim(part.legs, "dangers", CAUTION, one["key"], "land in its belt")
                    )

    def _spans(self, chart: dict[str, Any]) -> None:
        for one in chart["spans"]:
            shape = self.sheet.shape(one["line"], ring=False)
            for part, places in self._meet(chart, shape, "line"):
                along = self._along(part.legs, places[0])
                self.spans.append({"span": one, "legs": part.legs, "along_m": along, "belt": False})

    def _grid(self, grid: dict[str, Any]) -> None:
        """Every cell with a depth, as a rectangle of its own; the shoalest of each part counts."""
        depths, rings = squares_touching(grid, self.sheet, [p.ring for p in self.corridor.parts])
        better = self._better_grids(grid)
        for part, touched in zip(self.corridor.parts, rings, strict=True):
            taken = 0
            for n in sorted(touched, key=lambda n: depths[n][0]):
                depth, ring = depths[n]
                places = shared(ring, "ring", part.ring)
                free = np.ones(len(places), dtype=bool)
                for other in better:
                    free &= ~self.sources.gridded(other, places)
                if self.sources.coarse(grid):
                    free &= ~self.sources.cleared_about(places)
                if not free.any():
                    continue
                place = places[free][0]
                self._item(grid_as_chart(grid), {"key": grid["id"], "depth_m": depth}, part.legs,
                           place, "depth", belt=False)  # fmt: skip
                taken += 1
                if taken == 2:
                    break

    def _better_grids(self, grid: dict[str, Any]) -> list[dict[str, Any]]:
        """Adequate grids that go before this one: quality, then resolution; never rougher ones."""

        def rank(one: dict[str, Any]) -> tuple[float, float]:
            known = sums.known(one["quality"])
            return (one["quality"]["vertical_m"] if known else 1e9, one["resolution_m"])

        return [
            other
            for other in self.world["grids"]
            if other is not grid
            and usable(other)
            and not self.sources.coarse(other)
            and rank(other) <= rank(grid)
            and other["resolution_m"] <= grid["resolution_m"]
        ]

    def _cover(self) -> None:
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
                spot = self.sheet.proj(*around[0][n], inverse=True)
                self.fixed.append(
                    Claim(legs, group, rank, "", f"{text} at {spot[0]:.6f} {spot[1]:.6f}")
                )

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
                        lon = grid["x"] + c * grid["dx"]
                        spots.append(self.sheet.xy([(lon, grid["y"] - r * grid["dy"])])[0])
        return np.array(spots).reshape(-1, 2)


_ROUND = ((0.0, 0.0), (1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))


def grid_as_chart(grid: dict[str, Any]) -> dict[str, Any]:
    """A grid has one quality and no zones."""
    return {**grid, "qualities": [], "scale": None}
