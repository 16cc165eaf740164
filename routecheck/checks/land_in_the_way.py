"""Land, coastline and structures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from routecheck.model.beltwords import belt_words
from routecheck.model.chart import Severity
from routecheck.model.finding import Evidence, Finding
from routecheck.model.objects import Layer, Solid, SolidKind
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Met, Touch

_BESIDE_M = 200.0


@check(
    name="land-in-the-way",
    group="dangers",
    needs={Layer.LAND},
    gives={Severity.DANGER, Severity.CAUTION},
)
def land_in_the_way(view: LegView, passage: Passage) -> Iterator[Finding]:  # noqa: ARG001
    """Land or a structure in the corridor.

    Rule      land, coastline or a fixed structure touched by the corridor: danger; only within
              its position uncertainty (0.5 mm at the chart's scale where none is stated): caution.
    Why       No tide floats a boat over it.
    Examples  found: 99#99
              quiet: 99999
    Settings  cross_track.
    Limits    Structures newer than the chart; floating booms that are moved.
    Sources   IHO S-57 ed. 3.1, LNDARE, COALNE, SLCONS, PILPNT, MORFAC, OFSPLF, PONTON, HULKES,
              FLODOC, DAMCON, DYKCON; 0.5 mm at scale: common practice. Gates: lock-or-gate.
    """
    touched = [m for m in view.solids if m.place.touch is Touch.CORRIDOR]
    taken: set[str] = set()
    for severity, mets in ((Severity.DANGER, touched), (Severity.CAUTION, view.solids)):
        for group in _groups([m for m in mets if m.object.key not in taken]):
            taken.update(m.object.key for m in group)
            yield _finding(view, severity, group)


def _groups(mets: Sequence[Met[Solid]]) -> list[list[Met[Solid]]]:
    """An island's coastline and quays go with its land, where their reaches meet on the leg."""
    lands = [[m] for m in mets if m.object.kind is SolidKind.LAND]
    for met in mets:
        if met.object.kind is SolidKind.LAND:
            continue
        home = next((g for g in lands if _beside(g[0], met)), None)
        if home is not None:
            home.append(met)
        else:
            lands.append([met])
    return lands


def _beside(land: Met[Solid], other: Met[Solid]) -> bool:
    return (
        land.object.kind is SolidKind.LAND
        and other.object.kind is SolidKind.COASTLINE
        and land.object.geometry.distance(other.object.geometry) < 1e-4
        and land.place.along_from_m - _BESIDE_M <= other.place.along_to_m
        and other.place.along_from_m - _BESIDE_M <= land.place.along_to_m
    )


def _finding(view: LegView, severity: Severity, group: list[Met[Solid]]) -> Finding:
    lead = group[0]
    off_m = abs(lead.place.cross_m)
    what = f"{lead.object.kind.value} {lead.object.name}".strip()
    where = "on the track" if off_m < 0.5 else f"{off_m:.0f} m off the track"
    says = f"{what[0].upper() + what[1:]} ({lead.object.cls}) lies {where}."
    if severity is Severity.CAUTION:
        says += f" {belt_words(lead.place)}"
    return Finding(
        check="land-in-the-way",
        severity=severity,
        title=f"{what} {where}",
        explanation=says,
        leg=view.leg.number,
        object_key=lead.object.key,
        cls=lead.object.cls,
        along_m=lead.place.along_m,
        along_to_m=lead.place.along_to_m,
        cross_m=lead.place.cross_m,
        lon_deg=lead.place.lon_deg,
        lat_deg=lead.place.lat_deg,
        sums={
            "cross_m": lead.place.cross_m,
            "corridor_port_m": view.port_m,
            "corridor_starboard_m": view.starboard_m,
            "position_uncertainty_m": lead.place.belt_m,
        },
        evidence=tuple(
            Evidence(
                key=m.object.key,
                cls=m.object.cls,
                text=f"{m.object.kind.value} {m.object.name}".strip(),
                severity=severity,
                lon_deg=m.place.lon_deg,
                lat_deg=m.place.lat_deg,
                along_m=m.place.along_m,
                cross_m=m.place.cross_m,
                source=m.source.id,
            )
            for m in group[1:]
        ),
        source=lead.source.id,
        rests_on=lead.source.id,
    )
