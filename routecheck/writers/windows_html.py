"""windows.html: the picture of departure time against distance, and the windows as a table."""

from __future__ import annotations

from datetime import UTC, tzinfo

from routecheck.model.chart import Severity
from routecheck.model.window import Window, Windows
from routecheck.units import METRES_PER_NMI
from routecheck.writers.drawing.bands import STYLES, Band, band_words, swatch
from routecheck.writers.drawing.offline import own_style, with_policy
from routecheck.writers.drawing.templates import rendered
from routecheck.writers.drawing.window_plot import to_window_plot
from routecheck.writers.wording.lengths import Lengths, Units, clock
from routecheck.writers.wording.names import plain
from routecheck.writers.wording.windows import (
    BETWEEN,
    always_lines,
    always_words,
    bar_words,
    best_cautions,
    cautions_count,
    cautions_words,
    count_words,
    duration_words,
    edge_words,
    margin_words,
    span_words,
    window_words,
)


def to_windows_html(windows: Windows, *, units: str = Units.METRIC, zone: tzinfo = UTC) -> str:
    """The windows as one printable HTML page; no script, nothing from outside.

    Raises ValueError on unknown units.
    """
    lengths = Lengths(units=Units(units))
    page = rendered(
        "windows.html",
        style=own_style("brief.css") + own_style("windows.css"),
        title=plain(windows.route.name) or "Route without a name",
        size=f"{len(windows.route.legs)} legs, {windows.distance_m / METRES_PER_NMI:.2f} nmi, "
        f"{duration_words(windows.duration_s)}",
        boat=f"{plain(windows.boat.name)} needs {lengths.exact(windows.boat.needed_m)} of water",
        span=span_words(windows, zone),
        count=count_words(windows),
        caution=windows.caution,
        plot=to_window_plot(windows, lengths, zone),
        bands=[(swatch(s, width=26, height=13), _words(s.band, lengths)) for s in STYLES],
        windows=[_window(window, lengths, zone) for window in windows.windows],
        closed=[bar_words(bar, lengths) for bar in windows.closed],
        head=_head(windows),
        between=BETWEEN,
        always_head=always_words(windows),
        always=always_lines(windows, lengths),
        always_cautions=cautions_words(windows),
        assumptions=[plain(lengths.prose(text), longest=600) for text in windows.assumptions],
    )
    return with_policy(page)


def _words(band: Band, lengths: Lengths) -> str:
    if band is Band.TOUCHES:
        return "the keel touches, or the mast strikes"
    return band_words(band, lengths)[0]


def _head(windows: Windows) -> str:
    """The page's verdict."""
    count = len(windows.windows)
    if windows.always_worst is Severity.DANGER:
        return "No departure without danger"
    many = f"{count} {'window' if count == 1 else 'windows'}"
    return many if windows.always_worst is None else f"{many}, not all assessed"


def _window(window: Window, lengths: Lengths, zone: tzinfo) -> dict[str, object]:
    return {
        "span": window_words(window, zone),
        "best": clock(window.best, zone),
        "margin": margin_words(window.best_margin_m, lengths),
        "opens": edge_words(window.opens, lengths),
        "closes": edge_words(window.closes, lengths),
        "cautions": best_cautions(window, lengths),
        "with_cautions": cautions_count(window).split(", "),
    }
