"""windows.html: the picture of departure time against distance, and the windows as a table."""

from __future__ import annotations

from datetime import UTC, tzinfo

from routecheck.model.window import Window, Windows
from routecheck.units import METRES_PER_NMI
from routecheck.writers.drawing.bands import STYLES, band_words, swatch
from routecheck.writers.drawing.offline import own_style, with_policy
from routecheck.writers.drawing.templates import rendered
from routecheck.writers.drawing.window_plot import to_window_plot
from routecheck.writers.wording.lengths import Lengths, Units, clock
from routecheck.writers.wording.names import plain
from routecheck.writers.wording.places import SEVERITY_WORDS, place_of
from routecheck.writers.wording.windows import (
    bar_words,
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
        bands=[(swatch(s, width=26, height=13), band_words(s.band, lengths)[0]) for s in STYLES],
        windows=[_window(window, lengths, zone) for window in windows.windows],
        closed=[bar_words(bar, lengths) for bar in windows.closed],
        always=[
            f"{SEVERITY_WORDS[f.severity]}: {plain(f.title, longest=300)} ({place_of(f, lengths)})"
            for f in windows.always
        ],
        assumptions=[plain(text, longest=600) for text in windows.assumptions],
    )
    return with_policy(page)


def _window(window: Window, lengths: Lengths, zone: tzinfo) -> dict[str, object]:
    return {
        "span": window_words(window, zone),
        "best": clock(window.best, zone),
        "margin": margin_words(window.best_margin_m, lengths),
        "opens": edge_words(window.opens, lengths),
        "closes": edge_words(window.closes, lengths),
        "cautions": [plain(text, longest=300) for text in window.cautions],
    }
