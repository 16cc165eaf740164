"""Entering or leaving a buoyed channel from the side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.passes import EdgeCrossed, MarkPass
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="across-the-channels-edge",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.NOTE},
)
def across_the_channels_edge(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track enters or leaves a buoyed channel between two marks of the same hand.

    Rule      the track crosses the line between two port-hand marks, or two starboard-hand marks,
              that stand next to each other on an edge: by their numbers, or where neither has a
              number with no third of their hand between them and each facing a mark of the
              other hand on the same side. A note that names both, one a crossing.
    Why       An edge is marked because something lies beyond it, and those who follow the
              channel do not look for a boat that comes in from the side.
    Examples  in words: into the channel between two red marks of a run is a note
              in words: out of it again is a note of its own
              in words: along the channel, inside its edges, is quiet
    Settings  mark_far: an edge with neither mark in reach is not seen.
    Limits    Whether there is water on the edge is for the depth checks. Marks far apart, or
              numbered in an odd way, are not taken for neighbours; marks without numbers on one
              edge alone tell no channel.
    Sources   IALA Recommendation R1001, lateral marks: they show the sides of a channel.
              Numbering by sides and the distances: common practice.
    """
    del passage
    told: Counter[str] = Counter()
    for met in view.marks:
        for edge in met.edges:
            key = f"{edge.first_key}/{edge.second_key}"
            told[key] += 1
            yield _finding(met, edge, view, key if told[key] == 1 else f"{key}/{told[key]}")


def _finding(met: MarkPass, edge: EdgeCrossed, view: LegView, key: str) -> Finding:
    hand = edge.hand.value
    first, second = edge.first_name or "one", edge.second_name or "the next"
    what = "enters the channel from" if edge.enters else "leaves the channel to"
    return Finding(
        check="across-the-channels-edge",
        severity=Severity.NOTE,
        title=f"{what} the side, between the {hand} marks {first} and {second}",
        explanation=f"The two {hand} marks stand {edge.length_m:.0f} m apart on one edge; it is "
        f"crossed {edge.off_nearer_m:.0f} m from the nearer.",
        leg=view.leg.number,
        object_key=key,
        cls=met.mark.cls,
        along_m=met.along_m,
        cross_m=0.0,
        lon_deg=edge.lon_deg,
        lat_deg=edge.lat_deg,
        sums={
            "edge_m": round(edge.length_m, 1),
            "off_nearer_m": round(edge.off_nearer_m, 1),
        },
        source=met.mark.source,
        rests_on=(
            "that their numbers follow on one edge"
            if edge.numbered
            else "the places of the marks alone"
        ),
    )
