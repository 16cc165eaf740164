"""The height of tide for the colours of the map: the one that counts when the boat is there.

For water in the corridor that is the lowest while the boat passes it, as in the findings; for
water beside it, that at the time when the boat is nearest.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from routecheck.model.clock import Clock
from routecheck.model.finding import Report
from routecheck.model.passage import HeightOfTide, Passage
from routecheck.model.picture import WaterPicture

_BINS = 40
"""Stretches of a leg are widened to fortieths of it, so that few are looked up."""


def lost_tide(report: Report) -> bool:
    """Whether a tide was used that the report does not hold: then no colour may clear."""
    given = bool(report.tide_text) and not report.tide_text.startswith("no tide given")
    return given and report.tide is None


def tide_in_colours(report: Report) -> str:
    """The height of tide that the colours are for, in words."""
    if lost_tide(report):
        return "the heights of tide are missing: no water is coloured as enough"
    if report.tide is None:
        return "colours for a height of tide of 0 at chart datum"
    if report.tide.varies and report.depart is not None:
        return "colours for the lowest tide while the boat is nearest, its ETA's uncertainty added"
    if report.tide.varies:
        return "no departure given: colours for the lowest tide there is"
    return f"colours for: {report.tide_text}"


class Heights:
    """Heights of tide over shapes of the picture."""

    def __init__(self, report: Report, picture: WaterPicture) -> None:
        self.report = report
        self.passages = dict(
            zip(
                (view.leg.number for view in report.views),
                Clock(report.views, report.boat, report.tide).passages(report.depart),
                strict=True,
            )
        )
        tide = report.tide
        self.one = tide is None or (len(tide.stations) == 1 and not tide.varies)
        self.found: dict[tuple[object, ...], HeightOfTide] = {}
        self.tracks = [t for t in picture.tracks if t.leg in self.passages]
        lines = [shapely.LineString(np.column_stack([t.lon_deg, t.lat_deg])) for t in self.tracks]
        self.lines = np.array(lines, dtype=object)
        legs = {shape.leg: shape.geometry for shape in picture.corridors}
        self.corridors = [legs.get(t.leg, line) for t, line in zip(self.tracks, lines, strict=True)]
        self.line_tree = shapely.STRtree(lines)
        self.corridor_tree = shapely.STRtree(self.corridors)

    def over(self, datum: str, shape: BaseGeometry) -> HeightOfTide:
        """The lowest height above `datum` that counts for the water of a shape."""
        if lost_tide(self.report):
            return HeightOfTide(height_m=0.0, uncertainty_m=0.0, text="", known=False)
        if self.one or not self.tracks:
            return self._one(datum)
        met = self.corridor_tree.query(shape, predicate="intersects")
        if len(met):
            found = [self._within(datum, int(leg), shape) for leg in np.sort(met)]
        else:
            nearest = int(self.line_tree.query_nearest(shape, all_matches=False)[0])
            found = [self._beside(datum, nearest, shape)]
        return min(found, key=lambda height: (height.known and height.applies, height.height_m))

    def _one(self, datum: str) -> HeightOfTide:
        key = (datum,)
        if key not in self.found:
            passage = Passage(boat=self.report.boat, tide=self.report.tide)
            self.found[key] = passage.height_of_tide(
                datum=datum, lon_deg=0.0, lat_deg=0.0, along_from_m=0.0, along_to_m=0.0
            )
        return self.found[key]

    def _within(self, datum: str, leg: int, shape: BaseGeometry) -> HeightOfTide:
        part = shape.intersection(self.corridors[leg])
        corners = shapely.get_coordinates(part)
        if not len(corners):
            return self._beside(datum, leg, shape)
        points = shapely.points(corners)
        shares = shapely.line_locate_point(self.lines[leg], points, normalized=True)
        return self._look(datum, leg, float(shares.min()), float(shares.max()), shape)

    def _beside(self, datum: str, leg: int, shape: BaseGeometry) -> HeightOfTide:
        near = shapely.get_point(shapely.shortest_line(self.lines[leg], shape), 0)
        share = float(shapely.line_locate_point(self.lines[leg], near, normalized=True))
        return self._look(datum, leg, share, share, shape)

    def _look(
        self, datum: str, leg: int, first: float, last: float, shape: BaseGeometry
    ) -> HeightOfTide:
        track = self.tracks[leg]
        length_m = float(track.along_m[-1])
        from_m = np.floor(first * _BINS) / _BINS * length_m
        to_m = np.ceil(last * _BINS) / _BINS * length_m
        west, south, east, north = shape.bounds
        lon_deg = ((west + east) / 2.0 + 180.0) % 360.0 - 180.0
        passage = self.passages[track.leg]
        stations = passage.stations_at(lon_deg, (south + north) / 2.0, from_m, to_m)
        key = (datum, leg, float(from_m), float(to_m), stations)
        if key not in self.found:
            heights = passage.lowest(stations, datum, np.array([from_m]), np.array([to_m]))
            self.found[key] = passage.in_words(datum, stations, heights, 0)
        return self.found[key]
