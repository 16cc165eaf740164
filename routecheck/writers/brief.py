"""brief.html: one page to print and to take along; no script, nothing from outside."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from datetime import UTC, tzinfo
from typing import Any

from routecheck.model.clockrow import ClockRow
from routecheck.model.finding import LegSummary, MarkRow, Outcome, Report
from routecheck.writers.drawing.bands import STYLES, band_words, swatch
from routecheck.writers.drawing.map_data import finding_words
from routecheck.writers.drawing.mark_symbols import mark_symbol
from routecheck.writers.drawing.offline import own_style, with_policy
from routecheck.writers.drawing.profile import to_profile
from routecheck.writers.drawing.templates import rendered
from routecheck.writers.drawing.tide_plot import to_tide_plot
from routecheck.writers.wording.lengths import Lengths, Units, along, bearing
from routecheck.writers.wording.marks import mark_words
from routecheck.writers.wording.names import plain
from routecheck.writers.wording.passed_over import passed_over
from routecheck.writers.wording.places import VERDICT_MEANINGS
from routecheck.writers.wording.sources import source_words
from routecheck.writers.wording.summary import boat_line, group_rows, size_line
from routecheck.writers.wording.sums import sum_line
from routecheck.writers.wording.windows import margin_words


def to_brief(report: Report, *, units: str = Units.METRIC, zone: tzinfo = UTC) -> str:
    """The report as one printable HTML page. Raises ValueError on unknown units."""
    lengths = Lengths(units=Units(units), zone=zone)
    findings = [
        finding_words(finding, lengths) | {"sum": sum_line(finding.sums, lengths)}
        for finding in report.findings
    ]
    page = rendered(
        "brief.html",
        style=own_style("brief.css"),
        report=report,
        title=plain(report.route.name) or "Route without a name",
        file=plain(report.route.file),
        size=size_line(report),
        boat=boat_line(report, lengths),
        departs=lengths.clock(report.depart) or "not given",
        tide=plain(lengths.prose(report.tide_text), longest=400),
        meaning=VERDICT_MEANINGS[report.verdict],
        groups=group_rows(report),
        profile=to_profile(report, lengths),
        bands=[(swatch(s, width=26, height=13), band_words(s.band, lengths)[0]) for s in STYLES],
        findings=[f for f in findings if f["number"]],
        notes=[f for f in findings if not f["number"]],
        legs=[_leg(leg, lengths) for leg in report.legs],
        magnetic=any(leg.course_magnetic_deg is not None for leg in report.legs),
        timed=any(leg.eta is not None for leg in report.legs),
        clock=[_place(row, lengths) for row in report.clock],
        tide_plot=to_tide_plot(report, lengths),
        marks=[_mark(mark, index, lengths) for index, mark in enumerate(report.marks)],
        checks=_checks(report),
        assumptions=[plain(lengths.prose(text), longest=600) for text in report.assumptions],
        remarks=[plain(lengths.prose(text), longest=600) for text in report.route.remarks],
        sources=[source_words(s, lengths) for s in sorted(report.sources, key=lambda s: s.id)],
        unread=[
            (plain(each.file), plain(each.why, longest=400))
            for each in sorted(report.unread, key=lambda each: (each.file, each.why))
            if each.looks_like_chart
        ],
        passed=[
            (plain(each.file), plain(each.why, longest=400)) for each in passed_over(report.unread)
        ],
    )
    return with_policy(page)


def _leg(leg: LegSummary, lengths: Lengths) -> dict[str, str]:
    width = f"{lengths.off(leg.port_m)} / {lengths.off(leg.starboard_m)}"
    magnetic, depth_m, margin_m = leg.course_magnetic_deg, leg.shoalest_depth_m, leg.least_margin_m
    return {
        "number": str(leg.number),
        "start": plain(leg.from_name),
        "end": plain(leg.to_name),
        "course": bearing(leg.course_deg),
        "magnetic": "" if magnetic is None else bearing(magnetic),
        "distance": along(leg.distance_m),
        "corridor": width,
        "depth": "not known" if depth_m is None else lengths.floored(depth_m),
        "margin": "not known" if margin_m is None else lengths.floored(margin_m, sign=True),
        "source": plain(leg.shoalest_source),
        "eta": lengths.clock(leg.eta),
        "line": "" if str(leg.line) == "rhumb line" else str(leg.line),
    }


def _place(row: ClockRow, lengths: Lengths) -> dict[str, str]:
    """One place of the passage's clock."""
    off = f"± {row.off.total_seconds() / 60.0:.0f} min"
    known = row.lowest_m is not None and row.height_m is not None and row.highest_m is not None
    return {
        "name": plain(row.name),
        "kind": row.kind,
        "place": f"leg {row.leg}, {along(row.route_along_m)}",
        "eta": lengths.clock(row.eta),
        "off": off,
        "tide": lengths.exact(row.height_m, 1) if known and row.height_m is not None else "",
        "lowest": lengths.floored(row.lowest_m) if row.lowest_m is not None else "not known",
        "highest": lengths.raised(row.highest_m) if row.highest_m is not None else "not known",
        "station": plain(row.station),
        "margin": margin_words(row.margin_m, lengths)
        + (" of air" if row.kind == "overhead" and row.margin_m is not None else ""),
        "light": f"{row.light}, sun {row.sun_altitude_deg:.0f}°",
    }


def _mark(mark: MarkRow, index: int, lengths: Lengths) -> dict[str, str]:
    return {
        **asdict(mark_words(mark, lengths)),
        "number": str(index + 1),
        "svg": mark_symbol(str(mark.kind), mark.colours, f"mark{index}"),
        "style": str(mark.outcome),
        "judged_by": plain(lengths.prose(mark.judged_by), longest=300),
        "source": plain(mark.source),
    }


def leg_ranges(numbers: Iterable[int]) -> str:
    """Leg numbers as ranges.

    >>> leg_ranges([1, 2, 3, 7, 9, 10])
    '1-3, 7, 9-10'
    """
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in runs)


def _checks(report: Report) -> list[dict[str, Any]]:
    """Every check, and the legs of each outcome."""
    rows = []
    for name in sorted({cell.check for cell in report.assessed}):
        mine = [cell for cell in report.assessed if cell.check == name]
        row: dict[str, Any] = {"check": name}
        for outcome in Outcome:
            row[outcome.name.lower()] = leg_ranges(c.leg for c in mine if c.outcome is outcome)
        unseen = [c for c in mine if c.not_seen_m2 > 0.0 and c.outcome is Outcome.FOUND]
        row["partly"] = leg_ranges(c.leg for c in unseen)
        rows.append(row)
    return rows
