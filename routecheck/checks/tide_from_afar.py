"""Heights of tide from a station that lies far from where they count, or outside its zone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from routecheck.model.chart import Severity
from routecheck.model.depth_items import depth_items
from routecheck.model.finding import Finding
from routecheck.model.passage import Passage
from routecheck.model.rule import check
from routecheck.model.tide import Tide
from routecheck.model.tide_along import positions_along
from routecheck.model.view import LegView
from routecheck.nav.geodesic import geodesic_inverse
from routecheck.units import METRES_PER_NMI

_FAR_NMI = 50.0
_ELSEWHERE_NMI = 300.0
_LONG_M = METRES_PER_NMI
"""Of what reaches further along the leg than this, both ends are asked, too."""
_Place = tuple[float, float, float, float]
"""(along from, along to, lon, lat)."""


@check(
    name="tide-from-afar",
    group="depth",
    needs=(),
    gives={Severity.CAUTION, Severity.NOT_ASSESSED},
)
def tide_from_afar(view: LegView, passage: Passage) -> Iterator[Finding]:
    """The tide that counts is that of a station far away.

    Rule      a station that counts without a zone of its own lies more than 50 nmi from a depth
              that would not pass at that tide's lowest, from an underwater danger, or from
              something overhead: caution. Over 300 nmi: not assessed. Where the corridor beside
              one of these lies outside the zones of all stations, and the nearest that count have
              zones: caution.
    Why       Some way along a coast the tide comes at another hour and to another height; and a
              station with a sign lost from its longitude lies half the world away.
    Examples  in words: a shoal 60 miles from the only station is a caution, one beside it, or deep
              water, nothing
              in words: a shoal outside the zone of the only station is a caution
    Settings  tide.toml: lon, lat and zone of the stations; draught, under_keel, squat, heel_swell.
    Limits    Knows no coast between the two. A station without a position is taken at its word.
    Sources   Common practice: differences on a standard port are given place by place.
    """
    tide = passage.tide
    if tide is None:
        return
    places = _places(view, passage, tide)
    yield from _outside(view, passage, tide, places)
    every = [*places, *_ends(view, places)]
    found = max(_farthest(tide, passage, every), default=None)
    if found is None or not found[0] > _FAR_NMI * METRES_PER_NMI:
        return
    away_m, name, place = found
    elsewhere = away_m > _ELSEWHERE_NMI * METRES_PER_NMI
    yield Finding(
        check="tide-from-afar",
        severity=Severity.NOT_ASSESSED if elsewhere else Severity.CAUTION,
        title=f"the tide counted here is that of {name}, {away_m / METRES_PER_NMI:.0f} nmi away",
        explanation="So far off it says nothing of the tide here: is a sign lost, or are longitude "
        "and latitude exchanged?"
        if elsewhere
        else "So far off it may come at another hour and to another height.",
        leg=view.leg.number,
        object_key="tide",
        along_m=place[0],
        along_to_m=place[1],
        lon_deg=place[2],
        lat_deg=place[3],
        sums={"away_nmi": round(away_m / METRES_PER_NMI, 1)},
        settle="add a station nearer by, or give that one the zone in which it holds",
    )


def _outside(
    view: LegView, passage: Passage, tide: Tide, places: Sequence[_Place]
) -> Iterator[Finding]:
    """Where stations count outside the zones that they were given."""
    along = passage.stations
    if along is None or not along.reaches_out:
        return
    found = [(place, along.out_of_zone(place[0], place[1])) for place in places]
    found = [(place, stations) for place, stations in found if stations]
    if not found:
        return
    first = found[0][0]
    names = ", ".join(
        tide.stations[i].name for i in sorted(frozenset().union(*(s for _, s in found)))
    )
    yield Finding(
        check="tide-from-afar",
        severity=Severity.CAUTION,
        title=f"the corridor reaches outside the zone of {names}, whose tide counts here",
        explanation="No station's zone holds here, and the nearest counts in its stead.",
        leg=view.leg.number,
        object_key="tide/zone",
        along_m=first[0],
        along_to_m=max(place[1] for place, _ in found),
        lon_deg=first[2],
        lat_deg=first[3],
        settle="add a station for these waters, or give one a zone that holds them",
    )


def _places(view: LegView, passage: Passage, tide: Tide) -> list[_Place]:
    """The places on the leg where the tide matters, in order along it."""
    items = depth_items(view)
    spare_m = items.charted_depth_m - items.own_off_m - tide.uncertainty_m
    lowest_m = min(0.0, tide.lowest_ever_m()) - max(
        [0.0, *(tide.highest_level_m(datum) for datum in set(items.datum.tolist()))]
    )
    items = items.take(spare_m + lowest_m < passage.boat.needed_m)
    found = list(
        zip(
            items.from_m.tolist(),
            items.to_m.tolist(),
            items.lon_deg.tolist(),
            items.lat_deg.tolist(),
            strict=True,
        )
    )
    places = [met.place for met in view.dangers] + [met.place for met in view.spans]
    found += [(one.along_from_m, one.along_to_m, one.lon_deg, one.lat_deg) for one in places]
    return sorted(found)


def _ends(view: LegView, places: Sequence[_Place]) -> list[_Place]:
    """The ends, on the track, of what reaches far along it."""
    long = {m for from_m, to_m, *_ in places if to_m - from_m > _LONG_M for m in (from_m, to_m)}
    along_m = np.clip(sorted(long), 0.0, view.length_m)
    lon, lat = positions_along(view.leg, along_m)
    ends = zip(along_m.tolist(), np.ravel(lon).tolist(), np.ravel(lat).tolist(), strict=True)
    return [(at_m, at_m, east_deg, north_deg) for at_m, east_deg, north_deg in ends]


def _farthest(
    tide: Tide, passage: Passage, places: Sequence[_Place]
) -> Iterator[tuple[float, str, _Place]]:
    """(how far off it lies, its name, where it counts) of each station that counts anywhere
    without a zone, where it is farthest.

    Every place is asked: between two stations, or in a gap between zones, the farthest place is
    neither the first nor the last of a leg.
    """
    counts: dict[int, list[_Place]] = {}
    for place in places:
        from_m, to_m, lon, lat = place
        for index in passage.stations_at(lon, lat, from_m, to_m):
            zone = tide.stations[index].zone
            if zone is None or not zone.intersects(shapely.Point(lon, lat)):
                counts.setdefault(index, []).append(place)
    for index, those in counts.items():
        station = tide.stations[index]
        if station.lon_deg is None or station.lat_deg is None:
            continue
        _, _, lons, lats = np.array(those).T
        _, away_m = geodesic_inverse(lons, lats, station.lon_deg, station.lat_deg)
        yield max(
            (off_m, station.name, one) for off_m, one in zip(away_m.tolist(), those, strict=True)
        )
