"""What a set of charts holds: a table of sources, then what was left unread and why."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

from routecheck.model.chart import Chart, ChartSet, Grid, Problem, Unread
from routecheck.model.finding import CAUTION
from routecheck.model.objects import QualityZone
from routecheck.model.source import CATZOC_QUALITY, Source
from routecheck.writers.wording.lengths import Lengths, Units, position
from routecheck.writers.wording.names import columns, cut, plain, wrapped
from routecheck.writers.wording.records import latitude, longitude, rounded, source_record
from routecheck.writers.wording.sources import dates, datum, depth_unit, detail, uncertainty

Bounds = tuple[float, float, float, float]


def bounds_of(chart: Chart) -> Bounds | None:
    """(west, south, east, north) of everything in a vector chart, degrees; None if it is empty."""
    boxes = [thing.geometry.bounds for thing in (*chart.coverage, *chart.objects())]
    if not boxes:
        return None
    west, south, east, north = zip(*boxes, strict=True)
    return min(west), min(south), max(east), max(north)


def _zones(zones: tuple[QualityZone, ...]) -> str:
    counts = Counter(zone.catzoc if zone.catzoc in CATZOC_QUALITY else 6 for zone in zones)
    return ", ".join(f"{CATZOC_QUALITY[code].name} in {n}" for code, n in sorted(counts.items()))


def _area(bounds: Bounds | None) -> str:
    if bounds is None:
        return "none"
    west, south, east, north = bounds
    return f"{position(west, south)} to {position(east, north)}"


def _counted(counts: dict[str, int]) -> str:
    return ", ".join(f"{plain(cls)} {counts[cls]}" for cls in sorted(counts)) or "none"


def _block(source: Source, rows: list[tuple[str, str]], width: int) -> Iterator[str]:
    yield ""
    yield cut(plain(source.id), width)
    for name, text in rows:
        yield from wrapped(
            plain(text, longest=4000), width=width, first=f"  {name:<11}", rest=" " * 13
        )


def _common(source: Source, bounds: Bounds | None, lengths: Lengths) -> list[tuple[str, str]]:
    return [
        ("file", source.file),
        ("kind", f"{source.kind}, {source.format}"),
        ("area", _area(bounds)),
        ("detail", detail(source, lengths)),
        ("datum", datum(source, lengths)),
        ("unit", depth_unit(source)),
        ("quality", uncertainty(source, lengths)),
        ("dates", dates(source)),
    ]


def _problem_rows(problems: tuple[Problem, ...]) -> list[tuple[str, str]]:
    return [("problem", f"{p.severity}: {p.text}") for p in problems]


def _chart_rows(chart: Chart, lengths: Lengths) -> list[tuple[str, str]]:
    rows = _common(chart.source, bounds_of(chart), lengths)
    if chart.quality_zones:
        rows.append(("zones", _zones(chart.quality_zones)))
    rows.append(("objects", _counted(chart.counts)))
    if chart.harmless:
        rows.append(("harmless", _counted(chart.harmless)))
    unknown = Counter(thing.cls for thing in chart.unknown)
    if unknown:
        rows.append(("not judged", _counted(dict(unknown))))
    return rows + _problem_rows(chart.problems)


def _grid_rows(grid: Grid, lengths: Lengths) -> list[tuple[str, str]]:
    rows = _common(grid.source, grid.bounds_deg(), lengths)
    nodes = "nodes" if grid.reach > 0.5 else "cells"
    rows.insert(4, ("size", f"{grid.rows} rows, {grid.columns} columns of {nodes}"))
    return rows + _problem_rows(grid.problems)


def _summary(charts: ChartSet, lengths: Lengths, width: int) -> Iterator[str]:
    problems = {c.source.id: len(c.problems) for c in charts.charts}
    problems |= {g.source.id: len(g.problems) for g in charts.grids}
    name_width = max(12, min(28, width - 52))
    head = f"{'source':<{name_width}} {'format':<11} {'detail':<13} {'datum':<12} {'problems':>8}"
    yield head[:width]
    for source in charts.sources():
        cells = (
            (plain(source.id), name_width),
            (plain(source.format), 11),
            (detail(source, lengths), 13),
            (plain(source.datum), 12),
        )
        row = " ".join(_padded(text, room) for text, room in cells)
        yield cut(f"{row} {problems[source.id] or '-':>8}", width)


def _padded(text: str, room: int) -> str:
    shown = cut(text, room)
    return shown + " " * (room - columns(shown))


def _unread_lines(unread: tuple[Unread, ...], width: int) -> Iterator[str]:
    charts = [u for u in unread if u.looks_like_chart]
    others = [u for u in unread if not u.looks_like_chart]
    for heading, items in (("Left unread", charts), ("Other files, passed over", others)):
        if not items:
            continue
        yield ""
        yield heading
        for item in sorted(items, key=lambda u: (u.file, u.why)):
            text = f"{plain(item.file)}: {plain(item.why, longest=1000)}"
            yield from wrapped(text, width=width, first="  ", rest="    ")


def to_charts_table(chart_set: ChartSet, *, units: str = Units.METRIC, width: int = 80) -> str:
    """What these charts cover, on which datum, how good, how old, and what was not read.

    Raises ValueError on unknown units.
    """
    lengths = Lengths(units=Units(units), minus="-")
    charts, grids = len(chart_set.charts), len(chart_set.grids)
    left = sum(1 for u in chart_set.unread if u.looks_like_chart)
    lines = [f"{charts} vector, {grids} grid, {left} left unread", ""]
    lines += _summary(chart_set, lengths, width)
    for chart in chart_set.charts:
        lines += _block(chart.source, _chart_rows(chart, lengths), width)
    for grid in chart_set.grids:
        lines += _block(grid.source, _grid_rows(grid, lengths), width)
    lines += _unread_lines(chart_set.unread, width)
    return "\n".join([*lines, "", *wrapped(CAUTION, width=width)]) + "\n"


def to_charts_json(chart_set: ChartSet) -> str:
    """The same for programs: always metres and degrees, the same input the same bytes."""
    sources: list[dict[str, Any]] = []
    for chart in chart_set.charts:
        record = _source(chart.source) | _bounds_record(bounds_of(chart))
        record["objects"] = dict(sorted(chart.counts.items()))
        record["harmless"] = dict(sorted(chart.harmless.items()))
        record["not_judged"] = dict(sorted(Counter(u.cls for u in chart.unknown).items()))
        zones = Counter(str(zone.catzoc or "not stated") for zone in chart.quality_zones)
        record["catzoc"] = dict(sorted(zones.items()))
        record["problems"] = [_problem_record(p) for p in chart.problems]
        sources.append(record)
    for grid in chart_set.grids:
        record = _source(grid.source) | _bounds_record(grid.bounds_deg())
        record |= {"rows": grid.rows, "columns": grid.columns}
        record["registered"] = "node" if grid.reach > 0.5 else "area"
        record["problems"] = [_problem_record(p) for p in grid.problems]
        sources.append(record)
    unread = [
        {"file": u.file, "why": u.why, "looks_like_chart": u.looks_like_chart}
        for u in sorted(chart_set.unread, key=lambda u: (u.file, u.why))
    ]
    whole = {"schema": 1, "caution": CAUTION, "sources": sources, "unread": unread}
    return json.dumps(whole, ensure_ascii=True, allow_nan=False, indent=2) + "\n"


def charts_schema() -> dict[str, Any]:
    """The JSON Schema of what `charts --json` prints."""
    text = files("routecheck.writers").joinpath("charts.schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


def _source(source: Source) -> dict[str, Any]:
    quality = source.quality
    return source_record(source) | {
        "vertical_m": rounded(quality.vertical_m, 3),
        "vertical_share": rounded(quality.vertical_share, 6),
        "horizontal_m": rounded(quality.horizontal_m, 3),
    }


def _bounds_record(bounds: Bounds | None) -> dict[str, Any]:
    if bounds is None:
        return {"bounds": None}
    west, south, east, north = bounds
    return {"bounds": [longitude(west), latitude(south), longitude(east), latitude(north)]}


def _problem_record(problem: Problem) -> dict[str, Any]:
    bounds = problem.bounds
    return {
        "severity": str(problem.severity),
        "text": problem.text,
        "bounds": None if bounds is None else [rounded(v, 7) for v in bounds],
    }
