"""Deep water under a source too coarse to show a danger."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.source import SourceKind
from routecheck.model.view import LegView


@check(name="coarse-source", group="depth", needs=(), gives={Severity.CAUTION})
def coarse_source(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """Only a coarse source covers this deep water.

    Rule      a grid with cells over 100 m, or a chart smaller than 1:180,000, clears water of
              200 m and more with a caution, and shoaler water not at all (see
              water-not-covered).
    Why       A pinnacle is smaller than such a cell; a chart of this scale leaves it out.
    Examples  in words: 460 m cells, all deeper than 200 m, give one caution a leg
    Settings  coarsest_grid, smallest_scale.
    Limits    Steep seamounts that no survey has found.
    Sources   Common practice.
    """
    for water in view.coarse_water:
        source = water.source
        if source.kind is SourceKind.GRID:
            how = f"cells of {source.resolution_m or 0.0:.0f} m"
        else:
            how = f"scale 1:{source.scale or 0.0:.0f}"
        yield Finding(
            check="coarse-source",
            severity=Severity.CAUTION,
            title=f"deep water known only from a coarse source ({how})",
            explanation=(
                f"{source.id} ({how}) is all that covers {water.along_from_m:.0f} m to "
                f"{water.along_to_m:.0f} m along the leg. It shows {floor(water.shoalest_m)} m or "
                "more, and could not show a single shoal."
            ),
            leg=view.leg.number,
            object_key=source.id,
            cls="coverage",
            along_m=water.along_from_m,
            along_to_m=water.along_to_m,
            cross_m=water.cross_m,
            lon_deg=water.lon_deg,
            lat_deg=water.lat_deg,
            sums={"shoalest_m": water.shoalest_m, "resolution_m": source.resolution_m or 0.0},
            source=source.id,
            rests_on=source.id,
            settle="give a finer grid or a chart of larger scale",
        )
