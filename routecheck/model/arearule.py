"""Which faults an area or line can be: sorted here once, so that each object is told by one check
(and by a second only where it is two things, such as a traffic lane with a limit of speed)."""

from __future__ import annotations

from enum import StrEnum

from routecheck.model import restriction
from routecheck.model.areas import Area, AreaKind


class Fault(StrEnum):
    """What a route may do wrong by an area."""

    ENTRY = "entry is prohibited or restricted"
    TO_BE_AVOIDED = "to be avoided"
    SPECIAL = "special conditions hold"
    LANE = "against or athwart a traffic lane"
    SEPARATION = "in what separates lanes"
    MEETING = "where traffic crosses or meets"
    INSHORE = "in an inshore traffic zone"
    ONE_WAY = "against traffic that goes one way"
    SHIPS_ROUTE = "in a route of big ships"
    FERRY = "across a ferry route"
    LOCK = "through a lock or gate"
    BELOW = "over cables and pipes"
    BED = "where the depth may have changed"
    HAMPERED = "where something hampers the boat"
    LOCAL = "where a rule holds that does not bar the way"


OFFSHORE_SAFETY_ZONE = 1
MINEFIELD = 14
MANDATORY = 9
"""STATUS: IHO S-57 edition 3.1, appendix A, attribute 149."""
_NO_ENTRY = frozenset({OFFSHORE_SAFETY_ZONE, MINEFIELD})
"""CATREA that nobody enters, where RESTRN says nothing: safety zones of 500 m round offshore
installations must be respected by all ships (UN Convention on the Law of the Sea, article 60(6);
IMO Resolution A.671(16))."""
_PASSABLE = frozenset({4, 5, 6, 7, 8, 10, 20, 22, 23, 24})
"""CATREA whose RESTRN says all that there is: reserves, degaussing ranges, historic wrecks,
research areas, no-wake areas (S-57 attribute 56)."""

_BY_KIND = {
    **dict.fromkeys(
        (
            *(AreaKind.CAUTION, AreaKind.MILITARY, AreaKind.OFFSHORE, AreaKind.PRODUCTION),
            *(AreaKind.SEAPLANES, AreaKind.SUBMARINES, AreaKind.ANCHORAGE, AreaKind.ANCHOR_BERTH),
            *(AreaKind.MARINE_FARM, AreaKind.TRANSHIPMENT, AreaKind.INCINERATION),
        ),
        Fault.SPECIAL,
    ),
    AreaKind.LANE: Fault.LANE,
    **dict.fromkeys((AreaKind.SEPARATION_ZONE, AreaKind.SEPARATION_LINE), Fault.SEPARATION),
    **dict.fromkeys(
        (AreaKind.LANE_CROSSING, AreaKind.ROUNDABOUT, AreaKind.PRECAUTIONARY), Fault.MEETING
    ),
    AreaKind.INSHORE_ZONE: Fault.INSHORE,
    AreaKind.FERRY: Fault.FERRY,
    **dict.fromkeys((AreaKind.LOCK, AreaKind.GATE, AreaKind.NARROW), Fault.LOCK),
    **dict.fromkeys(
        (
            *(AreaKind.CABLE, AreaKind.CABLE_AREA, AreaKind.PIPELINE, AreaKind.PIPELINE_AREA),
            AreaKind.TUNNEL,
        ),
        Fault.BELOW,
    ),
    **dict.fromkeys((AreaKind.DUMPING_GROUND, AreaKind.SAND_WAVES), Fault.BED),
    **dict.fromkeys(
        (AreaKind.ICE, AreaKind.TURBULENCE, AreaKind.WEED, AreaKind.FISHING_GROUND), Fault.HAMPERED
    ),
}
_ROUTES = frozenset({AreaKind.DEEP_WATER_ROUTE, AreaKind.TWO_WAY_ROUTE})
_ONE_WAY = _ROUTES | {
    AreaKind.RECOMMENDED_DIRECTION,
    AreaKind.RECOMMENDED_TRACK,
    AreaKind.FAIRWAY,
}
_GRAVER = frozenset({Fault.ENTRY, Fault.TO_BE_AVOIDED})


def faults_of(area: Area) -> frozenset[Fault]:
    """The faults that the checks look for in an area. Empty where it can be none."""
    codes, found = set(area.restrictions), set()
    if no_entry(area) or restriction.bars(codes - {restriction.TO_BE_AVOIDED}):
        found.add(Fault.ENTRY)
    # A mandatory one is a danger beside whatever else is restricted in it.
    if restriction.TO_BE_AVOIDED in codes and (not found or MANDATORY in area.status):
        found.add(Fault.TO_BE_AVOIDED)
    own = _BY_KIND.get(area.kind)
    if own is not None and not (own is Fault.SPECIAL and found & _GRAVER):
        found.add(own)
    if area.kind in _ONE_WAY and area.one_way:
        found.add(Fault.ONE_WAY)
    elif area.kind in _ROUTES:
        found.add(Fault.SHIPS_ROUTE)
    if area.kind is AreaKind.RESTRICTED and not found:
        settled = bool(codes) and set(area.categories) <= _PASSABLE
        found.add(Fault.LOCAL if settled else Fault.SPECIAL)
    elif codes & restriction.UNDER_WAY and not found & (_GRAVER | {Fault.SPECIAL}):
        found.add(Fault.LOCAL)
    return frozenset(found)


def no_entry(area: Area) -> bool:
    """Whether its category alone says that nobody enters, and no restriction says otherwise."""
    if area.kind is not AreaKind.RESTRICTED or not _NO_ENTRY & set(area.categories):
        return False
    return MINEFIELD in area.categories or not area.restrictions
