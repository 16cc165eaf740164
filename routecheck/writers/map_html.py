"""map.html: one page with everything inside, coloured by margin for this boat.

The page is folium's; its library comes from an installed package. No name from a file is ever
part of a script or of markup: names go in as data and are shown as text.
"""

from __future__ import annotations

from datetime import UTC, tzinfo
from html import escape
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.finding import Report
from routecheck.model.picture import WaterPicture
from routecheck.writers.drawing.bands import LAND_FILL, LAND_INK, STYLES, band_words, swatch
from routecheck.writers.drawing.heights import tide_in_colours
from routecheck.writers.drawing.map_data import map_data, track_lines
from routecheck.writers.drawing.mark_symbols import mark_symbol
from routecheck.writers.drawing.offline import leaflet, own_script, own_style, with_policy
from routecheck.writers.drawing.packing import packed_water
from routecheck.writers.drawing.templates import rendered
from routecheck.writers.drawing.water import painted_areas, painted_grids
from routecheck.writers.wording.lengths import Lengths, Units
from routecheck.writers.wording.names import json_in_page, plain
from routecheck.writers.wording.places import VERDICT_MEANINGS
from routecheck.writers.wording.summary import boat_line, group_rows, size_line

_LAYERS = (
    ("water", "Water by margin"),
    ("ground", "Land and structures"),
    ("coverage", "Edge of what is charted"),
    ("corridor", "Corridor"),
    ("track", "Track and waypoints"),
    ("marks", "Marks"),
    ("findings", "Findings"),
)


def to_map(
    report: Report, picture: WaterPicture, *, units: str = Units.METRIC, zone: tzinfo = UTC
) -> str:
    """The map as one HTML page that opens without a network.

    Raises ValueError on unknown units.
    """
    shown_in = Units(units)
    lengths = Lengths(units=shown_in, zone=zone)
    data = map_data(report, picture, shown_in, zone)
    text, sources, datums = packed_water(
        painted_areas(report, picture, shown_in),
        picture.ground,
        painted_grids(report, picture, shown_in),
    )
    data["sources"] = [plain(name) for name in sources]
    data["datums"] = [plain(name) for name in datums]
    panel = rendered(
        "map_panel.html",
        report=report,
        title=plain(report.route.name) or "Route without a name",
        size=size_line(report),
        boat=boat_line(report, lengths),
        meaning=VERDICT_MEANINGS[report.verdict],
        groups=group_rows(report),
        findings=data["findings"],
        notes=[plain(lengths.prose(f.title), longest=300) for f in report.findings if not f.number],
        bands=_legend(lengths),
        land=(LAND_FILL, LAND_INK),
        marks=_mark_legend(),
        tide=plain(lengths.prose(tide_in_colours(report)), longest=400),
        remarks=[plain(remark, longest=300) for remark in picture.remarks],
        corridor=_corridor_words(report, lengths),
    )
    page = _page(report, picture, panel, data, text)
    return with_policy(page.replace("<html>", '<html lang="en">', 1))


def _legend(lengths: Lengths) -> list[dict[str, str]]:
    rows = []
    for style in (*STYLES[1:], STYLES[0]):
        name, meaning = band_words(style.band, lengths)
        rows.append({"swatch": swatch(style), "name": name, "meaning": meaning})
    return rows


def _mark_legend() -> list[dict[str, str]]:
    return [
        {"svg": mark_symbol(kind, (), f"legend{i}"), "words": words}
        for i, (kind, words) in enumerate(
            (
                ("port-hand", "port-hand mark"),
                ("starboard-hand", "starboard-hand mark"),
                ("north", "cardinal mark (here north)"),
                ("isolated-danger", "isolated danger"),
                ("safe-water", "safe-water mark"),
                ("lateral", "lateral mark, hand not decided"),
                ("cardinal", "cardinal mark, quadrant not decided"),
                ("unknown", "mark of unknown kind"),
            )
        )
    ]


def _corridor_words(report: Report, lengths: Lengths) -> str:
    widths = {(leg.port_m, leg.starboard_m) for leg in report.legs}
    if len(widths) == 1:
        port_m, starboard_m = widths.pop()
        if port_m == starboard_m:
            return f"{lengths.off(port_m)} either side"
        return f"{lengths.off(port_m)} to port, {lengths.off(starboard_m)} to starboard"
    return "its width changes from leg to leg"


def _page(
    report: Report, picture: WaterPicture, panel: str, data: dict[str, Any], water: str
) -> str:
    from routecheck.writers.drawing.folium_page import DrawnLines, PageParts, folium_page

    library, style = leaflet()
    lines = (
        DrawnLines(ident=ident, layer=layer, lines=rings, look=look)
        for ident, layer, rings, look in _lines(picture)
    )
    return folium_page(
        PageParts(
            title=escape(f"{plain(report.route.name) or 'Route'}: {report.verdict}"),
            panel=panel,
            data=(
                '<script type="application/json" id="routecheck-data">'
                f"{json_in_page(data)}</script>"
                f'<script type="text/plain" id="routecheck-water">{water}</script>'
            ),
            styles=(style, own_style("map.css")),
            scripts=(library, own_script()),
            bounds_deg=picture.bounds_deg,
            layers=_LAYERS,
            lines=tuple(lines),
        )
    )


Rings = list[list[list[float]]]


def _lines(picture: WaterPicture) -> list[tuple[str, str, Rings, dict[str, Any]]]:
    """(class, layer, lines, look) of all that is drawn as a line, the lowest first."""
    # A centimetre out and back closes the hairlines where two parts only just meet.
    whole = shapely.union_all([shape.geometry for shape in picture.corridors])
    whole = whole.buffer(1e-7, join_style="mitre").buffer(-1e-7, join_style="mitre")
    edges = _rings(whole)
    track = track_lines(picture.tracks)
    white, ink, teal = "#ffffff", "#17141c", "#00696f"
    return [
        ("corridor-casing", "corridor", edges, {"color": white, "weight": 4, "opacity": 0.85}),
        ("corridor-edge", "corridor", edges, {"color": teal, "weight": 1.8, "dash_array": "7 4"}),
        ("track-casing", "track", track, {"color": white, "weight": 6, "opacity": 0.9}),
        ("track-line", "track", track, {"color": ink, "weight": 2.4}),
    ]


def _rings(shape: BaseGeometry) -> Rings:
    """[latitude, longitude] of every ring."""
    rings = []
    for part in shapely.get_parts(shape):
        for ring in (part.exterior, *part.interiors):
            points = shapely.get_coordinates(ring)
            rings.append([[round(float(y), 6), round(float(x), 6)] for x, y in points])
    return rings
