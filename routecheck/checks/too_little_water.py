"""The depth check: not enough water for this boat with what its skipper wants below the keel."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from routecheck.model.beltwords import belt_clause
from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.depth_items import depth_items, sweep_codes
from routecheck.model.depth_sum import DepthSum
from routecheck.model.finding import Evidence, Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import Codes, check
from routecheck.model.shoal import BESIDE_M, Shallow, Shoal, shoals
from routecheck.model.view import DepthFrom, DepthGridMet, DepthMet, LegView, Place, Touch
from routecheck.units import METRES_PER_NMI, metres_down, metres_up

_STRETCH_M = 0.05 * METRES_PER_NMI


def _sweep(view: LegView, departures: LegDepartures) -> Codes:
    return sweep_codes(depth_items(view), departures)


@check(
    name="too-little-water",
    group="depth",
    needs={Layer.DEPTH},
    gives={Severity.DANGER, Severity.CAUTION},
    sweep=_sweep,
)
def too_little_water(view: LegView, passage: Passage) -> Iterator[Finding]:
    """Too little water under the keel.

    Rule      charted depth + lowest height of tide < draught + squat + heel and swell
              + under-keel clearance: danger; within the uncertainty of depth and tide,
              or only within the position uncertainty of the depth: caution.
    Why       The keel touches, or the skipper's margin is used up by an error of the chart.
    Examples  found: 99499
              found: 9949a
              quiet: 99599
    Settings  draught, under_keel, squat, heel_swell, cross_track, eta; tide.toml.
    Limits    Knows only what is charted: between soundings the bottom may be shoaler. A shoal
              that has moved since the survey is not seen. Grids are read cell by cell.
    Sources   IMO Res. MSC.232(82), 11.3.4 (route across a safety contour); IHO S-57 ed. 3.1,
              DEPARE, DRGARE, DEPCNT, SOUNDG; zones of confidence: attribute CATZOC.
    """
    failing = [s for s in (_judged(met, passage) for met in view.depths if met.counts) if s]
    for grid in view.grids:
        failing.extend(_grid_stretches(grid, passage))
    for shoal in shoals(_worst_of_each(failing)):
        yield _finding(shoal, view)


def _judged(met: DepthMet, passage: Passage) -> Shallow | None:
    tide = passage.height_of_tide(
        datum=met.datum,
        lon_deg=met.place.lon_deg,
        lat_deg=met.place.lat_deg,
        along_from_m=met.place.along_from_m,
        along_to_m=met.place.along_to_m,
    )
    sums = DepthSum.of(
        charted_depth_m=met.charted_depth_m, quality=met.quality, tide=tide, boat=passage.boat
    )
    severity = sums.severity(
        in_corridor=met.place.touch is Touch.CORRIDOR, unreliable=met.unreliable
    )
    if severity is None:
        return None
    return Shallow(
        key=met.key,
        cls=met.cls,
        name=met.name,
        depth_from=met.depth_from,
        sum=sums,
        severity=severity,
        place=met.place,
        source=met.source,
        quality_name=met.quality.name,
        reach=shapely.from_wkb(met.reach_wkb)
        if met.reach_wkb
        else shapely.Point(met.place.along_m, met.place.cross_m),
        # A sounding or contour beside a shoal may be off by its own uncertainty.
        room_m=BESIDE_M if met.depth_from is DepthFrom.AREA else max(BESIDE_M, met.place.belt_m),
        remark=_remark(met),
    )


def _remark(met: DepthMet) -> str:
    if met.place.touch is Touch.BELT:
        return f"as charted it lies {belt_clause(met.place)}"
    if met.unreliable:
        return "the sounding is marked doubtful or unreliable"
    if met.coarse:
        return "the chart is coarse, and no larger scale shows this place"
    return ""


def _worst_of_each(failing: list[Shallow]) -> list[Shallow]:
    """An object cut by zones of quality or datum counts once, with its worst part in front."""
    order = list(Severity)

    def rank(one: Shallow) -> tuple[int, float]:
        return (order.index(one.severity), one.sum.margin_m - one.sum.uncertainty_m)

    best: dict[str, Shallow] = {}
    for one in failing:
        held = best.get(one.key)
        if held is None or rank(one) < rank(held):
            best[one.key] = one
    return list(best.values())


def _grid_stretches(grid: DepthGridMet, passage: Passage) -> Iterator[Shallow]:
    """Stretches of a grid that fail: those that cannot fail are passed over in one sweep."""
    boat = passage.boat
    ends = grid.along_to_m
    leg_m = float(ends.max()) if len(ends) else 0.0
    tide_range_m = passage.lowest_possible_m(leg_m, grid.datum)
    spread_m = grid.uncertainty_m
    suspect = grid.charted_depth_m + tide_range_m - spread_m <= boat.needed_m
    for index in np.flatnonzero(suspect & grid.counts):
        depth_m = float(grid.charted_depth_m[index])
        place = Place(
            along_m=float(grid.along_m[index]),
            cross_m=float(grid.cross_m[index]),
            lon_deg=float(grid.lon_deg[index]),
            lat_deg=float(grid.lat_deg[index]),
            along_from_m=float(grid.along_from_m[index]),
            along_to_m=float(grid.along_to_m[index]),
        )
        tide = passage.height_of_tide(
            datum=grid.datum,
            lon_deg=place.lon_deg,
            lat_deg=place.lat_deg,
            along_from_m=place.along_from_m,
            along_to_m=place.along_to_m,
        )
        quality = grid.quality_of(int(index))
        sums = DepthSum(
            charted_depth_m=depth_m,
            tide=tide,
            uncertainty_m=float(spread_m[index]) + tide.uncertainty_m,
            boat=boat,
            known=quality.known,
        )
        severity = sums.severity(in_corridor=True)
        if severity is None:
            continue
        cell_m = grid.source.resolution_m or _STRETCH_M
        stretch = round(place.along_from_m / _STRETCH_M)
        yield Shallow(
            key=f"{grid.source.id}/stretch/{stretch}",
            cls="grid cell",
            name="",
            depth_from=DepthFrom.GRID,
            sum=sums,
            severity=severity,
            place=place,
            source=grid.source,
            quality_name=quality.name,
            reach=shapely.Point(place.along_m, place.cross_m),
            # Stretches side by side see cells side by side.
            room_m=max(1.6 * cell_m, 1.1 * (place.along_to_m - place.along_from_m)),
            remark="the source is coarse, and no better one covers this place"
            if grid.coarse
            else "",
        )


def _finding(shoal: Shoal, view: LegView) -> Finding:
    lead = shoal.lead
    sums = lead.sum
    what = lead.depth_from.value if not lead.name else f"{lead.depth_from.value} {lead.name}"
    if sums.charted_depth_m < 0.0:
        depth = f"dries {metres_up(-sums.charted_depth_m)}"
    else:
        depth = f"charted at {metres_down(sums.charted_depth_m)}"
    if sums.margin_m < 0.0 or sums.touches:
        title = f"{what} {depth}: {metres_up(-sums.margin_m)} short"
        if sums.touches and lead.severity is Severity.DANGER:
            title += ", the keel touches"
    else:
        title = f"{what} {depth}: margin {metres_down(sums.margin_m)} within its uncertainty"
    says = [sums.sentence("of water")]
    if sums.touches and lead.severity is Severity.DANGER:
        touches = metres_up(sums.boat.touches_at_m)
        says.append(f"At {touches} the keel touches: the boat would ground.")
    if lead.remark:
        says.append(lead.remark[0].upper() + lead.remark[1:] + ".")
    if not sums.tide.applies:
        says.append(sums.tide.text[0].upper() + sums.tide.text[1:] + ".")
    return Finding(
        check="too-little-water",
        severity=lead.severity,
        title=title,
        explanation=" ".join(says),
        leg=view.leg.number,
        object_key=lead.key,
        cls=lead.cls,
        along_m=lead.place.along_m,
        along_to_m=lead.place.along_to_m,
        cross_m=lead.place.cross_m,
        lon_deg=lead.place.lon_deg,
        lat_deg=lead.place.lat_deg,
        sums=sums.lines(),
        evidence=tuple(_evidence(one) for one in shoal.evidence),
        source=lead.source.id,
        rests_on=f"{lead.source.id}, quality {lead.quality_name}; tide: {sums.tide.text}",
    )


def _evidence(one: Shallow) -> Evidence:
    return Evidence(
        key=one.key,
        cls=one.cls,
        text=f"{one.depth_from.value}, {metres_down(one.sum.charted_depth_m)}, "
        f"margin {metres_down(one.sum.margin_m)}" + (f"; {one.remark}" if one.remark else ""),
        severity=one.severity,
        charted_depth_m=one.sum.charted_depth_m,
        lon_deg=one.place.lon_deg,
        lat_deg=one.place.lat_deg,
        along_m=one.place.along_m,
        cross_m=one.place.cross_m,
        source=one.source.id,
    )
