"""Vets a boat's route against open charts and says plainly what it could not judge.

The public names; each is imported when it is first asked for, so that the command line starts
without what it does not need.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from routecheck.api import Vetted, vet, window
    from routecheck.model.boat import Boat, Margins
    from routecheck.model.chart import ChartSet, Severity
    from routecheck.model.errors import BadInput
    from routecheck.model.finding import Finding, Report, Verdict
    from routecheck.model.route import Leg, Route, Waypoint
    from routecheck.model.window import Windows
    from routecheck.readers.folder import read_charts
    from routecheck.readers.route_file import read_routes
    from routecheck.readers.settings import read_boat, read_tide

__version__ = "0.1.0"
__all__ = [
    "BadInput",
    "Boat",
    "ChartSet",
    "Finding",
    "Leg",
    "Margins",
    "Report",
    "Route",
    "Severity",
    "Verdict",
    "Vetted",
    "Waypoint",
    "Windows",
    "read_boat",
    "read_charts",
    "read_routes",
    "read_tide",
    "vet",
    "window",
]
_HOMES = {
    "api": ("Vetted", "vet", "window"),
    "model.boat": ("Boat", "Margins"),
    "model.chart": ("ChartSet", "Severity"),
    "model.errors": ("BadInput",),
    "model.finding": ("Finding", "Report", "Verdict"),
    "model.route": ("Leg", "Route", "Waypoint"),
    "model.window": ("Windows",),
    "readers.folder": ("read_charts",),
    "readers.route_file": ("read_routes",),
    "readers.settings": ("read_boat", "read_tide"),
}


def __getattr__(name: str) -> Any:
    for module, names in _HOMES.items():
        if name in names:
            return getattr(import_module(f"routecheck.{module}"), name)
    raise AttributeError(f"module 'routecheck' has no attribute {name!r}")
