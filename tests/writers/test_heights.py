"""The height of tide in the colours: the one of the passage, never a higher one."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest
import shapely

from routecheck.model.clock import Clock
from routecheck.model.finding import Report
from routecheck.model.passage import Tide, TideStation
from routecheck.model.picture import WaterArea, WaterPicture
from routecheck.model.tide_curve import Floats
from routecheck.writers.drawing.bands import Band
from routecheck.writers.drawing.heights import Heights, lost_tide, tide_in_colours
from routecheck.writers.drawing.profile import COLUMNS
from routecheck.writers.drawing.seabed import seabed
from routecheck.writers.drawing.water import TILE, painted_areas, painted_grids
from routecheck.writers.wording.lengths import Units
from tests.writers import reports
from tests.writers.test_packing import grid

START_S = reports.DEPART.timestamp()
RISE_M_PER_S = 2.0 / 3600.0


@dataclass(frozen=True)
class Rising:
    """Two metres an hour, from nought at the departure; unknown after `ends_s`."""

    ends_s: float = START_S + 10 * 86400.0
    kind: str = "invented series"
    varies: bool = True

    @property
    def spans_s(self) -> tuple[tuple[float, float], ...]:
        return ((START_S - 86400.0, self.ends_s),)

    @property
    def ever_m(self) -> tuple[float, float]:
        return -1.0, 480.0

    def height_m(self, time_s: Floats) -> Floats:
        return (np.asarray(time_s) - START_S) * RISE_M_PER_S

    def lowest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        return self.height_m(from_s)

    def highest_m(self, from_s: Floats, to_s: Floats) -> Floats:
        return self.height_m(to_s)


def tidal(*stations: TideStation, depart: bool = True) -> Report:
    tide = Tide(datum="chart datum", uncertainty_m=0.1, stations=stations)
    return replace(
        reports.hazards(),
        tide=tide,
        tide_text="height of tide above chart datum",
        depart=reports.DEPART if depart else None,
    )


RISING = TideStation(name="invented", heights=Rising())


def picture_of(report: Report) -> WaterPicture:
    return reports.water(report)


def square(lon: float, lat: float, size: float = 0.001) -> shapely.Polygon:
    return shapely.box(lon - size, lat - size, lon + size, lat + size)


def test_water_on_the_track_has_the_height_of_its_passing() -> None:
    report = tidal(RISING)
    picture = picture_of(report)
    heights = Heights(report, picture)
    passages = Clock(report.views, report.boat, report.tide).passages(report.depart)
    for track, passage in zip(picture.tracks, passages, strict=True):
        for share in (0.1, 0.5, 0.93):
            along_m = share * float(track.along_m[-1])
            lon = float(np.interp(along_m, track.along_m, track.lon_deg))
            lat = float(np.interp(along_m, track.along_m, track.lat_deg))
            found = heights.over("LAT", square(lon, lat, 1e-5))
            exact = passage.height_of_tide(
                datum="LAT", lon_deg=lon, lat_deg=lat, along_from_m=along_m, along_to_m=along_m
            )
            # Widened to the next fortieth of the leg: never higher, and lower by no more.
            slack_m = float(track.along_m[-1]) / 40.0 / (5.5 * 1852.0) * 2.0 + 0.01
            assert exact.height_m - slack_m <= found.height_m <= exact.height_m + 1e-6


def test_water_beside_has_the_height_when_the_boat_is_nearest() -> None:
    report = tidal(RISING)
    heights = Heights(report, picture_of(report))
    early = heights.over("LAT", square(10.00, 49.98))
    late = heights.over("LAT", square(10.15, 50.09))
    assert late.height_m - early.height_m > 1.5


def test_water_over_several_legs_has_the_lowest() -> None:
    report = tidal(RISING)
    heights = Heights(report, picture_of(report))
    everywhere = heights.over("LAT", shapely.box(9.9, 49.9, 10.3, 50.2))
    start = heights.over("LAT", square(10.0, 50.0, 1e-5))
    assert everywhere.height_m == pytest.approx(start.height_m, abs=0.05)


def test_of_two_stations_that_count_the_lower_is_taken() -> None:
    west = TideStation(name="west", constant_m=2.0, lon_deg=10.0, lat_deg=50.0)
    east = TideStation(name="east", constant_m=-1.0, lon_deg=10.15, lat_deg=50.06)
    report = tidal(west, east)
    heights = Heights(report, picture_of(report))
    assert heights.over("LAT", square(10.15, 50.06)).height_m == -1.0
    assert heights.over("LAT", square(10.075, 50.03)).height_m == -1.0


def test_after_the_tide_table_ends_nothing_is_coloured_as_enough() -> None:
    short = TideStation(name="short", heights=Rising(ends_s=START_S + 1800.0))
    report = tidal(short)
    picture = picture_of(report)
    late = WaterArea(
        key="late", geometry=square(10.15, 50.06), charted_depth_m=20.0, datum="LAT", source="s"
    )
    (one,) = painted_areas(report, replace(picture, areas=(late,)), Units.METRIC)
    assert one.band is Band.UNKNOWN


def test_a_tide_that_the_report_lost_colours_nothing_as_enough() -> None:
    report = replace(reports.hazards(), tide_text="constant height of tide above LAT: -1.0 m")
    assert lost_tide(report)
    picture = picture_of(report)
    bands = {one.band for one in painted_areas(report, picture, Units.METRIC)}
    assert bands <= {Band.UNKNOWN, Band.SHORT, Band.TOUCHES}
    assert "missing" in tide_in_colours(report)
    bed = seabed(report, COLUMNS, Units.METRIC)
    assert set(bed.bands.tolist()) <= {Band.UNKNOWN, Band.SHORT, Band.TOUCHES}
    assert not lost_tide(reports.hazards())
    assert not lost_tide(reports.empty())


def test_tiles_of_a_grid_have_heights_of_their_own() -> None:
    report = tidal(RISING)
    shape = (3 * TILE + 5, 5 * TILE + 1)
    lon, lat = np.meshgrid([9.98, 10.16], [50.08, 49.98])
    one = grid(np.full(shape, 4.0), np.full(shape, 2), lon_deg=lon, lat_deg=lat)
    picture = replace(picture_of(report), areas=(), grids=(one,))
    (painted,) = painted_grids(report, picture, Units.METRIC)
    assert painted.tide_m.shape == (4, 6)
    assert painted.tide_m[:, -1].min() > painted.tide_m[:, 0].max()
    assert painted.bands.shape == shape
    assert painted.bands[-1, 0] <= painted.bands[0, -1]


def test_the_profile_uses_the_heights_of_the_passage() -> None:
    report = tidal(RISING)
    bed = seabed(report, COLUMNS, Units.METRIC)
    assert (np.diff(bed.height_of_tide_m) >= -1e-9).all()
    assert bed.height_of_tide_m[-1] - bed.height_of_tide_m[0] > 1.5


@pytest.mark.parametrize(
    ("report", "words"),
    [
        (reports.hazards(), "height of tide of 0 at chart datum"),
        (tidal(RISING), "while the boat is nearest"),
        (tidal(RISING, depart=False), "no departure given"),
        (tidal(TideStation(name="c", constant_m=1.0)), "colours for: height of tide above"),
    ],
)
def test_the_legend_says_which_height(report: Report, words: str) -> None:
    assert words in tide_in_colours(report)
