"""What a chart's sidecar is called."""

from __future__ import annotations

from pathlib import Path


def sidecar_path(chart: Path) -> Path:
    """``X.tif.toml`` of ``X.tif``."""
    return chart.with_name(chart.name + ".toml")
