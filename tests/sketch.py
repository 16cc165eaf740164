"""Charts drawn in text, so that a check can be tested by a drawing.

One leg runs from left to right through rows of square cells, port side on top, rows parted by
``/``. The corridor is as wide as the drawing. Everything is exact: no uncertainty of depth or
position.

    0-9    charted depth in metres
    a-e    dries 1 to 5 m
    R      a rock of unknown depth, in 9 m
    #      land
    blank  nothing charted

`view_of` works by plain arithmetic and shares no code with the survey; `charts_of` draws the
same on a chart, for the survey to find. The skipper of all sketches needs 5 m: 4 m of draught
and 1 m below the keel.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import (
    CoverageArea,
    Danger,
    DangerKind,
    DepthArea,
    Layer,
    Solid,
    SolidKind,
    Unsurveyed,
)
from routecheck.model.passage import Passage
from routecheck.model.route import Leg, Route, Waypoint
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.model.view import DepthFrom, DepthMet, Gap, LegView, Met, Place

CELL_M = 100.0
ROCK_IN_M = 9.0
EXACT = Quality(name="exact", vertical_m=0.0, horizontal_m=0.0)
SOURCE = Source(
    id="sketch",
    file="sketch",
    sha256="",
    kind=SourceKind.VECTOR,
    format="drawing",
    datum="LAT",
    quality=EXACT,
)
# Metres in a degree at the equator, from the semi-major axis and the meridian's radius there
# (NGA.STND.0036 (2014), Table 3.1).
_EAST_M, _NORTH_M = 111319.490793, 110574.275822


@dataclass(frozen=True)
class Cell:
    """One letter of a drawing: where it lies on the leg, and what it says."""

    row: int
    column: int
    letter: str
    along_from_m: float
    along_to_m: float
    cross_from_m: float
    cross_to_m: float

    @property
    def name(self) -> str:
        return f"r{self.row}c{self.column}"

    @property
    def depth_m(self) -> float | None:
        """Charted depth, None on land and where nothing is charted."""
        if self.letter.isdigit():
            return float(self.letter)
        if self.letter in "abcde":
            return -float("abcde".index(self.letter) + 1)
        return ROCK_IN_M if self.letter == "R" else None

    def key(self, cls: str) -> str:
        return f"sketch/{cls}/{self.name}"


def boat(**margins: float) -> Boat:
    """The boat of the sketches: 4 m of draught and 1 m below the keel."""
    kept = {"under_keel_m": 1.0, "cross_track_m": CELL_M / 2.0, "position_m": 0.0, **margins}
    return Boat(name="sketch", draught_m=4.0, speed_kn=5.0, margins=Margins(**kept))


def passage() -> Passage:
    """The boat of the sketches, with no tide and no clock."""
    return Passage(boat=boat())


def cells(drawing: str) -> tuple[Cell, ...]:
    """The letters of a drawing. Raises ValueError for one of no meaning or for ragged rows."""
    rows = drawing.split("/")
    if not rows[0] or len({len(row) for row in rows}) != 1:
        raise ValueError(f"the rows of {drawing!r} are not of one length")
    strange = set(drawing) - set("0123456789abcdeR# /")
    if strange:
        raise ValueError(f"{drawing!r} has letters of no meaning: {sorted(strange)}")
    port_m = -len(rows) * CELL_M / 2.0
    return tuple(
        Cell(
            row=r,
            column=c,
            letter=letter,
            along_from_m=c * CELL_M,
            along_to_m=(c + 1) * CELL_M,
            cross_from_m=port_m + r * CELL_M,
            cross_to_m=port_m + (r + 1) * CELL_M,
        )
        for r, row in enumerate(rows)
        for c, letter in enumerate(row)
    )


def view_of(drawing: str) -> LegView:
    """What the corridor of the one leg meets: every cell of the drawing."""
    drawn = cells(drawing)
    length_m = max(cell.along_to_m for cell in drawn)
    half_m = max(cell.cross_to_m for cell in drawn)
    return LegView(
        leg=_leg(length_m),
        length_m=length_m,
        course_deg=90.0,
        end_course_deg=90.0,
        start_along_m=0.0,
        port_m=half_m,
        starboard_m=half_m,
        width_from="sketch",
        depths=tuple(_depths(drawn)),
        dangers=tuple(
            Met(
                object=_rock(cell),
                place=_place(cell),
                source=SOURCE,
                quality=EXACT,
                area_depth_m=ROCK_IN_M,
            )
            for cell in drawn
            if cell.letter == "R"
        ),
        solids=tuple(
            Met(object=_land(cell), place=_place(cell), source=SOURCE, quality=EXACT)
            for cell in drawn
            if cell.letter == "#"
        ),
        gaps=tuple(_gaps(drawn)),
    )


def charts_of(drawing: str) -> tuple[Route, ChartSet]:
    """The same drawing on a chart at the equator, with two cells of 9 m all round it."""
    drawn = list(cells(drawing))
    rows, columns = drawing.count("/") + 1, len(drawing.split("/")[0])
    room = 2
    for r in range(-room, rows + room):
        for c in range(-room, columns + room):
            if not (0 <= r < rows and 0 <= c < columns):
                port_m = (r - rows / 2.0) * CELL_M
                drawn.append(Cell(r, c, "9", c * CELL_M, (c + 1) * CELL_M, port_m, port_m + CELL_M))
    chart = Chart(
        source=SOURCE,
        depth_areas=tuple(
            DepthArea(
                key=cell.key("DEPARE"),
                cls="DEPARE",
                source="sketch",
                geometry=_square(cell),
                charted_depth_m=cell.depth_m,
            )
            for cell in drawn
            if cell.depth_m is not None
        ),
        dangers=tuple(_rock(cell) for cell in drawn if cell.letter == "R"),
        solids=tuple(_land(cell) for cell in drawn if cell.letter == "#"),
        unsurveyed=tuple(
            Unsurveyed(
                key=cell.key("UNSARE"), cls="UNSARE", source="sketch", geometry=_square(cell)
            )
            for cell in drawn
            if cell.letter == " "
        ),
        coverage=(
            CoverageArea(
                key="sketch/M_COVR/all",
                cls="M_COVR",
                source="sketch",
                geometry=shapely.union_all([_square(cell) for cell in drawn]),
                covered=True,
            ),
        ),
    )
    leg = _leg(columns * CELL_M)
    return Route(name="sketch", legs=(leg,), file="sketch"), ChartSet(charts=(chart,))


def _leg(length_m: float) -> Leg:
    start = Waypoint(name="start", lon_deg=0.0, lat_deg=0.0)
    end = Waypoint(name="end", lon_deg=length_m / _EAST_M, lat_deg=0.0)
    return Leg(number=1, start=start, end=end)


def _square(cell: Cell) -> shapely.Polygon:
    return shapely.box(
        cell.along_from_m / _EAST_M,
        -cell.cross_to_m / _NORTH_M,
        cell.along_to_m / _EAST_M,
        -cell.cross_from_m / _NORTH_M,
    )


def _place(cell: Cell) -> Place:
    """The cell's point nearest the track; for a rock, its middle."""
    middle_m = (cell.along_from_m + cell.along_to_m) / 2.0
    cross_m = min(max(0.0, cell.cross_from_m), cell.cross_to_m)
    if cell.letter == "R":
        cross_m = (cell.cross_from_m + cell.cross_to_m) / 2.0
    point = cell.letter == "R"
    return Place(
        along_m=middle_m,
        cross_m=cross_m,
        lon_deg=middle_m / _EAST_M,
        lat_deg=-cross_m / _NORTH_M,
        along_from_m=middle_m if point else cell.along_from_m,
        along_to_m=middle_m if point else cell.along_to_m,
    )


