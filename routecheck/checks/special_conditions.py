"""Areas for which special conditions exist: the list of the ECDIS performance standard."""

from __future__ import annotations

from collections.abc import Iterator

from routecheck.model.areafinding import area_finding, in_reach
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Layer
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.view import LegView

_SAYS = {
    AreaKind.MILITARY: "Firing or exercises, perhaps with submarines: ask when it is in use.",
    AreaKind.OFFSHORE: "Platforms and moorings with their safety zones, some newer than the chart.",
    AreaKind.PRODUCTION: "Works on the water, such as wind turbines, and their service craft.",
    AreaKind.SEAPLANES: "Seaplanes land and take off here.",
    AreaKind.SUBMARINES: "Submarines pass here, submerged too.",
    AreaKind.ANCHORAGE: "Vessels lie at anchor here, swing and get under way.",
    AreaKind.ANCHOR_BERTH: "A vessel may lie at anchor here.",
    AreaKind.MARINE_FARM: "Cages, lines and buoys, often moved since the chart was made.",
    AreaKind.TRANSHIPMENT: "Ships lie alongside one another here and cannot manoeuvre.",
    AreaKind.INCINERATION: "Vessels burn waste here and cannot manoeuvre freely.",
}
_CATEGORY = {
    9: "A military area.",
    12: "A safety zone round an aid to navigation.",
    18: "People swim here.",
    19: "Vessels wait here.",
    21: "Dredgers work here, and the depth may have changed.",
    25: "Vessels swing and turn here.",
    27: "An environmentally sensitive sea area.",
    28: "A particularly sensitive sea area: associated protective measures may bind every vessel.",
    29: "Vessels change tugs or pilots here.",
    30: "Port security: vessels may be turned away.",
    31: "A coral sanctuary.",
    32: "A recreation area, with bathers and small craft.",
}
"""CATREA: IHO S-57 ed. 3.1, attribute 56, and its later codes, in our words."""


@check(
    name="special-conditions",
    group="areas",
    needs={Layer.AREAS},
    gives={Severity.CAUTION, Severity.NOTE},
)
def special_conditions(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The corridor enters an area for which special conditions exist.

    Rule      a restricted area (whose restrictions are more than anchoring, fishing and the
              like), caution area, military practice area, offshore production area, seaplane
              landing area, submarine transit lane, anchorage, anchor berth, particularly
              sensitive sea area, production, transhipment or incineration area touched by the
              corridor, or within its position uncertainty: caution. Out of its dates or season:
              note.
    Why       Something goes on there that depths do not show.
    Examples  in words: an anchorage across the corridor is a caution, one beside it says nothing
    Settings  cross_track, eta; the departure.
    Limits    What the area is about stands in the chart's text and in sailing directions.
    Sources   IMO Res. MSC.232(82), 11.3.5 and appendix 4, as IHO S-52 PresLib 4.0, 10.5.10, maps
              it to S-57 classes; anchor berths, production, transhipment and incineration areas:
              ours.
    """
    for met in view.areas:
        area = met.object
        if Fault.SPECIAL not in faults_of(area):
            continue
        finding = area_finding(
            "special-conditions",
            met,
            view,
            passage,
            severity=Severity.CAUTION,
            title=in_reach(met),
            says=_says(area),
        )
        if finding is not None:
            yield finding


def _says(area: Area) -> str:
    if area.kind is AreaKind.RESTRICTED:
        known = [_CATEGORY[code] for code in area.categories if code in _CATEGORY]
        if known:
            return " ".join(known)
        if not area.restrictions:
            return "What is restricted is not charted."
        return "Conditions hold here beyond the restrictions that are charted."
    if area.kind is AreaKind.CAUTION:
        if area.information:
            return "The chart warns of something here."
        return "The chart warns of something here and does not say of what: look at its notes."
    return _SAYS.get(area.kind, "Special conditions hold here.")
