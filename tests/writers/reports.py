"""Reports made by hand for the writers' tests, over an invented sea."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import ChartSet, Severity, Unread
from routecheck.model.finding import (
    Assessed,
    Evidence,
    Finding,
    GroupVerdict,
    LegSummary,
    MarkOutcome,
    MarkRow,
    Outcome,
    Report,
    Verdict,
)
from routecheck.model.objects import Layer
from routecheck.model.picture import WaterPicture
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.model.source import CATZOC_QUALITY
from routecheck.model.view import DepthFrom, DepthMet, Gap, LegView, Place
from routecheck.survey.corridors import LegCorridor, corridors
from routecheck.survey.picture import picture
from tests.writers.seas import CELL as CELL
from tests.writers.seas import GRID as GRID
from tests.writers.seas import charts as charts
from tests.writers.seas import many_areas as many_areas

HOSTILE = (
    "<script>alert(1)</script>",
    "</script><img src=x onerror=alert(2)>",
    "`${alert(3)}` {{ 7*7 }} {% raw %}",
    "\x1b[31mred\x1b[0m\x07 \u202egnp.exe",
    '"onmouseover="alert(4)" \\ \u2028 & <b>bold</b>',
    "=cmd|' /C calc'!A1",
)
DEPART = datetime(2027, 5, 14, 7, 30, tzinfo=UTC)
WRONG = MarkOutcome.WRONG
BOAT = Boat(name="Invented sloop", draught_m=2.0, beam_m=3.6, speed_kn=5.5, margins=Margins())
POINTS = (
    ("Harbour", 10.000, 50.000),
    ("Bell Reach", 10.035, 50.012),
    ("Narrows", 10.052, 50.034),
    ("Outer Mark", 10.105, 50.041),
    ("Sea", 10.150, 50.062),
)


def route(
    points: Sequence[tuple[str, float, float]] = POINTS, name: str = "Invented passage"
) -> Route:
    """A route through named points."""
    waypoints = [Waypoint(name=n, lon_deg=lon, lat_deg=lat) for n, lon, lat in points]
    legs = tuple(
        Leg(number=i, start=a, end=b) for i, (a, b) in enumerate(pairwise(waypoints), start=1)
    )
    return Route(name=name, legs=legs, file="routes/invented.gpx")


def corridors_of(one: Route, half_width_m: float = 185.2) -> tuple[LegCorridor, ...]:
    """The corridors of a route, as wide on both sides."""
    return corridors(one, tuple((half_width_m, half_width_m) for _ in one.legs))


def depth_sums(charted_m: float, uncertainty_m: float = 0.6) -> dict[str, float | str]:
    """The sum of a depth finding for `BOAT` without a tide."""
    return {
        "charted_depth_m": charted_m,
        "height_of_tide_m": 0.0,
        "tide": "no tide given: 0 at chart datum",
        "available_m": charted_m,
        "draught_m": 2.0,
        "squat_m": 0.0,
        "heel_swell_m": 0.0,
        "under_keel_m": 1.0,
        "needed_m": 3.0,
        "margin_m": charted_m - 3.0,
        "uncertainty_m": uncertainty_m,
    }


def _finding(
    legs: Sequence[LegCorridor], leg: int, along_m: float, cross_m: float, **values: object
) -> Finding:
    corridor = legs[leg - 1]
    lon, lat = corridor.chunks[0].frame.from_frame(along_m, cross_m)
    base: dict[str, object] = {
        "leg": leg,
        "along_m": along_m,
        "cross_m": cross_m,
        "lon_deg": (float(lon) + 180.0) % 360.0 - 180.0,
        "lat_deg": float(lat),
        "route_along_m": corridor.start_along_m + along_m,
        "eta": DEPART + timedelta(hours=(corridor.start_along_m + along_m) / 1852.0 / 5.5),
        "source": CELL.id,
        "rests_on": f"{CELL.id}, quality CATZOC B",
    }
    return Finding(**(base | values))  # type: ignore[arg-type]


def _findings(legs: Sequence[LegCorridor]) -> tuple[Finding, ...]:
    made = [
        _finding(
            legs, 1, 1500.0, 0.0, check="too-little-water", severity=Severity.DANGER,
            title="depth area charted at 1.8 m: 1.2 m short",
            explanation="1.8 m of water against 3.0 m needed.", object_key="INVENTED.000/DEPARE/7",
            cls="DEPARE", along_to_m=1820.0, sums=depth_sums(1.8),
            evidence=(
                Evidence(
                    key="INVENTED.000/SOUNDG/3", cls="SOUNDG", text="sounding, 2.1 m",
                    severity=Severity.DANGER, charted_depth_m=2.1, lon_deg=10.02, lat_deg=50.007,
                    along_m=1600.0, cross_m=12.0, source=CELL.id,
                ),
            ),
        ),
        _finding(
            legs, 2, 600.0, -90.0, check="underwater-danger", severity=Severity.DANGER,
            title="rock of unknown depth 90 m off the track",
            explanation="The chart states no depth for this rock.",
            object_key="INVENTED.000/UWTROC/2", cls="UWTROC", sums={"cross_m": -90.0},
            settle="a survey of the rock",
        ),
        _finding(
            legs, 2, 1900.0, 60.0, check="too-little-water", severity=Severity.CAUTION,
            title="depth area charted at 3.4 m: margin 0.4 m within its uncertainty",
            explanation="It passes only if the data is exactly right.",
            object_key="INVENTED.000/DEPARE/9", cls="DEPARE", sums=depth_sums(3.4),
        ),
        _finding(
            legs, 3, 1200.0, 120.0, check="wrong-side-of-mark", severity=Severity.DANGER,
            title="Inner 3 left to port, must be left to starboard",
            explanation="With the direction of buoyage 045°.",
            object_key="INVENTED.000/BOYLAT/3", cls="BOYLAT",
            sums={"distance_m": 120.0, "direction_of_buoyage_deg": 45.0},
        ),
        _finding(
            legs, 4, 2000.0, 0.0, check="water-not-covered", severity=Severity.NOT_ASSESSED,
            title="depth not assessed: no depth is charted",
            explanation="No depth is charted on 540,000 m² of the corridor.",
            object_key="depth/none", cls="coverage", along_to_m=3500.0,
            sums={"not_seen_m2": 540000.0}, settle="give a chart that covers it", source="",
            rests_on="the coverage of the charts given",
        ),
    ]  # fmt: skip
    numbered = [replace(f, number=i) for i, f in enumerate(made, start=1)]
    note = _finding(
        legs, 1, 0.0, 0.0, check="sources-disagree", severity=Severity.NOTE,
        title="survey.tif shows 6.1 m where INVENTED.000 shows 7.4 m", explanation="They differ.",
        object_key="survey.tif<INVENTED.000", sums={"shoaler_depth_m": 6.1},
    )  # fmt: skip
    return (*numbered, note)


def _marks(legs: Sequence[LegCorridor]) -> tuple[MarkRow, ...]:
    rows = []
    for kind, name, colours, leg, along_m, cross_m, required, outcome in (
        ("port-hand", "Inner 2", ("red",), 2, 900.0, -140.0, "port", MarkOutcome.RIGHT),
        (
            "starboard-hand",
            "Inner 3",
            ("green",),
            3,
            1200.0,
            -120.0,
            "starboard",
            MarkOutcome.WRONG,
        ),
        ("east", "Bell Rock", (), 3, 2600.0, -420.0, "east", MarkOutcome.RIGHT),
        ("lateral", "", ("white",), 4, 500.0, 300.0, "", MarkOutcome.NOT_ASSESSED),
        ("safe-water", "Fairway", ("red", "white"), 4, 1500.0, 200.0, "", MarkOutcome.CROSSED),
    ):
        corridor = legs[leg - 1]
        lon, lat = corridor.chunks[0].frame.from_frame(along_m, cross_m)
        side = "port" if cross_m < 0 else "starboard"
        rows.append(
            MarkRow(
                key=f"INVENTED.000/{kind}/{leg}",
                kind=kind,
                name=name,
                colours=colours,
                lon_deg=(float(lon) + 180.0) % 360.0 - 180.0,
                lat_deg=float(lat),
                leg=leg,
                route_along_m=corridor.start_along_m + along_m,
                distance_m=abs(cross_m),
                side_passed="east" if kind == "east" else side,
                side_required=required,
                outcome=outcome,
                judged_by="direction stated by the chart, 045°",
                source=CELL.id,
            )
        )
    return tuple(rows)


def view(
    corridor: LegCorridor, depths: Sequence[tuple[float, float, float]], gap: bool = False
) -> LegView:
    """A leg's view with depth areas (from, to, charted depth) and, if asked, a gap at its end."""
    met = []
    for number, (from_m, to_m, depth_m) in enumerate(depths):
        lon, lat = corridor.chunks[0].frame.from_frame((from_m + to_m) / 2.0, 0.0)
        met.append(
            DepthMet(
                key=f"{corridor.leg.number}/{number}", cls="DEPARE", name="",
                depth_from=DepthFrom.AREA, charted_depth_m=depth_m, deep_end_m=None, datum="LAT",
                place=Place(
                    along_m=(from_m + to_m) / 2.0, cross_m=0.0, lon_deg=float(lon) % 360.0 - 0.0,
                    lat_deg=float(lat), along_from_m=from_m, along_to_m=to_m,
                ),
                source=CELL, quality=CATZOC_QUALITY[3],
            )
        )  # fmt: skip
    gaps = ()
    if gap:
        gaps = (
            Gap(
                layer=Layer.DEPTH, why="no depth is charted", along_from_m=2000.0,
                along_to_m=3500.0, area_m2=540000.0, lon_deg=10.12, lat_deg=50.05, cross_m=0.0,
            ),
        )  # fmt: skip
    return LegView(
        leg=corridor.leg, length_m=corridor.length_m, course_deg=corridor.course_deg,
        end_course_deg=corridor.end_course_deg, start_along_m=corridor.start_along_m,
        port_m=corridor.port_m, starboard_m=corridor.starboard_m, width_from="boat",
        depths=tuple(met), gaps=gaps,
    )  # fmt: skip


