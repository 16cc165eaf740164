"""Every pass of a mark by the whole track, with all that bears on its side; no judgement.

A pass is a local minimum of the distance from the whole track, so that a mark outside a bend is
met once and belongs to one leg. Beside the side passed it holds the mark's hand, the region,
and the grounds that say whether the track goes with or against the direction of buoyage.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from routecheck.model.chart import ChartSet
from routecheck.model.objects import LATERAL_KINDS, Mark, MarkKind
from routecheck.model.passes import EdgeCrossed, GatePass, MarkPass
from routecheck.nav.angles import wrap180_deg
from routecheck.nav.buoyage import CARDINAL_DEG, contradiction, kind_from_colours, quadrant
from routecheck.nav.markshapes import shape_contradiction
from routecheck.nav.quadrantlook import quadrant_from_look
from routecheck.survey import gates, runs
from routecheck.survey.cardinal import nearest_in_opposite_m
from routecheck.survey.corridors import LegCorridor, outward_m
from routecheck.survey.edgelines import edges_crossed
from routecheck.survey.edges import Edges, edge_grounds
from routecheck.survey.markset import MarkSet, mark_set, nearby
from routecheck.survey.marktrack import MarkTrack, mark_track
from routecheck.survey.minima import Minimum, minima, near_lines
from routecheck.survey.senses import Senses
from routecheck.survey.staggered import Staggered, staggered_gates
from routecheck.survey.standing import doubts
from routecheck.survey.steering import SteeringLines
from routecheck.survey.zones import Stated, Zones, conflict, foremost
from routecheck.units import METRES_PER_NMI

RUN_REACH_M = METRES_PER_NMI
"""Marks of a run are projected on the track from this far at least."""


_ON_DANGER = (MarkKind.ISOLATED_DANGER, MarkKind.EMERGENCY_WRECK, MarkKind.UNKNOWN)
"""What stands on a danger, or may."""


class MarkIndex:
    """The marks of a chart set, their runs and the zones: made once, used for any route."""

    def __init__(self, charts: ChartSet) -> None:
        """Put the charts' marks together."""
        self.marks: MarkSet = mark_set(charts)
        self.zones = Zones(charts)
        self.steering = SteeringLines(charts)
        self.runs = runs.Runs(self.marks.marks)
        count = len(self.marks.marks)
        self.uncertainty_m = np.array([self.marks.uncertainty_m(i) for i in range(count)])


def mark_passes(
    route_corridors: Sequence[LegCorridor],
    charts: ChartSet,
    *,
    far_m: float,
    region: str = "",
    index: MarkIndex | None = None,
) -> dict[int, tuple[MarkPass, ...]]:
    """The passes by number of leg, along each leg.

    Marks are met out to `far_m`, or the corridor's half-width if that is more. `region` ("A",
    "B" or "") is the user's setting for the whole route. `index` saves time where many routes
    are laid over one chart set.
    """
    held = index if index is not None else MarkIndex(charts)
    made: dict[int, list[MarkPass]] = {c.leg.number: [] for c in route_corridors}
    if held.marks.marks and route_corridors:
        for one in _Survey(route_corridors, charts, held, far_m, region).passes():
            made[one.leg].append(one)
    return {
        leg: tuple(sorted(those, key=lambda p: (p.along_m, p.distance_m, p.mark.key)))
        for leg, those in made.items()
    }


