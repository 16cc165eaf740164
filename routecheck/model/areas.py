"""Areas and lines that a rule, a use or a warning goes with, rather than a depth.

Classes: IHO S-57 edition 3.1, appendix A, chapter 1, in words of our own.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import shapely

from routecheck.model.objects import Charted
from routecheck.model.period import ALWAYS, Period


class AreaKind(StrEnum):
    """What sort of area or line it is."""

    RESTRICTED = "restricted area"
    CAUTION = "caution area"
    MILITARY = "military practice area"
    OFFSHORE = "offshore production area"
    PRODUCTION = "production or storage area"
    SEAPLANES = "seaplane landing area"
    SUBMARINES = "submarine transit lane"
    ANCHORAGE = "anchorage area"
    ANCHOR_BERTH = "anchor berth"
    MARINE_FARM = "marine farm"
    TRANSHIPMENT = "cargo transhipment area"
    INCINERATION = "incineration area"
    LANE = "traffic lane"
    SEPARATION_ZONE = "traffic separation zone"
    SEPARATION_LINE = "traffic separation line"
    LANE_CROSSING = "crossing of traffic lanes"
    ROUNDABOUT = "traffic roundabout"
    PRECAUTIONARY = "precautionary area"
    INSHORE_ZONE = "inshore traffic zone"
    DEEP_WATER_ROUTE = "deep-water route"
    TWO_WAY_ROUTE = "two-way route"
    RECOMMENDED_DIRECTION = "recommended direction of traffic flow"
    RECOMMENDED_TRACK = "recommended track"
    FAIRWAY = "fairway"
    FERRY = "ferry route"
    LOCK = "lock basin"
    GATE = "gate"
    NARROW = "canal or dock"
    CABLE = "submarine cable"
    CABLE_AREA = "submarine cable area"
    PIPELINE = "submarine pipeline"
    PIPELINE_AREA = "pipeline area"
    TUNNEL = "tunnel"
    DUMPING_GROUND = "dumping ground"
    SAND_WAVES = "sand waves"
    FISHING_GROUND = "fishing ground"
    ICE = "ice area"
    TURBULENCE = "troubled water"
    WEED = "weed or kelp"


@dataclass(frozen=True, kw_only=True)
class Area(Charted):
    """An area or line of one `kind`; its codes are those of S-57.

    categories       CATREA, CATMPA, CATACH, CATPIP … whichever its class has
    restrictions     RESTRN; `restriction.UNREAD` where it is stated and cannot be read
    orientation_deg  ORIENT, true: where its traffic goes
    one_way          its traffic goes one way only (traffic lanes, and TRAFIC 1 to 3)
    status           STATUS
    information      INFORM, on one line
    """

    kind: AreaKind
    categories: tuple[int, ...] = ()
    restrictions: tuple[int, ...] = ()
    orientation_deg: float | None = None
    one_way: bool = False
    period: Period = ALWAYS
    status: tuple[int, ...] = ()
    information: str = ""
    horizontal_clearance_m: float | None = None
    """HORCLR of a gate or lock."""

    @property
    def dimension(self) -> int:
        """0 for a point, 1 for a line, 2 for an area."""
        return int(shapely.get_dimensions(self.geometry))