def _summaries(legs: Sequence[LegCorridor]) -> tuple[LegSummary, ...]:
    return tuple(
        LegSummary(
            number=c.leg.number, from_name=c.leg.start.name, to_name=c.leg.end.name,
            line=c.leg.line.value, course_deg=c.course_deg, course_magnetic_deg=None,
            distance_m=c.length_m, start_along_m=c.start_along_m, port_m=c.port_m,
            starboard_m=c.starboard_m, speed_kn=5.5, eta=None, shoalest_depth_m=1.8,
            least_margin_m=-1.2, shoalest_source=CELL.id,
        )
        for c in legs
    )  # fmt: skip


def _groups(outcomes: Sequence[tuple[str, str, int, str]]) -> tuple[GroupVerdict, ...]:
    return tuple(GroupVerdict(group=g, outcome=o, count=n, settle=s) for g, o, n, s in outcomes)


def hazards() -> Report:
    """Every severity, marks of every outcome, evidence, a note, a gap, unread files."""
    one = route()
    legs = corridors_of(one)
    depths = (
        [(0.0, 1500.0, 6.0), (1500.0, 1820.0, 1.8), (1820.0, 2900.0, 5.0)],
        [(0.0, 1800.0, 9.0), (1800.0, 2100.0, 3.4), (2100.0, 2800.0, 12.0)],
        [(0.0, 3900.0, 14.0)],
        [(0.0, 2000.0, 30.0), (3500.0, 4100.0, 45.0)],
    )
    return Report(
        route=one,
        boat=BOAT,
        verdict=Verdict.HAZARDS,
        groups=_groups(
            [
                ("depth", "danger", 2, ""),
                ("dangers", "danger", 1, "a survey of the rock"),
                ("marks", "danger", 1, ""),
                ("overhead", "nothing-found", 0, ""),
                ("areas", "nothing-found", 0, ""),
                ("time", "nothing-found", 0, ""),
                ("coverage", "not-assessed", 1, "give a chart that covers it"),
            ]
        ),
        findings=_findings(legs),
        assessed=tuple(
            Assessed(
                check=check,
                leg=leg.number,
                outcome=outcome if leg.number in (1, 4) else Outcome.NOTHING_FOUND,
                why="no depth is charted" if outcome is Outcome.NOT_ASSESSED else "",
                not_seen_m2=540000.0 if outcome is Outcome.NOT_ASSESSED else 0.0,
            )
            for check, outcome in (
                ("too-little-water", Outcome.FOUND),
                ("water-not-covered", Outcome.NOT_ASSESSED),
                ("land-in-the-way", Outcome.NOTHING_FOUND),
            )
            for leg in one.legs
        ),
        legs=_summaries(legs),
        marks=_marks(legs),
        sources=(CELL, GRID),
        unread=(
            Unread(file="charts/old.bin", why="no reader takes this format"),
            Unread(file="charts/readme.txt", why="not a chart", looks_like_chart=False),
        ),
        assumptions=("No tide given: height of tide 0 at chart datum.",),
        depart=DEPART,
        tide_text="no tide given: height of tide 0 at chart datum",
        views=tuple(view(c, d, gap=c.leg.number == 4) for c, d in zip(legs, depths, strict=True)),
    )