def _depths(drawn: tuple[Cell, ...]) -> Iterator[DepthMet]:
    for cell in drawn:
        if cell.depth_m is None:
            continue
        reach = shapely.box(cell.along_from_m, cell.cross_from_m, cell.along_to_m, cell.cross_to_m)
        yield DepthMet(
            key=cell.key("DEPARE"),
            cls="DEPARE",
            name="",
            depth_from=DepthFrom.AREA,
            charted_depth_m=cell.depth_m,
            deep_end_m=None,
            datum=SOURCE.datum,
            place=_place(cell),
            source=SOURCE,
            quality=EXACT,
            reach_wkb=shapely.to_wkb(reach),
        )


def _rock(cell: Cell) -> Danger:
    place = _place(cell)
    return Danger(
        key=cell.key("UWTROC"),
        cls="UWTROC",
        source="sketch",
        geometry=shapely.Point(place.lon_deg, place.lat_deg),
        kind=DangerKind.ROCK,
        charted_depth_m=None,
    )


def _land(cell: Cell) -> Solid:
    return Solid(
        key=cell.key("LNDARE"),
        cls="LNDARE",
        source="sketch",
        geometry=_square(cell),
        kind=SolidKind.LAND,
    )


def _gaps(drawn: tuple[Cell, ...]) -> Iterator[Gap]:
    blank = [cell for cell in drawn if cell.letter == " "]
    if blank:
        first = _place(blank[0])
        yield Gap(
            layer=Layer.DEPTH,
            why="nothing is charted here",
            along_from_m=min(cell.along_from_m for cell in blank),
            along_to_m=max(cell.along_to_m for cell in blank),
            area_m2=len(blank) * CELL_M * CELL_M,
            lon_deg=first.lon_deg,
            lat_deg=first.lat_deg,
            cross_m=first.cross_m,
        )
