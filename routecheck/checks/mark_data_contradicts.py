"""Marks whose data contradict themselves, and sources of region or direction that differ."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from routecheck.model.chart import Severity
from routecheck.model.finding import Evidence, Finding
from routecheck.model.markfinding import mark_called
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.passes import MarkPass
from routecheck.model.rule import check
from routecheck.model.view import LegView
from routecheck.nav.buoyage import region_of_place


@check(
    name="mark-data-contradicts",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.CAUTION},
)
def mark_data_contradicts(view: LegView, passage: Passage) -> Iterator[Finding]:
    """What the sources say of a mark does not fit together.

    Rule      colours against category, shape and top mark against the kind, category and
              colours against the region, the user's
              region or direction against the chart's (directions more than 45 degrees apart), a
              stated direction against the numbers of a run, either of them against a leading
              line, marks of two kinds within 5 m, a buoy on land or where it dries: a caution
              that names both. A region that is not in use in that part of the world: a note.
    Why       One of the two is wrong, and a side judged by the wrong one puts the boat on the
              wrong side of every mark.
    Examples  in words: a red port-hand mark in region B is a caution
              in words: one caution for all marks of a leg under the same conflict
              in words: a buoy charted on land is a caution
              in words: a can charted as a starboard-hand mark is a caution
              in words: a red port-hand mark in region A is quiet
    Settings  --region, --buoyage.
    Limits    Lights are not compared. A shape that does not fit leaves the side judged by
              category and colours; pillars, spars and other shapes fit every kind.
    Sources   IALA Recommendation R1001 (colours by kind and region); IHO S-57 ed. 3.1, CATLAM,
              CATCAM, COLOUR, MARSYS, ORIENT; marks in one place, buoys aground: common practice.
    """
    del passage
    conflicts: dict[str, list[MarkPass]] = {}
    for met in view.marks:
        if met.contradiction:
            title = f"{mark_called(met)}: its colours and kind contradict each other"
            yield _finding([met], met.mark.key, met.contradiction, title, view)
        if met.odd_shape:
            title = f"{mark_called(met)}: its shape or top mark and its kind contradict each other"
            yield _finding([met], f"{met.mark.key}/shape", met.odd_shape, title, view)
        for number, doubt in enumerate(met.doubtful):
            title = f"{mark_called(met)}: its place is doubtful"
            yield _finding([met], f"{met.mark.key}/place/{number}", doubt, title, view)
        if met.conflict:
            conflicts.setdefault(met.conflict, []).append(met)
    odd = [m for m in view.marks if m.region and _other_region(m)]
    if odd:
        usual = _other_region(odd[0])
        text = f"region {odd[0].region} by {odd[0].region_from}, where region {usual} is in use"
        title = "region of buoyage that does not fit the place"
        key = f"{odd[0].mark.key}/region"
        yield replace(_finding(odd, key, text, title, view), severity=Severity.NOTE)
    for text, those in conflicts.items():
        title = "two sources contradict each other about the buoyage"
        yield _finding(those, f"{those[0].mark.key}/conflict", text, title, view)


def _other_region(met: MarkPass) -> str:
    """The region that the place surely lies in, if that is not the one that is stated."""
    usual = region_of_place(met.mark.lon_deg, met.mark.lat_deg)
    return usual if usual and usual != met.region else ""


def _finding(those: Sequence[MarkPass], key: str, text: str, title: str, view: LegView) -> Finding:
    lead = those[0]
    return Finding(
        check="mark-data-contradicts",
        severity=Severity.CAUTION,
        title=title,
        explanation=f"At {mark_called(lead)}: {text}.",
        leg=view.leg.number,
        object_key=key,
        cls=lead.mark.cls,
        along_m=lead.along_m,
        cross_m=lead.cross_m,
        lon_deg=lead.mark.lon_deg,
        lat_deg=lead.mark.lat_deg,
        sums={"distance_m": round(lead.distance_m, 1), "marks": float(len(those))},
        evidence=tuple(
            Evidence(
                key=met.mark.key,
                cls=met.mark.cls,
                text=f"{mark_called(met)}, under the same conflict",
                lon_deg=met.mark.lon_deg,
                lat_deg=met.mark.lat_deg,
                along_m=met.along_m,
                cross_m=met.cross_m,
                source=met.mark.source,
            )
            for met in those[1:]
        ),
        source=lead.mark.source,
        rests_on=f"{lead.mark.source}; region by {lead.region_from or 'nothing'}",
        settle="a newer chart, or --region and --buoyage that agree with it",
    )
