"""How the coverage map tells one sort of water from another: less known is more ink.

Five steps of one blue-green wash that only grow darker, each with a hatching of its own, so that
the order holds for every kind of colour vision and in grey print. What nobody states is no step
of it: pale ground with question marks, as on the map of a route.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from routecheck.model.coverage import Patch, Worth
from routecheck.model.datum import MSL, stands_below_tides
from routecheck.model.source import Source

Q = 5
"""The step of what is not stated, or not charted."""
FILLS = ("#d6ecea", "#b9dcd8", "#84b8b4", "#4b8688", "#1d4a52", "#ebe9e4")
INKS = ("#d6ecea", "#5f9c98", "#2f6b6c", "#cfe6e3", "#9cc7c6", "#8d877c")
LAND = 6
LAND_FILL, LAND_INK = "#a79f90", "#3a352d"


@dataclass(frozen=True, kw_only=True)
class View:
    """One way to colour the map. `steps` maps a step to (name, meaning)."""

    key: str
    name: str
    steps: Mapping[int, tuple[str, str]]


VIEWS = (
    View(
        key="worth",
        name="what the depths are worth",
        steps={
            0: ("well known", "stated to be within 1.5 m in 10 m of water (CATZOC A1, A2, B)"),
            1: ("roughly known", "stated, but worse than that (CATZOC C)"),
            2: ("of unknown quality", "clears only with a caution (CATZOC D, U or none stated)"),
            3: ("too coarse", "charts under 1:180,000, cells over 100 m: cannot show a danger"),
            4: ("no usable datum", "may condemn, never clear: not on a low-water datum"),
            Q: ("hole", "inside a chart and without a depth: not assessed"),
        },
    ),
    View(
        key="detail",
        name="scale or cell size",
        steps={
            0: ("harbour", "1:25,000 and larger, cells of 10 m and less"),
            1: ("approach", "to 1:60,000, cells to 30 m"),
            2: ("coast", "to 1:180,000, cells to 100 m"),
            3: ("passage", "to 1:700,000, cells to 500 m: too coarse to clear"),
            4: ("ocean", "smaller scales, larger cells"),
            Q: ("not stated", "neither a scale nor a cell size, or a hole"),
        },
    ),
    View(
        key="datum",
        name="vertical datum",
        steps={
            0: ("LAT", "lowest astronomical tide: no lower water is predicted"),
            1: ("another low water", "MLLW, MLWS …: less water than charted may stand"),
            2: ("mean sea level, offset stated", "brought to chart datum by a sidecar"),
            3: ("another level", "mean sea level, a land datum: may condemn, never clear"),
            Q: ("not stated", "may condemn, never clear; or a hole"),
        },
    ),
    View(
        key="age",
        name="year of survey",
        steps={
            0: ("2015 and later", ""),
            1: ("2000 to 2014", ""),
            2: ("1970 to 1999", ""),
            3: ("1940 to 1969", ""),
            4: ("before 1940", "lead line and horizontal sextant"),
            Q: ("not stated", "as most often in a cell; or a hole"),
        },
    ),
)

_WORTH = {
    Worth.KNOWN: 0,
    Worth.ROUGH: 1,
    Worth.UNKNOWN: 2,
    Worth.COARSE: 3,
    Worth.NO_DATUM: 4,
    Worth.HOLE: Q,
}


def steps_of(patch: Patch) -> dict[str, int]:
    """The step of a patch in each view."""
    if patch.land:
        return {view.key: LAND for view in VIEWS}
    if patch.worth is Worth.HOLE:
        return {view.key: Q for view in VIEWS}
    return {
        "worth": _WORTH[patch.worth],
        "detail": _detail(patch.source),
        "datum": _datum(patch),
        "age": _age(patch.year),
    }


def _detail(source: Source) -> int:
    if source.scale is not None:
        return _first(source.scale, (25_000, 60_000, 180_000, 700_000))
    if source.resolution_m is not None:
        return _first(source.resolution_m, (10, 30, 100, 500))
    return Q


def _first(value: float, limits: tuple[float, ...]) -> int:
    return next((step for step, limit in enumerate(limits) if value <= limit), len(limits))


def _datum(patch: Patch) -> int:
    if patch.datum in ("", "unknown"):
        return Q
    if stands_below_tides(patch.datum):
        return 0 if patch.datum == "LAT" else 1
    return 2 if patch.datum == MSL and patch.source.datum_below_msl_m is not None else 3


def _age(year: int | None) -> int:
    if year is None:
        return Q
    return _first(-year, (-2015, -2000, -1970, -1940))


def _lines(step: int) -> str:
    ink = INKS[step]
    return {
        0: "",
        1: f'<g fill="{ink}"><circle cx="4" cy="4" r="1.1"/><circle cx="12" cy="12" r="1.1"/></g>',
        2: f'<path d="M-4 4L4 -4M0 16L16 0M12 20L20 12" stroke="{ink}" stroke-width="1.1"/>',
        3: f'<path d="M-4 12L4 20M0 0L16 16M12 -4L20 4M-4 4L12 20M4 -4L20 12" stroke="{ink}" '
        'stroke-width="1.2"/>',
        4: f'<path d="M0 16L16 0M-4 4L4 -4M12 20L20 12M0 0L16 16M-4 12L4 20M12 -4L20 4" '
        f'stroke="{ink}" stroke-width="1.1"/>',
        Q: f'<text x="8" y="12.5" font-size="12" font-weight="700" font-family="Georgia, serif" '
        f'text-anchor="middle" fill="{ink}">?</text>',
    }[step]


def patterns() -> str:
    """The hatchings as SVG, named step0 … step5; nothing in it comes from a file."""
    made = "".join(
        f'<pattern id="step{step}" width="16" height="16" patternUnits="userSpaceOnUse">'
        f'<rect width="16" height="16" fill="{FILLS[step]}"/>{_lines(step)}</pattern>'
        for step in range(6)
    )
    return (
        f'<svg class="patterns" width="0" height="0" aria-hidden="true"><defs>{made}</defs></svg>'
    )


def sample(step: int, *, width: int = 46, height: int = 22) -> str:
    """A sample of a step as inline SVG."""
    fill = LAND_FILL if step == LAND else f"url(#step{step})"
    return (
        f'<svg class="swatch" width="{width}" height="{height}" viewBox="0 0 {width} {height}" '
        f'aria-hidden="true"><rect width="{width}" height="{height}" fill="{fill}"/></svg>'
    )


def look_rules() -> str:
    """Style rules: in each view every step has its hatching."""
    rules = [
        f'[data-view="{view.key}"] .{view.key}{step} {{ fill: url(#step{step}); }}'
        for view in VIEWS
        for step in range(6)
    ]
    return "\n".join([*rules, f".land {{ fill: {LAND_FILL}; }}"])
