"""The sum of what hangs over the water: air under it, and air that the mast needs.

available = clearance - height of the water above the clearance's datum (the highest within the
            ETA's uncertainty)
needed    = air draught + clearance wanted over the mast
danger    available < needed; caution where the tide's uncertainty, or water higher than the
          datum, could use up what is left
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from routecheck.model.boat import Boat
from routecheck.model.departures import LegDepartures
from routecheck.model.finite import refuse_not_finite
from routecheck.model.objects import Span
from routecheck.model.passage import Passage
from routecheck.model.tide_curve import Floats
from routecheck.model.view import LegView, Met

HAT = "HAT"


@dataclass(frozen=True, kw_only=True, slots=True)
class HighWater:
    """The highest water above a clearance's datum, and why.

    `bounded` False: the water may stand higher than that (no tide placed, and a datum that springs
    exceed). `known` False: there are no heights for that time. `placed` False: no tide is given, or
    none that is related to the datum.
    """

    height_m: float
    uncertainty_m: float
    text: str
    bounded: bool = True
    known: bool = True
    placed: bool = True


def high_water(
    passage: Passage, datum: str, *, lon_deg: float, lat_deg: float, from_m: float, to_m: float
) -> HighWater:
    """The highest water above `datum` while the boat may be between two distances along."""
    tide = passage.tide
    plain = HighWater(
        height_m=0.0 if tide is None else tide.surge_up_m,
        uncertainty_m=0.0 if tide is None else tide.uncertainty_m,
        text=f"taken to stand at {datum}",
        bounded=datum == HAT,
        placed=False,
    )
    if tide is None:
        return plain
    stations = passage.stations_at(lon_deg, lat_deg, from_m, to_m)
    found = passage.highest(stations, datum, np.array([from_m]), np.array([to_m]))
    if found is None:
        return plain
    station = tide.stations[int(found.station[0])]
    source, known = station.source, bool(found.known[0])
    timed = passage.window_s(from_m, to_m) is not None
    placed = not source.varies or timed
    says = f"{source.kind}, {station.name}"
    if not placed:
        says = f"no departure: the highest of {says}"
    elif not known:
        says = f"no height of tide is known for that time at {station.name}"
    return HighWater(
        height_m=float(found.height_m[0]),
        uncertainty_m=tide.uncertainty_m,
        text=says,
        # The highest of all is no bound for one that knows some times only.
        bounded=timed or all(tide.stations[i].source.spans_s is None for i in stations),
        known=known,
    )


def clearance_of(span: Span) -> tuple[float | None, str]:
    """The clearance that counts, and what it is: the least that is stated for the span as it
    stands, the safe vertical clearance of a power line before its bare height."""
    if span.safe_vertical_clearance_m is not None:
        return span.safe_vertical_clearance_m, "safe vertical clearance"
    stated = [
        (value, word)
        for value, word in (
            (span.vertical_clearance_closed_m, "clearance closed"),
            (span.vertical_clearance_m, "clearance"),
        )
        if value is not None
    ]
    return min(stated) if stated else (None, "")


def air_margins_m(view: LegView, departures: LegDepartures) -> Iterator[tuple[Met[Span], Floats]]:
    """Each span and the margin of air under it for each departure; none of those that open, or of
    which it cannot be told."""
    passage = departures.passage
    air_draught_m = passage.boat.air_draught_m
    for met in view.spans:
        clearance_m, _ = clearance_of(met.object)
        if clearance_m is None or air_draught_m is None or met.object.opens:
            continue
        place = met.place
        where = (place.lon_deg, place.lat_deg, place.along_from_m, place.along_to_m)
        found = departures.highest(
            passage.stations_at(*where),
            met.object.clearance_datum,
            np.array([place.along_from_m]),
            np.array([place.along_to_m]),
        )
        surge_m = 0.0 if passage.tide is None else passage.tide.surge_up_m
        water = np.full(departures.count, surge_m) if found is None else found.height_m[:, 0]
        yield met, (clearance_m - water) - (air_draught_m + passage.boat.margins.overhead_m)


def least_air_m(view: LegView, departures: LegDepartures) -> Floats | None:
    """The least margin of air over the mast for each departure, None where none can be told."""
    each = [margin for _, margin in air_margins_m(view, departures)]
    return np.minimum.reduce(each) if each else None


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadroomSum:
    """One clearance held against one mast."""

    clearance_m: float
    datum: str
    water: HighWater
    boat: Boat
    air_draught_m: float

    def __post_init__(self) -> None:
        refuse_not_finite(self)

    @property
    def available_m(self) -> float:
        """Air between the highest water and what hangs over it."""
        return self.clearance_m - self.water.height_m

    @property
    def needed_m(self) -> float:
        """Air draught and the clearance wanted."""
        return self.air_draught_m + self.boat.margins.overhead_m

    @property
    def margin_m(self) -> float:
        """What is left beyond what the skipper wants."""
        return self.available_m - self.needed_m

    @property
    def strikes(self) -> bool:
        """Whether the mast meets it."""
        return self.available_m <= self.air_draught_m

    @property
    def short(self) -> bool:
        """Whether there is less air than wanted."""
        return self.margin_m < 0.0 or self.strikes

    def lines(self) -> Mapping[str, float | str]:
        """The numbers in the order in which they are added up, names with units."""
        return {
            "charted_clearance_m": self.clearance_m,
            "clearance_datum": self.datum,
            "water_above_datum_m": self.water.height_m,
            "tide": self.water.text,
            "available_air_m": self.available_m,
            "air_draught_m": self.air_draught_m,
            "overhead_m": self.boat.margins.overhead_m,
            "needed_air_m": self.needed_m,
            "margin_m": self.margin_m,
            "uncertainty_m": self.water.uncertainty_m,
        }
