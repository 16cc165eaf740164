"""Rocks, wrecks, obstructions and the like, with their own depth or none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from routecheck.model.beltwords import belt_words
from routecheck.model.chart import Severity
from routecheck.model.datum import stands_below_tides
from routecheck.model.departures import LegDepartures
from routecheck.model.depth_items import DepthItems, sweep_codes
from routecheck.model.depth_sum import DepthSum
from routecheck.model.finding import Finding
from routecheck.model.ground import told_as_depth
from routecheck.model.leastwords import least_depth_title
from routecheck.model.objects import Danger, DangerKind, Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import NOTHING, Codes, check, code_of
from routecheck.model.view import LegView, Met, Touch
from routecheck.units import metres_down, metres_up

DEEP_ON_ANY_DATUM_M = 200.0
"""No datum is so far off another (common practice, as for what too coarse a source clears)."""


_IN_RANGE = "it is charted as not shoaler than its depth area."


def _sweep(view: LegView, departures: LegDepartures) -> Codes:
    summed, fixed = [], NOTHING
    for met in view.dangers:
        depth_m = None if met.object.stands_out else _depth_m(met)
        if depth_m is not None:
            if not told_as_depth(met, depth_m, view):
                summed.append((met, depth_m))
        else:
            stands = met.object.stands_out
            alone = (
                _out_of_the_water(met, view) if stands else _unknown(met, view, departures.passage)
            )
            fixed = min(fixed, code_of(alone.severity))
    items = DepthItems.of_rows(
        (
            met.place,
            depth_m,
            met.quality.vertical_uncertainty_m(depth_m),
            met.datum or met.source.datum,
            met.object.unreliable,
            met.quality.known,
        )
        for met, depth_m in summed
    )
    told = [
        met.object.kind is DangerKind.MARINE_FARM or _floating_datum(met, depth_m)
        for met, depth_m in summed
    ]
    otherwise = np.where(told, code_of(Severity.CAUTION), NOTHING).astype(np.int8)
    return np.minimum(sweep_codes(items, departures, otherwise=otherwise), np.int8(fixed))


@check(
    name="underwater-danger",
    group="dangers",
    needs={Layer.DANGERS},
    gives={Severity.DANGER, Severity.CAUTION},
    sweep=_sweep,
)
def underwater_danger(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A rock, wreck or obstruction with too little water over it, or with none known.

    Rule      its own depth is held against the boat as in too-little-water. One that stands out
              of the water or floats (WATLEV 1, 2, 6, 7; a wreck whose masts or hull show; a boom)
              is a danger at any depth. A depth that is not stated, or does not go with what else
              is charted, is a danger, but for foul ground and wrecks charted as not dangerous or
              as remains (a caution), and for one charted as not shoaler than its depth area
              (EXPSOU 1 or 3: that area's shoal depth, unless it uncovers and the area does not).
              Where nothing else is known the finding names the depth that the IHO's display rules
              would take; it never makes a danger less. A marine farm with water enough over it:
              caution. A depth of less than 200 m over it on a datum that cannot clear (unknown,
              mean sea level without an offset): caution. Only within its position uncertainty: a
              caution. So is the least depth judged that is stated for a sill, an area of cables or
              pipes, a fairway, a track, a swept area, a berth or the like: it never clears. Seabed
              (SBDARE) that is not always under water is a danger of unknown depth, but where it
              covers and uncovers within depth areas that dry: there they are judged.
    Why       A rock is found by the keel only once.
    Examples  found: 99R99
              quiet: 99999
    Settings  draught, under_keel, squat, heel_swell, cross_track; tide.toml.
    Limits    Uncharted dangers; what fishing gear or wreckage has drifted since.
    Sources   IHO S-57 ed. 3.1, UWTROC, WRECKS, OBSTRN, SBDARE with VALSOU, QUASOU, WATLEV,
              EXPSOU, CATWRK, CATOBS, DRVAL1; IHO S-52 PresLib 4.0, DEPVAL02, OBSTRN07, WRECKS05 and
              UDWHAZ05; IMO Res. MSC.232(82), 11.3.5 (point objects nearer than a set distance) and
              appendix 4 (marine farms).
    """
    for met in view.dangers:
        if met.object.stands_out:
            yield _out_of_the_water(met, view)
            continue
        depth_m = _depth_m(met)
        if depth_m is None:
            yield _unknown(met, view, passage)
            continue
        if told_as_depth(met, depth_m, view):
            continue
        finding = _known(met, depth_m, view, passage)
        if finding is not None:
            yield finding


def _depth_m(met: Met[Danger]) -> float | None:
    """The depth over it, its own or that of the water round it, on the datum of the meeting."""
    depth_m = met.object.charted_depth_m
    if depth_m is None and met.object.depth_in_area_range:
        depth_m = met.area_depth_m
        if met.object.uncovers and depth_m is not None and depth_m > 0.0:
            depth_m = None
    return None if depth_m is None else depth_m + met.shift_m


def _sum(met: Met[Danger], depth_m: float, passage: Passage) -> DepthSum:
    tide = passage.height_of_tide(
        datum=met.datum or met.source.datum,
        lon_deg=met.place.lon_deg,
        lat_deg=met.place.lat_deg,
        along_from_m=met.place.along_from_m,
        along_to_m=met.place.along_to_m,
    )
    return DepthSum.of(charted_depth_m=depth_m, quality=met.quality, tide=tide, boat=passage.boat)


