"""The passage's clock, place by place: ETA, height of tide, least margin, light."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

import numpy as np

from routecheck.model.clockrow import ClockRow
from routecheck.model.departures import LegDepartures
from routecheck.model.depth_items import least_margin_m
from routecheck.model.headroom import air_margins_m
from routecheck.model.passage import Passage
from routecheck.model.tide_along import positions_along
from routecheck.model.view import LegView
from routecheck.nav.sun import light_in_words, sun_altitude_deg


def timetable(views: Sequence[LegView], passages: Sequence[Passage]) -> tuple[ClockRow, ...]:
    """The rows in order along the track; none without a departure, or where no speed is known."""
    rows: list[ClockRow] = []
    for index, (view, passage) in enumerate(zip(views, passages, strict=True)):
        margin_m = least_margin_m(view, passage)
        places = list(_places(view))
        if index == 0:
            start = view.leg.start
            places.insert(0, ("waypoint", start.name, 0.0, start.lon_deg, start.lat_deg))
        for kind, name, along_m, lon, lat in places:
            row = _row(view, passage, kind, name, along_m, lon, lat, margin_m)
            if row is not None:
                rows.append(row)
        rows += _spans(view, passage)
    return tuple(sorted(rows, key=lambda row: (row.route_along_m, row.kind == "waypoint")))


def _places(view: LegView) -> Iterator[tuple[str, str, float, float, float]]:
    """(kind, name, along, lon, lat) of what one looks for on a leg."""
    told: set[str] = set()
    for one in view.marks:
        gate = one.gate
        if gate is None or not gate.between or one.mark.key in told:
            continue
        told |= {one.mark.key, gate.partner_key}
        names = " and ".join(name for name in (one.mark.name, gate.partner_name) if name)
        yield "gate", names or "pair of marks", one.along_m, gate.lon_deg, gate.lat_deg
    for opening in view.leg.openings:
        if opening.along_m is not None and opening.along_m <= view.length_m:
            lon, lat = positions_along(view.leg, np.array(opening.along_m))
            yield "opening", opening.name, opening.along_m, float(lon), float(lat)
    end = view.leg.end
    yield "waypoint", end.name, view.length_m, end.lon_deg, end.lat_deg


def _spans(view: LegView, passage: Passage) -> Iterator[ClockRow]:
    """The rows of what hangs over the leg, with the margin of air instead of water."""
    air_m: dict[int, float] = {}
    if passage.depart_s is not None:
        here = LegDepartures(passage=passage, depart_s=np.array([passage.depart_s]))
        air_m = {id(met): float(left[0]) for met, left in air_margins_m(view, here)}
    for met in view.spans:
        place, span = met.place, met.object
        where = (place.along_m, place.lon_deg, place.lat_deg)
        row = _row(view, passage, "overhead", span.name or span.cls, *where, air_m.get(id(met)))
        if row is not None:
            yield row


def _row(
    view: LegView,
    passage: Passage,
    kind: str,
    name: str,
    along_m: float,
    lon: float,
    lat: float,
    margin_m: float | None,
) -> ClockRow | None:
    eta = passage.eta(along_m)
    if eta is None:
        return None
    altitude = float(sun_altitude_deg(lon, lat, eta.timestamp()))
    height_m, lowest_m, highest_m, station = _tide(passage, along_m, lon, lat, eta)
    return ClockRow(
        kind=kind,
        name=name,
        leg=view.leg.number,
        route_along_m=view.start_along_m + along_m,
        lon_deg=lon,
        lat_deg=lat,
        eta=eta,
        off=timedelta(seconds=passage.boat.margins.eta_s),
        height_m=height_m,
        lowest_m=lowest_m,
        highest_m=highest_m,
        station=station,
        margin_m=margin_m,
        sun_altitude_deg=altitude,
        light=light_in_words(altitude),
    )


def _tide(
    passage: Passage, along_m: float, lon: float, lat: float, eta: datetime
) -> tuple[float | None, float | None, float | None, str]:
    """(at the ETA, lowest, highest, station) above the tide's datum; None where not known."""
    tide = passage.tide
    if tide is None:
        return None, None, None, ""
    stations = passage.stations_at(lon, lat, along_m, along_m)
    here = np.array([along_m])
    lowest = passage.lowest(stations, tide.datum, here, here)
    highest = passage.highest(stations, tide.datum, here, here)
    assert lowest is not None and highest is not None
    station = tide.stations[int(lowest.station[0])]
    if not (lowest.known[0] and highest.known[0]):
        return None, None, None, station.name
    now_m = float(station.source.height_m(np.array([eta.timestamp()]))[0])
    return now_m, float(lowest.height_m[0]), float(highest.height_m[0]), station.name
