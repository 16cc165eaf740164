"""What a chart's sidecar is called, and what is read twice where two charts share one file."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path


def sidecar_path(chart: Path) -> Path:
    """``X.tif.toml`` of ``X.tif``."""
    return chart.with_name(chart.name + ".toml")


def reading_of(chart: Path) -> tuple[str, str]:
    """The file behind all links and the one of its sidecar, "" where it has none: what two paths
    have in common that are one chart. A link may have a sidecar of its own."""
    sidecar = sidecar_path(chart)
    held = os.path.realpath(sidecar) if os.path.lexists(sidecar) else ""
    return os.path.realpath(chart), held


def sidecar_digest(chart: Path) -> str:
    """SHA-256 of a chart's sidecar, "" where it has none; its path where it cannot be read."""
    sidecar = sidecar_path(chart)
    if not os.path.lexists(sidecar):
        return ""
    try:
        return hashlib.sha256(sidecar.read_bytes()).hexdigest()
    except OSError:
        return str(sidecar)
