"""The only loop: every check on every leg. What was not seen is worked out here, once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from routecheck.checks import all_checks
from routecheck.model.boat import Boat
from routecheck.model.chart import ChartSet, Severity
from routecheck.model.clock import LONGEST_S, Clock, refuse_departure
from routecheck.model.datum import UNKNOWN, above_lat
from routecheck.model.depth_items import least_margin_m
from routecheck.model.finding import (
    Assessed,
    Finding,
    GroupVerdict,
    LegSummary,
    MarkRow,
    Outcome,
    Report,
    Verdict,
)
from routecheck.model.markrule import mark_row
from routecheck.model.passage import SECONDS_PER_HOUR, Passage, Tide
from routecheck.model.route import Route
from routecheck.model.rule import GROUPS, Check
from routecheck.model.tide import station_in_words
from routecheck.model.timetable import timetable
from routecheck.model.view import LegView, Touch
from routecheck.nav.angles import wrap360_deg
from routecheck.nav.variation import variation_deg
from routecheck.units import METRES_PER_NMI


def judge(
    route: Route,
    views: Sequence[LegView],
    charts: ChartSet,
    boat: Boat,
    *,
    tide: Tide | None = None,
    depart: datetime | None = None,
) -> Report:
    """Every check on every view, for this boat, tide and departure.

    Raises ValueError for a departure without a time zone, or not from 1900 to 2199.
    """
    if depart is not None:
        refuse_departure(depart)
    checks = all_checks()
    passages = Clock(views, boat, tide).passages(depart)
    findings: list[Finding] = []
    assessed: list[Assessed] = []
    for check in checks:
        for view, passage in zip(views, passages, strict=True):
            found = [
                replace(
                    one,
                    route_along_m=view.start_along_m + one.along_m,
                    eta=passage.eta(one.along_m),
                )
                for one in check.function(view, passage)
            ]
            findings.extend(found)
            assessed.append(_assessed(check, view, passage, found))
    numbered = _numbered(findings)
    rows = [
        mark_row(one, view, passage)
        for view, passage in zip(views, passages, strict=True)
        for one in view.marks
    ]
    used = _sources_used(views, rows)
    return Report(
        route=route,
        boat=boat,
        verdict=_verdict(numbered, assessed),
        groups=_groups(checks, numbered, assessed, depart),
        findings=numbered,
        assessed=tuple(sorted(assessed, key=lambda a: (a.check, a.leg))),
        legs=tuple(
            _summary(view, passage, depart) for view, passage in zip(views, passages, strict=True)
        ),
        marks=tuple(sorted(rows, key=lambda row: (row.route_along_m, row.key))),
        sources=tuple(charts.sources()),
        unread=charts.unread,
        assumptions=_assumptions(views, charts, boat, tide, depart, used)
        + _no_eta(views, passages, depart),
        depart=depart,
        tide=tide,
        tide_text=_tide_text(tide, views),
        views=tuple(views),
        clock=timetable(views, passages) if depart is not None else (),
    )


def _assessed(check: Check, view: LegView, passage: Passage, found: Sequence[Finding]) -> Assessed:
    gaps = [gap for gap in view.gaps if gap.layer in check.needs]
    # What a chart lost may have been of any layer.
    lost = [p for p in view.problems if check.needs and p.severity is Severity.NOT_ASSESSED]
    severities = {one.severity for one in found}
    if severities & {Severity.DANGER, Severity.CAUTION}:
        outcome = Outcome.FOUND
    elif gaps or lost or Severity.NOT_ASSESSED in severities:
        outcome = Outcome.NOT_ASSESSED
    else:
        outcome = Outcome.NOTHING_FOUND
    whys = dict.fromkeys(gap.why for gap in gaps)
    whys.update(dict.fromkeys(f"{p.source}: {p.text}" for p in lost))
    whys.update(dict.fromkeys(one.title for one in found if one.severity is Severity.NOT_ASSESSED))
    timed = passage.window_s(0.0, view.length_m) is not None
    if check.clock and not timed and outcome is Outcome.NOTHING_FOUND:
        return Assessed(
            check=check.name,
            leg=view.leg.number,
            outcome=Outcome.NOT_ASSESSED,
            why="no departure was given" if passage.depart_s is None else "no ETA is known",
            for_want_of_clock=True,
        )
    return Assessed(
        check=check.name,
        leg=view.leg.number,
        outcome=outcome,
        why="; ".join(whys),
        not_seen_m2=sum(gap.area_m2 for gap in gaps),
    )


def _numbered(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    order = list(Severity)
    along = sorted(
        findings,
        key=lambda f: (f.route_along_m, f.leg, order.index(f.severity), f.check, f.object_key),
    )
    counted = [f for f in along if f.severity is not Severity.NOTE]
    notes = [f for f in along if f.severity is Severity.NOTE]
    return tuple(replace(f, number=i) for i, f in enumerate(counted, start=1)) + tuple(notes)


def _verdict(findings: Sequence[Finding], assessed: Sequence[Assessed]) -> Verdict:
    severities = {f.severity for f in findings}
    if Severity.DANGER in severities:
        return Verdict.HAZARDS
    if Severity.NOT_ASSESSED in severities or any(_is_blind(a) for a in assessed):
        return Verdict.INCOMPLETE
    if Severity.CAUTION in severities:
        return Verdict.CAUTIONS
    return Verdict.NO_HAZARD_FOUND


def _is_blind(cell: Assessed) -> bool:
    """What leaves a route incomplete. That the clock was not asked does not, alone."""
    missed = cell.outcome is Outcome.NOT_ASSESSED and not cell.for_want_of_clock
    return missed or cell.not_seen_m2 > 0.0


_BLINDING = ("water-not-covered", "chart-problem")
"""Checks that say why others could not judge, and what would help."""


def _groups(
    checks: Sequence[Check],
    findings: Sequence[Finding],
    assessed: Sequence[Assessed],
    depart: datetime | None,
) -> tuple[GroupVerdict, ...]:
    of = {check.name: check.group for check in checks}
    made = []
    for group in GROUPS:
        mine = [f for f in findings if of[f.check] == group and f.severity is not Severity.NOTE]
        severities = {f.severity for f in mine}
        blind = any(of[a.check] == group and _is_blind(a) for a in assessed)
        if Severity.DANGER in severities:
            outcome = Severity.DANGER.value
        elif blind or Severity.NOT_ASSESSED in severities:
            outcome = Severity.NOT_ASSESSED.value
        elif Severity.CAUTION in severities:
            outcome = Severity.CAUTION.value
        else:
            outcome = Outcome.NOTHING_FOUND.value
        settles = dict.fromkeys(f.settle for f in mine if f.settle)
        if blind and not settles:
            settles = dict.fromkeys(f.settle for f in findings if f.check in _BLINDING and f.settle)
        if group == "time" and depart is None and not settles:
            # Nothing was found, for the clock was not asked. That is no fault of the charts, and
            # alone leaves no route incomplete.
            if outcome == Outcome.NOTHING_FOUND.value:
                outcome = Outcome.NOT_ASSESSED.value
            settles = {"give --depart, for nothing that depends on the clock was judged": None}
        made.append(
            GroupVerdict(
                group=group, outcome=outcome, count=len(mine), settle="; ".join(list(settles)[:3])
            )
        )
    return tuple(made)


@dataclass(frozen=True, kw_only=True)
class _Least:
    depth_m: float | None
    margin_m: float | None
    source: str


def _least(view: LegView, passage: Passage) -> _Least:
    """The shoalest charted depth in the corridor, and the least margin, over all that counts."""
    depths: list[tuple[float, str]] = []
    for met in view.depths:
        if met.counts and met.place.touch is Touch.CORRIDOR:
            depths.append((met.charted_depth_m, met.source.id))
    for grid in view.grids:
        if grid.counts.any():
            depths.append((float(grid.charted_depth_m[grid.counts].min()), grid.source.id))
    if not depths:
        return _Least(depth_m=None, margin_m=None, source="")
    shoalest = min(depths)
    return _Least(depth_m=shoalest[0], margin_m=least_margin_m(view, passage), source=shoalest[1])


def _summary(view: LegView, passage: Passage, depart: datetime | None) -> LegSummary:
    leg, least = view.leg, _least(view, passage)
    variation = (
        variation_deg(leg.start.lon_deg, leg.start.lat_deg, depart) if depart is not None else None
    )
    return LegSummary(
        number=leg.number,
        from_name=leg.start.name,
        to_name=leg.end.name,
        line=leg.line.value,
        course_deg=view.course_deg,
        course_magnetic_deg=None
        if variation is None
        else float(wrap360_deg(view.course_deg - variation)),
        distance_m=view.length_m,
        start_along_m=view.start_along_m,
        port_m=view.port_m,
        starboard_m=view.starboard_m,
        speed_kn=passage.speed_kn,
        eta=passage.eta(view.length_m),
        shoalest_depth_m=least.depth_m,
        least_margin_m=least.margin_m,
        shoalest_source=least.source,
    )


def _sources_used(views: Sequence[LegView], rows: Sequence[MarkRow]) -> set[str]:
    used = {met.source.id for view in views for met in view.depths}
    used |= {grid.source.id for view in views for grid in view.grids}
    used |= {met.source.id for view in views for met in view.dangers}
    used |= {met.source.id for view in views for met in view.solids}
    return used | {row.source for row in rows}


def _tide_text(tide: Tide | None, views: Sequence[LegView]) -> str:
    if tide is None:
        text = "no tide given: height of tide 0 at chart datum"
        high = _datums_met(views)
        if high:
            text += f"; the water may fall below {', '.join(high)}, and that is not taken off"
        return text
    heights = ", ".join(station_in_words(station) for station in tide.stations)
    what = "height" if tide.varies else "constant height"
    surge = ""
    if tide.surge_down_m or tide.surge_up_m:
        surge = f", surge {tide.surge_down_m:.2f} m down and {tide.surge_up_m:.2f} m up"
    return f"{what} of tide above {tide.datum}: {heights} (± {tide.uncertainty_m:.2f} m{surge})"


def _assumptions(
    views: Sequence[LegView],
    charts: ChartSet,
    boat: Boat,
    tide: Tide | None,
    depart: datetime | None,
    used: set[str],
) -> tuple[str, ...]:
    margins = boat.margins
    tide_says = _tide_text(tide, views)
    says = [
        f"Draught {boat.draught_m:.2f} m + squat {margins.squat_m:.2f} m + heel and swell "
        f"{margins.heel_swell_m:.2f} m + under-keel clearance {margins.under_keel_m:.2f} m = "
        f"{boat.needed_m:.2f} m of water needed.",
        tide_says[0].upper() + tide_says[1:] + ".",
    ]
    high = _datums_met(views)
    if tide is None and high:
        says.append(
            f"Charted depths are on {', '.join(high)}, and without a tide they count as charted. "
            "Of the low waters whose mean is MLW, MLLW or MLWS about half fall below it: less "
            "water than charted stands there then."
        )
    if any(s.datum == "unknown" and s.id in used for s in charts.sources()):
        says.append("A source states no vertical datum: its depths can condemn, not clear.")
    widths = {(round(v.port_m, 1), round(v.starboard_m, 1), v.width_from) for v in views}
    for port_m, starboard_m, said in sorted(widths):
        says.append(
            f"Corridor {port_m:.0f} m to port and {starboard_m:.0f} m to starboard ({said})."
        )
    if boat.beam_m is None:
        says.append("No beam given: the corridor's least width does not allow for half of it.")
    if depart is None:
        says.append("No departure given: nothing that depends on the clock was judged.")
        if tide is not None and tide.varies:
            says.append(
                "A tide counts with its lowest height under the keel and its highest over the mast."
            )
    rule = boat.squat_rule
    if rule is not None:
        says.append(f"Squat for the fastest speed of the boat and the route, {rule.in_words()}.")
    says.append(
        "A source too coarse to show a danger (cells over "
        f"{margins.coarsest_grid_m:.0f} m, charts smaller than 1:{margins.smallest_scale:,.0f}) "
        "does not clear water charted at less than 200 m."
    )
    return tuple(says)


def _datums_met(views: Sequence[LegView]) -> list[str]:
    """The datums of depths and dangers that the water may fall below."""
    found = {met.datum for view in views for met in view.depths if met.counts}
    found |= {grid.datum for view in views for grid in view.grids}
    found |= {met.datum or met.source.datum for view in views for met in view.dangers}
    return sorted(datum for datum in found if datum != UNKNOWN and above_lat(datum))


def _no_eta(
    views: Sequence[LegView], passages: Sequence[Passage], depart: datetime | None
) -> tuple[str, ...]:
    """From which leg on the clock stops, in spite of a departure."""
    for view, passage in zip(views, passages, strict=True):
        if depart is not None and passage.eta(view.length_m) is None:
            return (
                f"From leg {view.leg.number} on no ETA is known (no speed is given or can be "
                f"made good, or it is over {LONGEST_S / 86_400:.0f} days from the departure): "
                "nothing there that depends on the clock was judged, and a tide counts with its "
                "lowest height under the keel and its highest over the mast.",
            )
    return ()


def arrival(report: Report) -> datetime | None:
    """ETA at the end of the route, None where it is not known."""
    return report.legs[-1].eta if report.legs else None


def duration(report: Report) -> timedelta | None:
    """Time under way at the speeds given, None where one is missing or it takes too long."""
    total_s = 0.0
    for leg in report.legs:
        if leg.speed_kn is None:
            return None
        total_s += leg.distance_m / METRES_PER_NMI / leg.speed_kn * SECONDS_PER_HOUR
    return timedelta(seconds=total_s) if total_s <= LONGEST_S else None
