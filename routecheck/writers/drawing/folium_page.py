"""folium's page with everything inside. Heavy: imported only when a map is written.

folium takes the text of an element for a template, and what a template's macro gives for a
template once more: a waypoint named with two braces would be run. It escapes no name either. So
no text from a file is handed to it but as `Raw`, which is put in last and as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import folium
from branca.element import Element, Figure, MacroElement
from jinja2 import Template

Lines = Sequence[Sequence[Sequence[float]]]


@dataclass(frozen=True, kw_only=True)
class DrawnLines:
    """Lines of [latitude, longitude] in one look; `ident` is also their class in the page."""

    ident: str
    layer: str
    lines: Lines
    look: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class PageParts:
    """What the page is made of; all text is escaped already where it comes from a file."""

    title: str
    panel: str
    data: str
    styles: tuple[str, ...]
    scripts: tuple[str, ...]
    bounds_deg: tuple[float, float, float, float]
    layers: tuple[tuple[str, str], ...]
    """(key, name in the layer control)."""
    lines: tuple[DrawnLines, ...]


class Raw(Element):
    """Text put into the page as it is."""

    _template = Template("{{ this.text }}")

    def __init__(self, ident: str, text: str) -> None:
        super().__init__()
        self._id, self.text = ident, text


class LastScript(MacroElement):
    """A script that runs after those of all elements before it."""

    _template = Template("{% macro script(this, kwargs) %}{{ this.text }}{% endmacro %}")

    def __init__(self, text: str) -> None:
        super().__init__()  # type: ignore[no-untyped-call]
        self._id, self.text = "last", text


class Chart(folium.Map):
    """folium's map without its links into the network, in a page layout of our own."""

    default_js: list[tuple[str, str]] = []  # noqa: RUF012
    default_css: list[tuple[str, str]] = []  # noqa: RUF012
    _template = Template(
        """
        {% macro script(this, kwargs) %}
        var {{ this.get_name() }} = L.map("chart", {
            center: {{ this.location|tojson }}, crs: L.CRS.EPSG3857, zoom: 10,
            minZoom: 2, maxZoom: 18, zoomSnap: 0.5, worldCopyJump: false,
            attributionControl: false, zoomControl: true
        });
        routecheck.panes({{ this.get_name() }});
        new routecheck.Scale({ maxWidth: 150 }).addTo({{ this.get_name() }});
        {% endmacro %}
        """
    )

    def __init__(self, location: Sequence[float]) -> None:
        super().__init__(location=location, tiles=None)
        self._id = "chart"


def folium_page(parts: PageParts) -> str:
    """The page as text. The same parts give the same text."""
    west, south, east, north = parts.bounds_deg
    chart = Chart([(south + north) / 2.0, (west + east) / 2.0])
    figure = chart.get_root()
    assert isinstance(figure, Figure)
    figure.title = parts.title
    _put(figure.header, "view", '<meta name="viewport" content="width=device-width">')
    for number, style in enumerate(parts.styles):
        _put(figure.header, f"style{number}", f"<style>{style}</style>")
    for number, script in enumerate(parts.scripts):
        _put(figure.header, f"script{number}", f"<script>{script}</script>")
    _put(figure.html, "panel", parts.panel)
    _put(figure.html, "data", parts.data)
    groups = {key: _named(folium.FeatureGroup(name=name), key) for key, name in parts.layers}
    for drawn in parts.lines:
        if drawn.lines:
            line: Any = folium.PolyLine
            made = _named(line(drawn.lines, class_name=drawn.ident, **drawn.look), drawn.ident)
            groups[drawn.layer].add_child(made)
    for group in groups.values():
        chart.add_child(group)
    chart.add_child(_named(folium.LayerControl(collapsed=True), "layers"))
    names = ", ".join(f"{key}: {group.get_name()}" for key, group in groups.items())
    whole = f"[[{south:.6f}, {west:.6f}], [{north:.6f}, {east:.6f}]]"
    chart.add_child(LastScript(f"routecheck.start({chart.get_name()}, {{ {names} }}, {whole});"))
    return str(figure.render())


def _named(element: Any, ident: str) -> Any:
    # folium's own names are random; ours keep the page the same from run to run.
    element._id = ident.replace("-", "_")
    return element


def _put(parent: Element, ident: str, text: str) -> None:
    parent.add_child(Raw(ident, text))