def _known(met: Met[Danger], depth_m: float, view: LegView, passage: Passage) -> Finding | None:
    sums = _sum(met, depth_m, passage)
    severity = sums.severity(
        in_corridor=met.place.touch is Touch.CORRIDOR, unreliable=met.object.unreliable
    )
    farm = met.object.kind is DangerKind.MARINE_FARM
    floating = _floating_datum(met, depth_m)
    if severity is None and not farm and not floating:
        return None
    if depth_m < 0.0:
        depth = f"dries {metres_up(-depth_m)}"
    else:
        depth = f"with {metres_down(depth_m)} over it"
    least = met.object.kind is DangerKind.LEAST_DEPTH
    says = sums.sentence("of water" if least else "of water over it")
    if met.object.charted_depth_m is None:
        says += " No depth of its own is charted; "
        ground = met.object.kind is DangerKind.GROUND
        says += "it lies in ground that dries." if ground else _IN_RANGE
    if farm:
        says += " Cages, lines and buoys may reach higher, and move."
    if floating:
        datum = met.datum or met.source.datum
        said = (
            "nobody states the datum of that depth" if datum == "unknown" else f"it is on {datum}"
        )
        says += f" It may condemn, never clear: {said}."
    if severity is Severity.DANGER and not least:
        says += _alone(met, sums)
    title = f"{_name(met)} {depth}"
    if least:
        title = least_depth_title(met.object, depth_m)
        says += " The chart states it for the whole object, beside the depths that it shows there."
    return _finding(met, view, severity or Severity.CAUTION, title, says, sums.lines())


def _floating_datum(met: Met[Danger], depth_m: float) -> bool:
    """Whether the depth stands on a datum from which it cannot be shown to be enough."""
    return depth_m < DEEP_ON_ANY_DATUM_M and not stands_below_tides(met.datum or met.source.datum)


def _alone(met: Met[Danger], sums: DepthSum) -> str:
    """Whether it stands alone in water that would do: an isolated danger."""
    if met.area_depth_m is None:
        return ""
    round_it_m = met.area_depth_m + met.shift_m + sums.tide.height_m
    if round_it_m < sums.boat.needed_m:
        return ""
    return f" It stands alone: the water round it is charted at {metres_down(met.area_depth_m)}."


def _out_of_the_water(met: Met[Danger], view: LegView) -> Finding:
    near = met.place.touch is Touch.BELT
    return _finding(
        met,
        view,
        Severity.CAUTION if near else Severity.DANGER,
        f"{_name(met)}, {met.object.water_level or 'afloat'}",
        "It stands out of the water or floats: no height of tide takes a boat over it.",
        {"charted_depth_m": "none: it stands out or floats"},
    )


def _unknown(met: Met[Danger], view: LegView, passage: Passage) -> Finding:
    needed_m, assumed_m = passage.boat.needed_m, met.object.default_depth_m
    reaches = met.object.dangerous or (assumed_m is not None and assumed_m < needed_m)
    severity = Severity.CAUTION
    if reaches and met.place.touch is Touch.CORRIDOR:
        severity = Severity.DANGER
    says = "No depth over it is known: it counts as reaching any keel."
    if not met.object.dangerous:
        says = "No depth over it is charted; it is charted as not dangerous to surface navigation."
    if met.object.kind is DangerKind.FOUL_GROUND:
        says = "Foul ground without a depth: passable by its charting, bad to anchor on."
    if met.object.water_level:
        says += f" Charted as: {met.object.water_level}."
    if met.area_depth_m is not None:
        says += f" The water round it is charted at {metres_down(met.area_depth_m)}."
    sums: dict[str, float | str] = {"charted_depth_m": "not known"}
    if assumed_m is not None:
        says += f" {_assumed(assumed_m)}"
        sums |= {"assumed_depth_m": assumed_m, "needed_m": needed_m}
    return _finding(met, view, severity, f"{_name(met)} of unknown depth", says, sums)


def _assumed(depth_m: float) -> str:
    where = f"{depth_m:g} m below" if depth_m >= 0.0 else f"{-depth_m:g} m above"
    return (
        f"As a last resort the display rules of the IHO (S-52) would take it to reach {where} "
        "chart datum."
    )


def _name(met: Met[Danger]) -> str:
    return f"{met.object.kind.value} {met.object.name}".strip()


def _finding(
    met: Met[Danger],
    view: LegView,
    severity: Severity,
    title: str,
    says: str,
    sums: Mapping[str, float | str],
) -> Finding:
    beyond = belt_words(met.place)
    if beyond:
        says += f" {beyond}"
    return Finding(
        check="underwater-danger",
        severity=severity,
        title=title,
        explanation=says,
        leg=view.leg.number,
        object_key=met.object.key,
        cls=met.object.cls,
        along_m=met.place.along_m,
        along_to_m=met.place.along_to_m,
        cross_m=met.place.cross_m,
        lon_deg=met.place.lon_deg,
        lat_deg=met.place.lat_deg,
        sums=sums,
        source=met.source.id,
        rests_on=f"{met.source.id}, quality {met.quality.name}",
    )
