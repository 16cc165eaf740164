"""The sample routes, vetted once a run. Paths are relative, so that reports are alike anywhere."""

from __future__ import annotations

import contextlib
from functools import cache
from pathlib import Path

from routecheck import read_boat, read_charts, read_routes, read_tide, vet
from routecheck.api import Vetted

ROUTES = (
    "clean.gpx",
    "dawn-inbound.rtz",
    "off-the-chart.gpx",
    "over-a-shoal.gpx",
    "to-the-cove.gpx",
    "wrong-side.gpx",
)
_SAMPLE = Path("sample_charts")


@cache
def vetted(root: Path, name: str, region: str = "", cross_track_m: float | None = None) -> Vetted:
    """One sample route against the sample charts, with the sample boat and tide."""
    with contextlib.chdir(root):
        (route,) = read_routes(_SAMPLE / "routes" / name)
        return vet(
            route,
            read_charts([_SAMPLE / "charts"]),
            read_boat(_SAMPLE / "boat.toml"),
            tide=read_tide(_SAMPLE / "tide.toml"),
            region=region,
            cross_track_m=cross_track_m,
        )
