"""Cables and pipes on the bed, and tunnels under it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from routecheck.model.areafinding import area_called, area_evidence, area_finding
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView, Met, Touch

_ENDS = frozenset({2, 3})
"""CATPIP of outfalls and intakes, which may rise from the bed (S-57 attribute 47)."""


@check(
    name="cable-or-pipe-below",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION, Severity.NOTE},
)
def cable_or_pipe_below(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor crosses submarine cables or pipelines.

    Rule      all cables, pipelines, areas of them and tunnels that the corridor of a leg touches:
              one note a leg. An outfall or intake pipe without a depth, touched by the corridor or
              within its position uncertainty: caution. One with a depth over it is judged in
              underwater-danger.
    Why       Under way they pass below the keel; an anchor must not be let go there, and a
              pipeline may take up to 2 m of the charted depth.
    Examples  in words: three cables across the corridor are one note
    Settings  cross_track.
    Limits    Whether a pipe is buried.
    Sources   IHO S-57 ed. 3.1, CBLSUB, CBLARE, PIPSOL, PIPARE, TUNNEL, CATPIP; the 2 m: wording
              of charts, common practice.
    """
    below = [m for m in view.areas if Fault.BELOW in faults_of(m.object)]
    for met in below:
        if _ends(met.object):
            finding = area_finding(
                "cable-or-pipe-below",
                met,
                view,
                passage,
                severity=Severity.CAUTION,
                title=f"{area_called(met.object)}: an outfall or intake of unknown depth",
                says="Its end may stand above the bed; no depth over it is charted.",
            )
            if finding is not None:
                yield finding
    quiet = [m for m in below if not _ends(m.object) and m.place.touch is Touch.CORRIDOR]
    if quiet:
        finding = area_finding(
            "cable-or-pipe-below",
            quiet[0],
            view,
            passage,
            severity=Severity.NOTE,
            title=f"{_counted(quiet)} below the corridor",
            says="Do not anchor here.",
            evidence=tuple(area_evidence(met) for met in quiet[1:]),
        )
        if finding is not None:
            yield finding


def _ends(area: Area) -> bool:
    return area.kind is AreaKind.PIPELINE and bool(_ENDS & set(area.categories))


def _counted(mets: list[Met[Area]]) -> str:
    if len(mets) == 1:
        return area_called(mets[0].object)
    counts = Counter(met.object.kind.value for met in mets)
    return ", ".join(f"{n} {kind}{'s' if n > 1 else ''}" for kind, n in counts.items())