def empty() -> Report:
    """No finding, no mark, nothing unread."""
    one = route(POINTS[:2], "Quiet water")
    legs = corridors_of(one)
    return Report(
        route=one, boat=BOAT, verdict=Verdict.NO_HAZARD_FOUND,
        groups=_groups([(g, "nothing-found", 0, "") for g in (
            "depth", "dangers", "marks", "overhead", "areas", "time", "coverage")]),
        findings=(), assessed=(), legs=_summaries(legs), marks=(), sources=(GRID,), unread=(),
        assumptions=(), views=(view(legs[0], [(0.0, legs[0].length_m, 20.0)]),),
    )  # fmt: skip


def hostile() -> Report:
    """`hazards` with a hostile string wherever a file can put one."""
    base = hazards()
    points = [(HOSTILE[i % len(HOSTILE)], lon, lat) for i, (_, lon, lat) in enumerate(POINTS)]
    bad = HOSTILE[0] + HOSTILE[1]
    source = replace(CELL, id=bad, file=bad, edition=HOSTILE[3], issued=HOSTILE[4])
    findings = tuple(
        replace(
            f, title=HOSTILE[i % 6], explanation=HOSTILE[(i + 1) % 6], object_key=HOSTILE[2],
            cls=HOSTILE[5], source=bad, rests_on=HOSTILE[1], settle=HOSTILE[4],
            sums=dict(f.sums) | {"tide": HOSTILE[i % 6]},
            evidence=(Evidence(key=bad, cls=bad, text=HOSTILE[i % 6], source=bad),),
        )
        for i, f in enumerate(base.findings)
    )  # fmt: skip
    return replace(
        base,
        route=route(points, HOSTILE[0]),
        boat=replace(BOAT, name=HOSTILE[1]),
        findings=findings,
        legs=tuple(
            replace(leg, from_name=HOSTILE[0], to_name=HOSTILE[3], shoalest_source=bad)
            for leg in base.legs
        ),
        marks=tuple(
            replace(m, name=HOSTILE[i % 6], colours=(bad,), judged_by=bad, source=bad)
            for i, m in enumerate(base.marks)
        ),
        sources=(source,),
        unread=(Unread(file=bad, why=HOSTILE[3]),),
        assumptions=HOSTILE,
        tide_text=HOSTILE[0],
        groups=tuple(replace(g, settle=HOSTILE[0]) for g in base.groups),
    )


def antimeridian() -> Report:
    """A route over 180 degrees, with a finding beyond it."""
    points = (("West", 179.95, -17.0), ("Middle", 179.99, -17.01), ("East", -179.96, -17.02))
    one = route(points, "Over the line")
    legs = corridors_of(one)
    finding = _finding(
        legs, 2, 4000.0, 0.0, check="too-little-water", severity=Severity.DANGER,
        title="shoal beyond the line", explanation="It lies east of 180 degrees.",
        object_key="INVENTED.000/DEPARE/1", sums=depth_sums(1.0), number=1,
    )  # fmt: skip
    return replace(
        empty(), route=one, verdict=Verdict.HAZARDS, findings=(finding,), legs=_summaries(legs),
        views=(), marks=_marks([*legs, *legs])[:1],
    )  # fmt: skip


def water(report: Report, chart_set: ChartSet | None = None) -> WaterPicture:
    """The picture round a report's route."""
    return picture(charts() if chart_set is None else chart_set, corridors_of(report.route))
