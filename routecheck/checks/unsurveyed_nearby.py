"""Unsurveyed water whose edge is not known well enough."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.beltwords import belt_words
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer, Unsurveyed
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import UNSURVEYED, LegView, Met, Touch


@check(
    name="unsurveyed-nearby",
    group="coverage",
    needs={Layer.DEPTH},
    gives={Severity.CAUTION},
)
def unsurveyed_nearby(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """Unsurveyed water may reach into the corridor.

    Rule      an unsurveyed area outside the corridor, but within its position uncertainty (0.5 mm
              at the chart's scale where none is stated), or one that reaches into it by a hair
              only: caution. What the corridor touches by more is not assessed, and told in
              water-not-covered.
    Why       Nobody has looked there.
    Examples  in words: an unsurveyed area 10 m outside the corridor on a chart of 1:50,000 is a
              caution
    Settings  cross_track.
    Limits    Water that was surveyed badly is a matter of quality: see unknown-quality.
    Sources   IHO S-57 ed. 3.1, UNSARE; 0.5 mm at scale: common practice.
    """
    for met in view.unsurveyed:
        if met.place.touch is not Touch.BELT and _told(met, view):
            continue
        yield Finding(
            check="unsurveyed-nearby",
            severity=Severity.CAUTION,
            title=f"unsurveyed area {met.object.name}".strip() + " may reach into the corridor",
            explanation=belt_words(met.place) or "By a hair only: less than it is drawn to.",
            leg=view.leg.number,
            object_key=met.object.key,
            cls=met.object.cls,
            along_m=met.place.along_m,
            along_to_m=met.place.along_to_m,
            cross_m=met.place.cross_m,
            lon_deg=met.place.lon_deg,
            lat_deg=met.place.lat_deg,
            sums={
                "cross_m": round(met.place.cross_m, 1),
                "position_uncertainty_m": round(met.place.belt_m, 1),
            },
            source=met.source.id,
            rests_on=met.source.id,
        )


def _told(met: Met[Unsurveyed], view: LegView) -> bool:
    """Whether it is told as a hole: one that is too narrow for that is none."""
    return any(
        gap.why == UNSURVEYED
        and gap.along_from_m <= met.place.along_to_m
        and met.place.along_from_m <= gap.along_to_m
        for gap in view.gaps
    )
