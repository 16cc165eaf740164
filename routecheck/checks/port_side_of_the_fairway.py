"""Where between the marks of a gate the track runs."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.chart import Severity
from routecheck.model.finding import Evidence, Finding
from routecheck.model.markjudgement import Fault
from routecheck.model.markrule import judge
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.passes import GatePass, MarkPass
from routecheck.model.rule import check
from routecheck.model.view import LegView


@check(
    name="port-side-of-the-fairway",
    group="marks",
    needs={Layer.MARKS},
    gives={Severity.NOTE},
)
def port_side_of_the_fairway(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The track keeps to the port side of the middle between the marks of a gate.

    Rule      both marks of a gate are passed rightly, and the track crosses the line between
              them to port of its middle by more than the position uncertainty of the nearer:
              a note, one a leg, with the distance from the middle.
    Why       A vessel in a narrow channel keeps to the side of it that lies to her starboard;
              on the other side she meets those that come the other way.
    Examples  in words: through a gate well to port of the middle is a note
              in words: through a gate to starboard of the middle is quiet
              in words: in a staggered channel the middle is half-way from a mark to the other edge
              in words: outside a gate is for another check to tell
    Settings  mark_near, mark_far.
    Limits    Knows no other edges of a fairway than facing pairs of marks and, where marks are
              staggered, a mark and the straight line between two of the other hand. How narrow
              a channel must be for the rule to bind is for the mariner to judge.
    Sources   IMO, International Regulations for Preventing Collisions at Sea 1972, rule 9(a).
    """
    gates: list[tuple[MarkPass, GatePass]] = []
    for met in view.marks:
        gate = met.gate
        # Told at the mark that is nearer, so once a gate (a staggered one has a mark to itself);
        # not within the error of its place.
        if gate is None or not gate.between or not (gate.nearer or gate.staggered):
            continue
        if gate.bend_m is None or -gate.off_middle_m <= met.position_uncertainty_m + gate.bend_m:
            continue
        judged = judge(met, passage.boat.margins, view)
        if judged.side_required == met.side and judged.fault in (Fault.NONE, Fault.LAPPED):
            gates.append((met, gate))
    if gates:
        first, *others = sorted(gates, key=lambda held: held[1].off_middle_m)
        yield _finding(view, first, others)


def _finding(
    view: LegView, first: tuple[MarkPass, GatePass], others: list[tuple[MarkPass, GatePass]]
) -> Finding:
    met, gate = first
    return Finding(
        check="port-side-of-the-fairway",
        severity=Severity.NOTE,
        title=f"{-gate.off_middle_m:.0f} m to port of the middle between {_names(met, gate)}",
        explanation=f"The gate is {gate.width_m:.0f} m wide; its starboard side is the proper one "
        "in a narrow channel.",
        leg=view.leg.number,
        object_key=met.mark.key,
        cls=met.mark.cls,
        along_m=met.along_m,
        cross_m=0.0,
        lon_deg=gate.lon_deg,
        lat_deg=gate.lat_deg,
        sums={
            "gate_width_m": round(gate.width_m, 1),
            "off_middle_m": round(gate.off_middle_m, 1),
        },
        evidence=tuple(
            Evidence(
                key=other.mark.key,
                cls=other.mark.cls,
                text=f"{-held.off_middle_m:.0f} m to port of the middle between "
                f"{_names(other, held)}",
                lon_deg=held.lon_deg,
                lat_deg=held.lat_deg,
                along_m=other.along_m,
                source=other.mark.source,
            )
            for other, held in others
        ),
        source=met.mark.source,
        rests_on=f"the places of both marks in {met.mark.source}",
    )


def _names(met: MarkPass, gate: GatePass) -> str:
    other = gate.partner_name or "an unnamed mark"
    if gate.staggered:
        other = f"the edge from {other} to {gate.edge_name or 'an unnamed mark'}"
    return f"{met.mark.name or 'an unnamed mark'} and {other}"
