"""Rocks, wrecks, obstructions and the like, with their own depth or none."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.depth_sum import DepthSum
from routecheck.model.finding import Finding
from routecheck.model.objects import Danger, Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Met, Touch


@check(
    name="underwater-danger",
    group="dangers",
    needs={Layer.DANGERS},
    gives={Severity.DANGER, Severity.CAUTION},
)
def underwater_danger(view: LegView, passage: Passage) -> Iterator[Finding]:
    """A rock, wreck or obstruction with too little water over it, or with none known.

    Rule      its own depth is held against the boat as in too-little-water; a depth that is not
              stated is a danger, but for foul ground and wrecks charted as not dangerous (a
              caution) and for one charted within the range of its depth area (that area's
              shoal depth). Only within its position uncertainty: a caution.
    Why       A rock is found by the keel only once.
    Examples  found: 99R99
              quiet: 99999
    Settings  draught, under_keel, squat, heel_swell, cross_track; tide.toml.
    Limits    Uncharted dangers; what fishing gear or wreckage has drifted since.
    Sources   IHO S-57 ed. 3.1, UWTROC, WRECKS, OBSTRN with VALSOU, WATLEV, EXPSOU, CATWRK,
              CATOBS; IMO Res. MSC.232(82), 11.3.5 (point objects nearer than a set distance).
    """
    for met in view.dangers:
        finding = _known(met, view, passage) or _unknown(met, view)
        if finding is not None:
            yield finding


def _depth_m(met: Met[Danger]) -> float | None:
    depth_m = met.object.charted_depth_m
    if depth_m is None and met.object.depth_in_area_range:
        depth_m = met.area_depth_m
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


def _known(met: Met[Danger], view: LegView, passage: Passage) -> Finding | None:
    depth_m = _depth_m(met)
    if depth_m is None:
        return None
    sums = _sum(met, depth_m, passage)
    severity = sums.severity(
        in_corridor=met.place.touch is Touch.CORRIDOR, unreliable=met.object.unreliable
    )
    if severity is None:
        return None
    depth = f"dries {-depth_m:.1f} m" if depth_m < 0.0 else f"with {depth_m:.1f} m over it"
    says = (
        f"{sums.available_m:.1f} m of water over it against {sums.boat.needed_m:.1f} m needed: "
        f"margin {sums.margin_m:.1f} m, uncertainty {sums.uncertainty_m:.1f} m."
    )
    if met.object.charted_depth_m is None:
        says += " No depth of its own is charted; it lies within the range of its depth area."
    return _finding(met, view, severity, f"{_name(met)} {depth}", says, sums)


def _unknown(met: Met[Danger], view: LegView) -> Finding | None:
    if _depth_m(met) is not None:
        return None
    dangerous = met.object.dangerous and met.place.touch is Touch.CORRIDOR
    severity = Severity.DANGER if dangerous else Severity.CAUTION
    says = "No depth over it is charted: it counts as reaching any keel."
    if not met.object.dangerous:
        says = "No depth over it is charted; it is charted as not dangerous to surface navigation."
    if met.object.kind.value == "foul ground":
        says = "Foul ground without a depth: passable by its charting, bad to anchor on."
    if met.object.water_level:
        says += f" Charted as: {met.object.water_level}."
    if met.area_depth_m is not None:
        says += f" The water round it is charted at {met.area_depth_m:.1f} m."
    return _finding(met, view, severity, f"{_name(met)} of unknown depth", says, None)


def _name(met: Met[Danger]) -> str:
    return f"{met.object.kind.value} {met.object.name}".strip()


def _finding(
    met: Met[Danger],
    view: LegView,
    severity: Severity,
    title: str,
    says: str,
    sums: DepthSum | None,
) -> Finding:
    if met.place.touch is Touch.BELT:
        says += (
            f" As charted it lies outside the corridor, but its position is only known to "
            f"{met.place.belt_m:.0f} m."
        )
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
        sums=sums.lines() if sums else {"charted_depth_m": "not charted"},
        source=met.source.id,
        rests_on=f"{met.source.id}, quality {met.quality.name}",
    )
