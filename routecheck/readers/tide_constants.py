"""Harmonic constants of a station: inline in tide.toml, or in a CSV file beside it."""

from __future__ import annotations

from pathlib import Path

from routecheck.model.heights import HarmonicHeights
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic, local_to_greenwich_phase_deg
from routecheck.readers.tide_csv import read_constants
from routecheck.readers.tide_differences import clock_offset_s
from routecheck.readers.tomlfile import Table, plain_file_name

KEYS = ("mean_level", "phases", "node_factors")
"""What may stand beside ``constituents``."""
_MOST_CONSTITUENTS = 500
_MOST_M = 1_000.0
_MOST_LEVEL_M = 30.0
_MOST_AMPLITUDE_M = 8.0
"""No constituent reaches it (M2 in the Bay of Fundy: about 6 m; common knowledge)."""
_SPEED_OFF_DEG_PER_H = 1e-3


def read_harmonic(table: Table, path: Path, lon_deg: float | None) -> HarmonicHeights:
    """The heights of a station's table with constituents; `lon_deg` is the station's longitude.

    Raises BadInput, naming key or line, for a constituent that is not known, an amplitude that no
    tide has, or a speed that is not that constituent's.
    """
    mean_m = table.length_m("mean_level", most_m=_MOST_LEVEL_M, signed=True)
    if mean_m is None:
        raise table.bad(
            "constituents need the mean level above datum", do='add mean_level = "2.1 m"'
        )
    parts = _constants(table, path)
    phases = table.text("phases") or "Greenwich"
    if phases.lower() == "local":
        if lon_deg is None:
            raise table.bad("local phases need the station's longitude", key="phases")
        parts = [
            _moved(p, local_to_greenwich_phase_deg(p.phase_deg, p.constituent, lon_deg))
            for p in parts
        ]
    elif phases.lower() != "greenwich":
        # Lags in the clock time of a zone: V is the same so many hours earlier.
        hours = (table.read("phases", clock_offset_s) or 0.0) / 3600.0
        parts = [_moved(p, p.phase_deg - p.constituent.speed_deg_per_h * hours) for p in parts]
    nodes = table.text("node_factors") or "daily"
    if nodes not in ("daily", "mid-year"):
        raise table.bad(f"{nodes!r} is neither daily nor mid-year", key="node_factors")
    return HarmonicHeights(
        mean_level_m=mean_m, harmonics=tuple(parts), mid_year=nodes == "mid-year"
    )


def _moved(one: Harmonic, phase_deg: float) -> Harmonic:
    return Harmonic(
        constituent=one.constituent, amplitude_m=one.amplitude_m, phase_deg=phase_deg % 360.0
    )


def _constants(table: Table, path: Path) -> list[Harmonic]:
    made: list[Harmonic] = []
    if isinstance(table.values["constituents"], str):
        file = path.with_name(table.read("constituents", plain_file_name) or "")
        for line, name, amplitude_m, phase_deg, speed in read_constants(file):
            try:
                made.append(_constituent(name, amplitude_m, phase_deg, speed))
            except ValueError as error:
                inner = Table({}, file=str(file), where=f"line {line}")
                raise inner.bad(str(error)) from None
    else:
        for inner in table.tables("constituents", most=_MOST_CONSTITUENTS):
            inner.refuse_unknown(("name", "amplitude", "phase_deg", "speed_deg_per_h"))
            height_m = inner.length_m("amplitude", most_m=_MOST_M, signed=True)
            lag_deg = inner.number("phase_deg")
            if height_m is None or lag_deg is None:
                raise inner.bad("it needs name, amplitude and phase_deg")
            rate = inner.number("speed_deg_per_h")
            try:
                made.append(_constituent(inner.text("name") or "", height_m, lag_deg, rate))
            except ValueError as error:
                raise inner.bad(f"{table.where}: {error}") from None
    if not 0 < len(made) <= _MOST_CONSTITUENTS:
        raise table.bad(f"{len(made)} constituents", key="constituents", do="give some")
    names = [one.constituent.name for one in made]
    for name in names:
        if names.count(name) > 1:
            raise table.bad(f"{name} stands twice", key="constituents")
    return made


def _constituent(name: str, amplitude_m: float, phase_deg: float, speed: float | None) -> Harmonic:
    one = constituent(name)
    if not 0.0 <= amplitude_m <= _MOST_AMPLITUDE_M:
        raise ValueError(
            f"{one.name} with {amplitude_m:.2f} m is no tide; look at the unit: centimetres?"
        )
    if not -360.0 <= phase_deg <= 360.0:
        raise ValueError(f"{one.name}: {phase_deg:g} is no phase in degrees")
    if speed is not None and abs(speed - one.speed_deg_per_h) > _SPEED_OFF_DEG_PER_H:
        raise ValueError(
            f"{one.name} moves at {one.speed_deg_per_h:.6f} degrees an hour, not at {speed:g}"
        )
    return Harmonic(constituent=one, amplitude_m=amplitude_m, phase_deg=phase_deg)
