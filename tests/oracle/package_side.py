"""A world as the package takes it, and what the package says of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cache
from typing import Any

import numpy as np
import shapely

from routecheck.api import settings_for
from routecheck.checks import all_checks
from routecheck.judgement import judge
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet
from routecheck.model.finding import Finding, Report
from routecheck.model.heights import HarmonicHeights, SeriesHeights, TableHeights
from routecheck.model.objects import (
    BuoyageZone,
    Contour,
    CoverageArea,
    Danger,
    DangerKind,
    DatumZone,
    DepthArea,
    Mark,
    MarkKind,
    QualityZone,
    Solid,
    SolidKind,
    Sounding,
    Span,
    Unsurveyed,
)
from routecheck.model.opening import Hours, Opening
from routecheck.model.route import Leg, LegLine, Route, Waypoint
from routecheck.model.source import UNKNOWN_QUALITY, Quality, Source, SourceKind
from routecheck.model.tide import Tide, TideStation
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic
from routecheck.survey.survey import survey
from tests.oracle.package_areas import areas, unknown
from tests.survey.memory_grid import MemoryGrid

RANK = {"note": 0, "caution": 1, "not-assessed": 2, "danger": 3}
GROUP = {check.name: check.group for check in all_checks()}


@dataclass
class Said:
    """What the package says: the worst rank by (leg, group), and by (leg, group, object)."""

    report: Report
    worst: dict[tuple[int, str], int] = field(default_factory=dict)
    objects: dict[tuple[int, str, str], int] = field(default_factory=dict)
    dangers: list[Finding] = field(default_factory=list)

    @classmethod
    def of(cls, report: Report) -> Said:
        said = cls(report)
        for finding in report.findings:
            leg, group = finding.leg - 1, GROUP[finding.check]
            named = [(finding.object_key, RANK[finding.severity.value])]
            named += [(e.key, RANK[e.severity.value]) for e in finding.evidence if e.severity]
            for key, rank in named:
                at = (leg, group, _whole(key))
                said.objects[at] = max(said.objects.get(at, 0), rank)
                said.worst[leg, group] = max(said.worst.get((leg, group), 0), rank)
            if finding.severity.value == "danger":
                said.dangers.append(finding)
        return said


def _whole(key: str) -> str:
    """The grid of a stretch; every other key as it is."""
    return key.split("/stretch/")[0]


def ask(world: dict[str, Any], charts: ChartSet | None = None) -> list[Said]:
    """One survey, and a report for each boat, tide and clock of a world."""
    held = charts if charts is not None else chart_set(world)
    going = route(world)
    boats = [boat(world, clock) for clock in world["clocks"]]
    _, views = survey(going, held, settings_for(boats[0], region=world["region"]))
    tides = [tide(one) for one in world["tides"]]
    return [
        Said.of(
            judge(
                going,
                views,
                held,
                one,
                tide=tides[clock["tide"]],
                depart=None
                if clock["depart_s"] is None
                else datetime.fromtimestamp(clock["depart_s"], UTC),
            )
        )
        for one, clock in zip(boats, world["clocks"], strict=True)
    ]


def route(world: dict[str, Any]) -> Route:
    facts = world["route"]
    places = [
        Waypoint(name=f"W{n}", lon_deg=lon, lat_deg=lat, turn_radius_m=facts["radius_m"][n])
        for n, (lon, lat) in enumerate(facts["points"])
    ]
    legs = tuple(
        Leg(
            number=n + 1,
            start=places[n],
            end=places[n + 1],
            line=LegLine.GREAT_CIRCLE if one["great_circle"] else LegLine.RHUMB,
            xtd_port_m=one["port_m"],
            xtd_starboard_m=one["starboard_m"],
            speed_kn=one["speed_kn"],
            daylight_only=one["daylight_only"],
            openings=tuple(
                Opening(
                    name="bridge",
                    hours=(Hours(start_s=o["start_s"], end_s=o["end_s"], ahead_s=o["ahead_s"]),),
                    along_m=o["along_m"],
                    weekdays=frozenset(o["weekdays"]),
                )
                for o in one["openings"]
            ),
        )
        for n, one in enumerate(facts["legs"])
    )
    return Route(name="campaign", legs=legs, file="campaign")


def boat(world: dict[str, Any], clock: dict[str, Any]) -> Boat:
    skipper = world["margins"]
    return Boat(
        name="boat",
        draught_m=clock["draught_m"],
        air_draught_m=clock["air_draught_m"],
        beam_m=skipper["beam_m"],
        length_m=clock["length_m"],
        speed_kn=clock["speed_kn"],
        margins=Margins(
            under_keel_m=clock["under_keel_m"],
            overhead_m=clock["overhead_m"],
            eta_s=clock["eta_s"],
            squat_m=clock["squat_m"],
            heel_swell_m=clock["heel_swell_m"],
            **{k: v for k, v in skipper.items() if k != "beam_m"},
        ),
    )


def tide(facts: dict[str, Any] | None) -> Tide | None:
    if facts is None:
        return None
    every = [facts, *facts.get("others", ())]
    return Tide(
        datum=facts["datum"],
        uncertainty_m=facts["uncertainty_m"],
        surge_down_m=facts["surge_down_m"],
        surge_up_m=facts["surge_up_m"],
        stations=tuple(_station(one, n, facts["levels_m"]) for n, one in enumerate(every)),
    )


def _station(facts: dict[str, Any], number: int, levels_m: dict[str, float]) -> TideStation:
    kind = facts["kind"]
    more: dict[str, Any]
    if kind == "constant":
        more = {"constant_m": facts["height_m"]}
    elif kind == "harmonic":
        more = {"heights": _harmonic(facts["mean_m"], tuple(map(tuple, facts["constants"])))}
    else:
        when, heights = np.array(facts["time_s"], float), np.array(facts["heights_m"], float)
        more = {
            "heights": TableHeights(event_s=when, event_m=heights)
            if kind == "table"
            else SeriesHeights(time_s=when, sample_m=heights)
        }
    if "at" in facts:
        lon, lat = facts["at"]
        zone = None if facts["zone"] is None else shapely.Polygon(facts["zone"])
        more |= {"lon_deg": (lon + 180.0) % 360.0 - 180.0, "lat_deg": lat, "zone": zone}
    return TideStation(name=f"station {number}", levels_m=levels_m, **more)


@cache
def _harmonic(mean_m: float, constants: tuple[tuple[str, float, float], ...]) -> HarmonicHeights:
    waves = tuple(
        Harmonic(constituent=constituent(n), amplitude_m=h, phase_deg=g) for n, h, g in constants
    )
    return HarmonicHeights(mean_level_m=mean_m, harmonics=waves)


def chart_set(world: dict[str, Any]) -> ChartSet:
    return ChartSet(
        charts=tuple(_chart(one) for one in world["charts"]),
        grids=tuple(_grid(one) for one in world["grids"]),
        zones=tuple(_zone(one, "user", from_user=True) for one in world["zones"]),
    )


def _source(facts: dict[str, Any], kind: SourceKind, **more: Any) -> Source:
    quality = UNKNOWN_QUALITY
    if facts["quality"] is not None:
        stated = facts["quality"]
        quality = Quality(
            name="stated",
            vertical_m=stated["vertical_m"],
            vertical_share=stated["share"],
            horizontal_m=stated["horizontal_m"],
        )
    return Source(
        id=facts["id"],
        file=facts["id"],
        sha256="",
        kind=kind,
        format="memory",
        datum=facts["datum"],
        datum_below_msl_m=facts["datum_below_msl_m"],
        quality=quality,
        **more,
    )


def _chart(facts: dict[str, Any]) -> Chart:
    name = facts["id"]
    kind = SourceKind.CHART_CELL if facts["kind"] == "cell" else SourceKind.VECTOR

    def base(one: dict[str, Any], cls: str, geometry: Any) -> dict[str, Any]:
        return {
            "key": one.get("key", f"{name}/{cls}"),
            "cls": cls,
            "source": name,
            "geometry": geometry,
            "position_uncertainty_m": one.get("accuracy_m"),
        }

    def ring(one: dict[str, Any]) -> shapely.Polygon:
        return shapely.Polygon(one["ring"])

    return Chart(
        source=_source(facts, kind, scale=facts["scale"]),
        depth_areas=tuple(
            DepthArea(charted_depth_m=a["depth_m"], **base(a, "DEPARE", ring(a)))
            for a in facts["areas"]
        ),
        soundings=tuple(
            Sounding(
                charted_depth_m=s["depth_m"],
                unreliable=s["unreliable"],
                **base(s, "SOUNDG", shapely.Point(s["at"])),
            )
            for s in facts["soundings"]
        ),
        contours=tuple(
            Contour(
                charted_depth_m=float(c["depth_m"]),
                **base(c, "DEPCNT", shapely.LineString(c["line"])),
            )
            for c in facts["contours"]
        ),
        dangers=tuple(
            Danger(
                kind=DangerKind(d["kind"]),
                charted_depth_m=d["depth_m"],
                depth_in_area_range=d["in_area_range"],
                dangerous=d["dangerous"],
                stands_out=d["stands_out"],
                uncovers=d["uncovers"],
                unreliable=d["unreliable"],
                **base(d, "OBSTRN", shapely.Point(d["at"])),
            )
            for d in facts["dangers"]
        ),
        solids=tuple(
            Solid(kind=SolidKind.LAND, **base(one, "LNDARE", ring(one))) for one in facts["lands"]
        ),
        unsurveyed=tuple(
            Unsurveyed(**base(one, "UNSARE", ring(one))) for one in facts["unsurveyed"]
        ),
        spans=tuple(_span(one, base) for one in facts["spans"]),
        quality_zones=tuple(
            QualityZone(catzoc=q["catzoc"], **{**base(q, "M_QUAL", ring(q)), "key": f"{name}/q{n}"})
            for n, q in enumerate(facts["qualities"])
        ),
        marks=tuple(_mark(m, base) for m in facts["marks"]),
        areas=areas(facts),
        unknown=unknown(facts),
        buoyage_zones=tuple(_zone(z, name) for z in facts["buoyage"]),
        datum_zones=tuple(
            DatumZone(datum=z["datum"], **{**base(z, "M_SDAT", ring(z)), "key": f"{name}/sdat{n}"})
            for n, z in enumerate(facts["datum_zones"])
        ),
        coverage=tuple(
            CoverageArea(covered=covered, **{**base({}, "M_COVR", shape), "key": f"{name}/v{n}"})
            for n, (covered, shape) in enumerate(coverage(facts))
        ),
    )


def coverage(facts: dict[str, Any]) -> list[tuple[bool, shapely.Polygon]]:
    """(whether there is any, where): with holes cut out, and holes as areas of their own."""
    if facts["coverage"] is None:
        return []
    whole = shapely.Polygon(facts["coverage"])
    for hole in facts["holes"]:
        if hole["cut"]:
            whole = whole.difference(shapely.Polygon(hole["ring"]))
    held = [(True, part) for part in shapely.get_parts(whole)]
    return held + [(False, shapely.Polygon(h["ring"])) for h in facts["holes"] if not h["cut"]]


def _span(one: dict[str, Any], base: Any) -> Span:
    return Span(
        vertical_clearance_m=one["clearance_m"],
        vertical_clearance_closed_m=one["closed_m"],
        vertical_clearance_open_m=one["open_m"],
        safe_vertical_clearance_m=one["safe_m"],
        clearance_datum=one["datum"],
        opens=one["opens"],
        electric=one["electric"],
        **base(one, "BRIDGE" if one["bridge"] else "CBLOHD", shapely.LineString(one["line"])),
    )


def _mark(one: dict[str, Any], base: Any) -> Mark:
    lon, lat = one["at"]
    return Mark(
        kind=MarkKind(one["kind"]),
        colours=tuple(one["colours"]),
        floating=one["floating"],
        region=one["region"],
        **base(one, "BOYLAT", shapely.Point((lon + 180.0) % 360.0 - 180.0, lat)),
    )


def _zone(one: dict[str, Any], source: str, *, from_user: bool = False) -> BuoyageZone:
    return BuoyageZone(
        key=one["key"],
        cls="M_NSYS",
        source=source,
        geometry=shapely.Polygon(one["ring"]),
        region=one["region"],
        direction_of_buoyage_deg=one["direction_deg"],
        from_user=from_user,
    )


def _grid(facts: dict[str, Any]) -> MemoryGrid:
    rows: Sequence[Any] = facts["depth_m"]
    values = np.array([[np.nan if v is None else v for v in row] for row in rows], dtype=float)
    where = {key: facts[key] for key in ("x", "y", "dx", "dy", "reach", "epsg")}
    grid = MemoryGrid(values, **where)
    grid.source = _source(facts, SourceKind.GRID, resolution_m=facts["resolution_m"])
    return grid
