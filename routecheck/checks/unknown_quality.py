"""Water that only depths of unknown quality would clear."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Evidence, Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(name="unknown-quality", group="depth", needs=(), gives={Severity.CAUTION})
def unknown_quality(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """Depths of unknown quality are all that is known here.

    Rule      a part of the corridor whose only depths come from CATZOC D or U, or from a source
              that states no uncertainty: one caution a leg.
    Why       No figure can be put on how far such depths may be wrong, so none is in the sum.
    Examples  in words: a leg through CATZOC D, deep enough, gets one caution, not one an object
    Settings  none.
    Limits    A stated figure is believed.
    Sources   IHO S-57 ed. 3.1, M_QUAL, CATZOC 5 and 6.
    """
    runs = sorted(view.quality_runs, key=lambda run: -run.area_m2)
    if not runs:
        return
    lead = runs[0]
    yield Finding(
        check="unknown-quality",
        severity=Severity.CAUTION,
        title=f"depths of unknown quality ({lead.quality.name}, {lead.source.id})",
        explanation=(
            f"From {min(r.along_from_m for r in runs):.0f} m to "
            f"{max(r.along_to_m for r in runs):.0f} m along the leg the depths that would let the "
            "boat pass have no stated accuracy. They may be wrong by more than the margin."
        ),
        leg=view.leg.number,
        object_key="quality",
        cls="M_QUAL",
        along_m=min(r.along_from_m for r in runs),
        along_to_m=max(r.along_to_m for r in runs),
        cross_m=lead.cross_m,
        lon_deg=lead.lon_deg,
        lat_deg=lead.lat_deg,
        sums={"unknown_quality_m2": sum(r.area_m2 for r in runs)},
        evidence=tuple(
            Evidence(
                key=f"{r.source.id}/{r.quality.name}",
                cls="M_QUAL",
                text=f"{r.quality.name}, {r.source.id}",
                severity=Severity.CAUTION,
                lon_deg=r.lon_deg,
                lat_deg=r.lat_deg,
                cross_m=r.cross_m,
                source=r.source.id,
            )
            for r in runs[1:]
        ),
        source=lead.source.id,
        rests_on=f"{lead.source.id}, quality {lead.quality.name}",
        settle="give a source whose accuracy is stated",
    )