class _Survey:
    """One route over one set of marks."""

    def __init__(
        self,
        route_corridors: Sequence[LegCorridor],
        charts: ChartSet,
        held: MarkIndex,
        far_m: float,
        region: str,
    ) -> None:
        self.charts = charts
        self.held, self.marks, self.region = held, held.marks, region
        self.corridors = {c.leg.number: c for c in route_corridors}
        self.within_m = {c.leg.number: max(far_m, c.port_m, c.starboard_m) for c in route_corridors}
        # What stands on a danger may lie nearer to the track than it is charted.
        on_danger = np.array([m.kind in _ON_DANGER for m in held.marks.marks])
        self.room_m = np.where(on_danger, held.uncertainty_m, 0.0)
        self.room_m = self.room_m + np.array([m.spread_m for m in held.marks.marks])
        self.reach_m = max(*self.within_m.values(), RUN_REACH_M)
        self.reach_m = max(self.reach_m, max(self.within_m.values()) + float(self.room_m.max()))
        self.track: MarkTrack = mark_track(route_corridors)
        self.near = near_lines(self.track, self.marks, self.reach_m)
        self.minima = minima(self.track, self.near, self.reach_m, held.uncertainty_m)
        self.kinds: dict[int, MarkKind] = {}
        self.edges: dict[Minimum, Edges] = {}
        self.crossed: dict[Minimum, tuple[EdgeCrossed, ...]] = {}
        self.staggered: dict[Minimum, Staggered] = {}
        self.doubts: dict[int, tuple[str, ...]] = {}
        self.sense = Senses(held.marks, held.runs, self.track, self.minima, self.within_m)
        self.stated_regions: dict[int, list[Stated]] = {}
        self.stated_directions: dict[int, list[Stated]] = {}

    def passes(self) -> list[MarkPass]:
        """All passes near enough to be listed."""
        met = [
            m
            for mark in sorted(self.minima)
            for m in self.minima[mark]
            if m.distance_m <= self.within_m[m.leg] + self.room_m[mark]
        ]
        wanted = sorted({m.mark for m in met})
        self._read_zones(wanted)
        pairs = gates.facing_pairs(self.marks, self._hands(wanted), wanted, self.held.runs)
        self.edges = edge_grounds(met, self.kinds)
        self.crossed = edges_crossed(
            self.track,
            self.near,
            self.marks,
            self.kinds,
            self.held.runs,
            met,
            max(self.within_m.values()),
        )
        self.staggered = staggered_gates(
            self.track, self.near, self.marks, self.kinds, self.held.runs, met, self.edges
        )
        self.doubts = doubts(self.charts, self.marks, wanted)
        crossed = gates.crossings(self.track, self.near, self.marks, sorted(set(pairs.values())))
        lon, lat = self.track.lines.positions(
            np.array([m.line for m in met], dtype=np.intp), np.array([m.along_m for m in met])
        )
        places = zip(wrap180_deg(lon).tolist(), lat.tolist(), strict=True)
        made = []
        for one, place in zip(met, places, strict=True):
            pair = pairs.get(one.mark)
            made.append(self._pass(one, place, pair, crossed[pair] if pair is not None else ()))
        return made

    def _read_zones(self, wanted: Sequence[int]) -> None:
        here = np.asarray(wanted, dtype=np.intp)
        zones = self.held.zones.at(self.marks.lon_deg[here], self.marks.lat_deg[here])
        for mark, hold in zip(wanted, zones, strict=True):
            self.stated_regions[mark] = self.held.zones.regions(
                hold, self.marks.marks[mark], self.region
            )
            self.stated_directions[mark] = self.held.zones.directions(hold)

    def _hands(self, wanted: Sequence[int]) -> dict[int, MarkKind]:
        """The hands of all lateral marks; colours alone are read only where it may matter."""
        found = {n: m.kind for n, m in enumerate(self.marks.marks) if m.kind in LATERAL_KINDS}
        coloured = np.array([n for n, k in found.items() if k is MarkKind.LATERAL], dtype=np.intp)
        if len(coloured):
            lon, lat = self.marks.lon_deg, self.marks.lat_deg
            mine = np.asarray(wanted, dtype=np.intp)
            # A mark of a pair, and whatever may be nearer to its partner.
            beside = nearby(
                lon[mine], lat[mine], lon[coloured], lat[coloured], 2.0 * gates.WIDEST_M
            )
            close = sorted({int(coloured[j]) for _, j in beside})
            self._read_zones([n for n in close if n not in self.stated_regions])
            for number in close:
                mark = self.marks.marks[number]
                kind = kind_from_colours(mark.colours, self._region(number)[0])
                found[number] = MarkKind(kind or "lateral")
        self.kinds = found
        return found

    def _region(self, mark: int) -> tuple[str, str]:
        """(region, who states it); nothing where zones of one standing contradict each other."""
        stated = foremost(self.stated_regions[mark])
        if len({one.region for one in stated}) != 1:
            return "", ""
        return stated[0].region, stated[0].text

    def _pass(
        self,
        at: Minimum,
        place: tuple[float, float],
        pair: gates.Pair | None,
        crossed: Sequence[gates.Crossing],
    ) -> MarkPass:
        mark = self.marks.marks[at.mark]
        region, region_from = self._region(at.mark)
        kind = self.kinds.get(at.mark, mark.kind)
        look = None
        if kind is MarkKind.CARDINAL:
            look = quadrant_from_look(mark.colours, mark.top_mark)
            kind = MarkKind(look.named or kind)
        crossing = self._crossing(at, crossed)
        other_channel = self._other_channel(at, pair, crossed)
        reasons = self.sense.reasons(
            at,
            crossing,
            self.stated_directions[at.mark],
            self.edges.get(at),
            self.held.steering.ground(*place, at.course_deg),
        )
        conflicts = [conflict(self.stated_regions[at.mark]), *reasons.conflicts]
        # On the track itself the mark has no bearing: then square to the course.
        bearing_deg = at.bearing_deg if at.distance_m >= 0.5 else (at.course_deg - 90.0) % 360.0
        opposite_m = None
        if kind in CARDINAL_DEG:
            opposite_m = nearest_in_opposite_m(
                self.track, self.near, at.mark, kind.value, self.within_m[at.leg]
            )
        # Where the region is contested the mark must fit either.
        regions = foremost(self.stated_regions[at.mark])
        either = {one.region for one in regions} or {region}
        fits = [contradiction(mark.kind.value, mark.colours, one) for one in sorted(either)]
        fits_not = next(filter(None, fits), "")
        if look is not None and look.contradicts:
            fits_not = look.doubt
        return MarkPass(
            mark=mark,
            leg=at.leg,
            along_m=min(max(at.leg_along_m, 0.0), self.corridors[at.leg].length_m),
            cross_m=at.cross_m,
            distance_m=at.distance_m,
            side="starboard" if at.cross_m >= 0.0 else "port",
            lon_deg=place[0],
            lat_deg=place[1],
            course_deg=at.course_deg,
            kind=kind,
            region=region,
            region_from=region_from,
            position_uncertainty_m=float(self.held.uncertainty_m[at.mark]),
            grounds=reasons.grounds,
            followed_run=reasons.followed_run,
            beside_run=reasons.beside_run,
            gate=self._gate(at, crossing, other_channel),
            edges=self.crossed.get(at, ()),
            in_corridor=self._in_corridor(at),
            contradiction=fits_not,
            conflict="; ".join(c for c in conflicts if c),
            track_side_of_mark=quadrant(bearing_deg),
            track_bearing_deg=bearing_deg,
            opposite_m=opposite_m,
            passed=at.passed,
            other_channel=other_channel,
            odd_shape=shape_contradiction(kind.value, mark.shape, mark.top_mark),
            doubtful=self.doubts.get(at.mark, ()),
            run=self.held.runs.name(at.mark),
            uncertain_hand=look.doubt
            if look
            else _uncertain_hand(kind, mark.colours, region, conflict(regions)),
            quadrant_by=look.by if look is not None else "",
        )

    def _in_corridor(self, at: Minimum) -> bool:
        corridor = self.corridors[at.leg]
        width_m = corridor.starboard_m if at.cross_m >= 0.0 else corridor.port_m
        return at.distance_m - self.marks.marks[at.mark].spread_m <= outward_m(width_m)

    def _crossing(self, at: Minimum, crossed: Sequence[gates.Crossing]) -> gates.Crossing | None:
        """The crossing of the mark's pair that belongs to this pass: the nearest along."""
        if not crossed:
            return None
        nearest = min(crossed, key=lambda c: abs(c.route_along_m - at.route_along_m))
        # A track that meets the mark again later crosses there, not here.
        again = min(
            (m for m in self.minima[at.mark]),
            key=lambda m: abs(m.route_along_m - nearest.route_along_m),
        )
        off_m = abs(nearest.route_along_m - at.route_along_m)
        return nearest if again == at and off_m <= 2.0 * self.reach_m else None

    def _gate(
        self, at: Minimum, crossing: gates.Crossing | None, other_channel: str
    ) -> GatePass | None:
        """The facing pair, if its marks are passed together, else the staggered gate."""
        second: Mark | None = None
        bend_m: float | None = 0.0
        if crossing is not None and crossing.abreast:
            first = crossing.pair.partner(at.mark)
        elif at in self.staggered and not other_channel:
            held = self.staggered[at]
            crossing, first, bend_m = held.crossing, held.first, held.bend_m
            second = self.marks.marks[held.second]
        else:
            return None
        partner = self.marks.marks[first]
        return GatePass(
            partner_key=partner.key,
            partner_name=partner.name,
            width_m=crossing.pair.width_m,
            between=crossing.between,
            lon_deg=crossing.lon_deg,
            lat_deg=crossing.lat_deg,
            outside_m=crossing.outside_m,
            nearer=crossing.nearer == at.mark,
            off_middle_m=crossing.off_middle_m,
            edge_key=second.key if second is not None else "",
            edge_name=second.name if second is not None else "",
            bend_m=bend_m,
        )

    def _other_channel(
        self, at: Minimum, pair: gates.Pair | None, crossed: Sequence[gates.Crossing]
    ) -> str:
        """The partner in a pair that is passed by: further off than it is wide, and not crossed."""
        if pair is None or self._crossing(at, crossed) is not None:
            return ""
        if pair.width_m > at.distance_m:
            return ""
        partner = self.marks.marks[pair.partner(at.mark)]
        return partner.name or f"an unnamed {partner.kind.value} mark"


def _uncertain_hand(kind: MarkKind, colours: Sequence[str], region: str, contested: str) -> str:
    if kind is not MarkKind.LATERAL:
        return ""
    if not colours:
        return "neither its hand nor its colours are stated"
    if contested:
        return f"its hand follows from the region, and {contested}"
    if not region:
        return "its hand follows from the region, and nothing states the region"
    return f"{', '.join(colours)} names no hand in region {region}"
