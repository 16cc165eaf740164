"""charts.html: one page that shows which water is well charted and which is not.

The map library comes from an installed package; the page opens without a network. Names from
files go in as data or escaped, never as part of a script.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import ChartSet, Problem
from routecheck.model.coverage import Coverage, Patch
from routecheck.model.finding import CAUTION
from routecheck.model.source import Source
from routecheck.units import METRES_PER_NMI
from routecheck.writers.drawing.coverage_looks import (
    LAND,
    VIEWS,
    look_rules,
    patterns,
    sample,
    steps_of,
)
from routecheck.writers.drawing.offline import asset_script, leaflet, own_style, with_policy
from routecheck.writers.drawing.templates import rendered
from routecheck.writers.wording.lengths import Lengths, Units
from routecheck.writers.wording.names import json_in_page, plain
from routecheck.writers.wording.sources import dates, datum, depth_unit, detail, uncertainty

MOST_LISTED = 500
"""Sources, and files left unread, that the page lists one by one."""


def to_coverage_html(
    charts: ChartSet, coverage: Coverage, *, title: str, units: str = Units.METRIC
) -> str:
    """The page as text. Raises ValueError on unknown units."""
    lengths = Lengths(units=Units(units))
    sources = charts.sources()
    number = {source.id: index for index, source in enumerate(sources)}
    data = {
        "sources": [_facts(source, lengths) for source in sources],
        "patches": [_patch(patch, number) for patch in coverage.patches],
        "bare": [_bare(source, sides, number) for source, sides in coverage.bare],
    }
    left = [one for one in charts.unread if one.looks_like_chart]
    others = [one for one in charts.unread if not one.looks_like_chart]
    page = rendered(
        "charts.html",
        title=plain(title, longest=200) or "Charts",
        size=f"{len(charts.charts)} vector, {len(charts.grids)} grid, {len(left)} left unread",
        style=leaflet()[1] + own_style("map.css") + own_style("coverage.css") + look_rules(),
        library=leaflet()[0],
        script=asset_script("coverage.js"),
        data=json_in_page(data),
        patterns=patterns(),
        views=[_legend(view.key, coverage) | {"name": view.name} for view in VIEWS],
        land=sample(LAND),
        remarks=[plain(remark, longest=300) for remark in coverage.remarks],
        sources=_listed(charts, coverage, lengths),
        more=max(0, len(sources) - MOST_LISTED),
        left=[(plain(u.file, longest=200), plain(u.why, longest=400)) for u in left[:MOST_LISTED]],
        more_left=max(0, len(left) - MOST_LISTED),
        others=len(others),
        caution=CAUTION,
    )
    return with_policy(page)


def _legend(view: str, coverage: Coverage) -> dict[str, Any]:
    area: Counter[int] = Counter()
    for patch in coverage.patches:
        area[steps_of(patch)[view]] += patch.area_m2  # type: ignore[assignment]
    whole = sum(m2 for step, m2 in area.items() if step != LAND)
    rows = []
    for step, (name, meaning) in next(v for v in VIEWS if v.key == view).steps.items():
        share = _share(area[step], whole)
        rows.append({"swatch": sample(step), "name": name, "meaning": meaning, "share": share})
    return {"key": view, "rows": rows}


def _share(m2: float, whole_m2: float) -> str:
    if m2 <= 0.0:
        return "none"
    area = m2 / METRES_PER_NMI**2
    said = f"{area:,.0f}" if area >= 10.0 else f"{area:.2g}"
    percent = 100.0 * m2 / whole_m2
    # Never "100 %" or "0 %" of what is neither all nor nothing.
    if 0.0 < percent < 1.0:
        return f"{said} nmi², under 1 %"
    return f"{said} nmi², {min(percent, 99.0 if percent < 100.0 else 100.0):.0f} %"


def _facts(source: Source, lengths: Lengths) -> dict[str, str]:
    return {
        "name": plain(source.id),
        "format": plain(source.format),
        "detail": detail(source, lengths),
        "datum": datum(source, lengths),
        "unit": depth_unit(source),
        "quality": uncertainty(source, lengths),
        "dates": dates(source),
    }


def _patch(patch: Patch, number: dict[str, int]) -> dict[str, Any]:
    steps = steps_of(patch)
    looks = "land" if patch.land else " ".join(f"{key}{step}" for key, step in steps.items())
    words = dict(VIEWS[0].steps).get(steps["worth"], ("land", ""))
    return {
        "source": number[patch.source.id],
        "looks": looks,
        "rings": _rings(patch.geometry),
        "title": words[0],
        "means": plain(patch.why) if patch.why else words[1],
        "quality": plain(patch.quality),
        "datum": plain(patch.datum),
        "year": patch.year,
    }


def _rings(shape: BaseGeometry) -> list[list[list[list[float]]]]:
    """[latitude, longitude] of each polygon's rings, the outer one first."""
    made = []
    for part in shapely.get_parts(shape):
        rings = []
        for ring in (part.exterior, *part.interiors):
            points = shapely.get_coordinates(ring)[:-1]
            rings.append([[round(float(y), 5), round(float(x), 5)] for x, y in points])
        made.append(rings)
    return made


Sides = tuple[float, float, float, float] | None


def _bare(source: Source, sides: Sides, number: dict[str, int]) -> dict[str, Any]:
    box = None if sides is None else [[sides[1], sides[0]], [sides[3], sides[2]]]
    return {"source": number[source.id], "box": box}


def _listed(charts: ChartSet, coverage: Coverage, lengths: Lengths) -> list[dict[str, Any]]:
    bare = {source.id for source, _ in coverage.bare}
    rows = []
    counted = [
        (c.source, c.problems, c.counts, Counter(u.cls for u in c.unknown)) for c in charts.charts
    ]
    none: dict[str, int] = {}
    grids = [(g.source, g.problems, none, Counter[str]()) for g in charts.grids]
    for index, (source, problems, counts, unknown) in enumerate([*counted, *grids][:MOST_LISTED]):
        rows.append(
            _facts(source, lengths)
            | {
                "index": index,
                "kind": f"{source.kind}, {plain(source.format)}",
                "file": plain(source.file, longest=300),
                "bare": source.id in bare,
                "counts": ", ".join(f"{plain(cls)} {counts[cls]}" for cls in sorted(counts)),
                "unknown": ", ".join(f"{plain(cls)} {unknown[cls]}" for cls in sorted(unknown)),
                "problems": _told(problems),
            }
        )
    return rows


def _told(problems: Sequence[Problem]) -> list[str]:
    return [f"{p.severity}: {plain(p.text, longest=300)}" for p in problems[:20]] + (
        [f"and {len(problems) - 20} more"] if len(problems) > 20 else []
    )
