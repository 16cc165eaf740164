"""The floors and ceilings of the tide that a sweep over many departures leaves depths out by.

A bound that is not one hides a depth from some departure, so each is held to the events of a tide
table whose extremes are known: no bound lies within them, and none further off than 0.2 mm, by
which the lowest and highest between two minutes are guessed against the boat.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routecheck.model import depth_items as module
from routecheck.model.boat import Margins
from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.depth_items import (
    DepthItems,
    ceilings_m,
    depth_items,
    floors_m,
    least_margin_m,
    least_margins_m,
    sweep_codes,
)
from routecheck.model.heights import TableHeights
from routecheck.model.passage import Passage
from routecheck.model.rule import NOTHING, code_of
from routecheck.model.tide import Tide, TideStation
from tests.checks.views import boat, depth, place, view

DAY_S = 1_800_000_000.0 // 86_400.0 * 86_400.0
HOUR_S = 3600.0
TABLE = TableHeights(
    event_s=DAY_S + HOUR_S * np.array([0.0, 6.0, 12.0, 18.0, 24.0, 30.0]),
    event_m=np.array([4.0, -0.5, 4.5, -0.25, 4.25, 0.0]),
)
HAIR_M = 1e-9
GUESSED_M = 2e-4
CODES = {severity: code_of(severity) for severity in (*Severity, None)}


def tide(*more: TideStation, levels: dict[str, float] | None = None) -> Tide:
    own = TideStation(name="T", heights=TABLE, lon_deg=10.0, lat_deg=50.0, levels_m=levels or {})
    return Tide(
        datum="LAT", uncertainty_m=0.125, stations=(own, *more), surge_down_m=0.5, surge_up_m=0.25
    )


def passage(by: Tide | None) -> Passage:
    """At 5 kn 9,260 m are an hour."""
    mine = replace(boat(), margins=Margins(under_keel_m=1.0, eta_s=0.0))
    return Passage(boat=mine, tide=by, offset_s=0.0, speed_kn=5.0)


def departs(by: Tide | None, *hours: float) -> LegDepartures:
    return LegDepartures(passage=passage(by), depart_s=DAY_S + HOUR_S * np.array(hours))


def items(*datums: str, to_m: float = 9260.0, depth_m: float = 5.0) -> DepthItems:
    where = replace(place(0.0), along_from_m=0.0, along_to_m=to_m)
    return DepthItems.of_rows((where, depth_m, 0.25, datum, False, True) for datum in datums)


# Departures (h), of a boat that is on the depth for an hour, and the lowest and highest height
# of the table from the first one to an hour after the last.
SPANS = [
    ((5.5, 13.0), -0.5, 4.5),
    ((2.0, 5.5), -0.5, None),
    ((5.5, 11.5, 8.0), -0.5, 4.5),
    ((11.5, 8.0), None, 4.5),
    ((13.0, 17.5), -0.25, None),
    ((17.5, 19.0), -0.25, None),
    ((7.5, 17.25), -0.25, 4.5),
    ((22.5, 23.5), None, 4.25),
]


@pytest.mark.parametrize(("hours", "lowest_m", "highest_m"), SPANS)
def test_bounds_are_those_of_the_time_from_the_first_to_the_last(
    hours: tuple[float, ...], lowest_m: float | None, highest_m: float | None
) -> None:
    """The allowance for surge is on top; a floor is never above 0, nor a ceiling below it."""
    of, by = items("LAT", "LAT", "LAT"), departs(tide(), *hours)
    if lowest_m is not None:
        below = lowest_m - 0.5 - floors_m(of, by)
        assert ((below > HAIR_M * 0.99) & (below < GUESSED_M)).all()
    if highest_m is not None:
        above = ceilings_m(of, by) - (highest_m + 0.25)
        assert ((above > HAIR_M * 0.99) & (above < GUESSED_M)).all()


def test_a_floor_is_no_higher_than_the_datum_and_a_ceiling_no_lower() -> None:
    of = items("LAT")
    at_high = departs(tide(), 11.75)
    assert floors_m(of, at_high) == pytest.approx([-HAIR_M], abs=1e-12)
    station = TideStation(name="low", constant_m=-3.0, lon_deg=10.0, lat_deg=50.0)
    low = replace(TABLE, event_m=TABLE.event_m - 9.0)
    far_down = Tide(
        datum="LAT",
        uncertainty_m=0.0,
        stations=(station, TideStation(name="T", heights=low, lon_deg=10.1, lat_deg=50.0)),
    )
    assert ceilings_m(of, departs(far_down, 11.75)) == pytest.approx([HAIR_M], abs=1e-12)


def test_bounds_above_other_datums() -> None:
    """A datum 2 m above the tide's own: 2 m less at most; one below it: more at most; one that
    no one relates to it: no more than the lowest at any time."""
    by = tide(levels={"MSL": 2.0, "low": -0.75})
    of = items("LAT", "MSL", "low", "other")
    low = departs(by, 17.5)
    assert floors_m(of, low) == pytest.approx([-0.75, -2.75, -0.75, -1.0], abs=GUESSED_M)
    high = departs(by, 11.5)
    assert ceilings_m(of, high) - HAIR_M == pytest.approx([4.75, 4.75, 5.5, 4.75], abs=1e-12)
    assert floors_m(of, high)[[0, 2, 3]] + HAIR_M == pytest.approx([0.0, 0.0, -1.0], abs=1e-12)


def test_bounds_where_one_of_two_stations_says_nothing_of_a_datum() -> None:
    quiet = TideStation(name="Q", constant_m=-0.125, lon_deg=10.1, lat_deg=50.0)
    by = tide(quiet, levels={"MSL": 2.0, "low": -0.75})
    of, high = items("LAT", "MSL", "low"), departs(by, 11.5)
    # At high water the lowest of the two is the constant, -0.125 - 0.5; ever it is -0.5 - 0.5.
    assert floors_m(of, high) + HAIR_M == pytest.approx([-0.625, -2.625, -1.0], abs=1e-12)
    assert ceilings_m(of, high) - HAIR_M == pytest.approx([4.75, 4.75, 5.5], abs=1e-12)


def test_a_datum_that_stands_at_different_heights_counts_at_the_worst_of_them() -> None:
    """At 2 m and 2.5 m above the tide's own: 2.5 m are taken off for a floor. At 0.75 m and 0.25 m
    below it: 0.75 m are added for a ceiling."""
    other = TideStation(
        name="O", heights=TABLE, lon_deg=10.1, lat_deg=50.0, levels_m={"MSL": 2.5, "low": -0.25}
    )
    by = tide(other, levels={"MSL": 2.0, "low": -0.75})
    of = items("MSL", "low")
    low, high = departs(by, 5.5), departs(by, 11.5)
    assert floors_m(of, low) + HAIR_M == pytest.approx([-3.5, -1.0], abs=1e-12)
    assert ceilings_m(of, high) - HAIR_M == pytest.approx([4.75, 5.5], abs=1e-12)


def test_what_does_not_vary_is_its_own_bound() -> None:
    """Without a tide 0; a constant less or more its surge; without a speed the lowest ever."""
    of = items("LAT", "MSL")
    assert floors_m(of, departs(None, 3.0)).tolist() == [0.0, 0.0]
    assert ceilings_m(of, departs(None, 3.0)).tolist() == [0.0, 0.0]
    constant = Tide(
        datum="LAT",
        uncertainty_m=0.0,
        stations=(TideStation(name="C", constant_m=1.5),),
        surge_down_m=0.25,
    )
    assert floors_m(of, departs(constant, 3.0)).tolist() == [1.25, 0.0]
    assert ceilings_m(of, departs(constant, 3.0)).tolist() == [1.25, 0.0]
    adrift = departs(tide(), 11.5)
    adrift = replace(adrift, passage=replace(adrift.passage, speed_kn=None))
    assert floors_m(of, adrift).tolist() == ceilings_m(of, adrift).tolist() == [-1.0, -1.0]


@pytest.mark.parametrize("by", [None, tide()])
def test_no_depths_have_no_bounds(by: Tide | None) -> None:
    none = items()
    assert len(none) == 0
    for bounds in (floors_m(none, departs(by, 3.0)), ceilings_m(none, departs(by, 3.0))):
        assert bounds.shape == (0,)


# Draught 2 m and 1 m under the keel: 3 m are needed. At 5.5 h an hour holds low water (-1 m with
# its surge), at 11.5 h high water, at least 4.42 m over half an hour either side.
@pytest.mark.parametrize("most", [2_000_000, 1, 2, 4, 3])
def test_a_sweep_in_portions_of_any_size(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_MOST_AT_ONCE", most)
    by = departs(tide(), 5.5, 11.5, 17.5, 11.75, 5.25)
    # 3.8 m lack 0.2 m at the first low, and have 0.05 m more than enough at the second, of which
    # 0.375 m are uncertain; 4.13 m have 0.13 m too many at the first, and 0.38 m at the second.
    assert sweep_codes(items("LAT", "LAT", depth_m=3.8), by).tolist() == [
        CODES[Severity.DANGER], NOTHING, CODES[Severity.CAUTION], NOTHING, CODES[Severity.DANGER],
    ]  # fmt: skip
    assert sweep_codes(items("LAT", "LAT", depth_m=4.13), by).tolist() == [
        CODES[Severity.CAUTION], NOTHING, NOTHING, NOTHING, CODES[Severity.CAUTION],
    ]  # fmt: skip
    where = replace(place(0.0), along_from_m=0.0, along_to_m=9260.0)
    of = view(depths=(depth(3.8, where=where), depth(3.8, where=where)))
    margins = least_margins_m(of, by)
    assert margins is not None
    assert margins[[0, 2, 4]] == pytest.approx([-0.2, 0.05, -0.2], abs=GUESSED_M)
    assert (margins[[1, 3]] > 4.5).all()


def test_a_sweep_says_otherwise_what_it_is_told_to() -> None:
    by = departs(tide(), 5.5, 11.5)
    of = items("LAT", "LAT", depth_m=20.0)
    assert sweep_codes(of, by).tolist() == [NOTHING, NOTHING]
    note = np.array([NOTHING, CODES[Severity.NOTE]], dtype=np.int8)
    assert sweep_codes(of, by, otherwise=note).tolist() == [CODES[Severity.NOTE]] * 2
    assert sweep_codes(items(), by, otherwise=np.zeros(0, dtype=np.int8)).tolist() == [NOTHING] * 2
    shoal = items("LAT", "LAT", depth_m=3.75)
    assert sweep_codes(shoal, by, otherwise=note).tolist() == [
        CODES[Severity.DANGER], CODES[Severity.NOTE],
    ]  # fmt: skip


def test_a_sweep_without_a_tide_adds_no_uncertainty() -> None:
    """3.25 m leave 0.25 m, which is the depth's own uncertainty."""
    by = departs(None, 1.0)
    assert sweep_codes(items("LAT", depth_m=3.25), by).tolist() == [NOTHING]
    assert sweep_codes(items("LAT", depth_m=3.125), by).tolist() == [CODES[Severity.CAUTION]]
    constant = Tide(
        datum="LAT", uncertainty_m=0.125, stations=(TideStation(name="C", constant_m=1.0),)
    )
    steady = departs(constant, 1.0)
    assert sweep_codes(items("LAT", depth_m=2.375), steady).tolist() == [NOTHING]
    assert sweep_codes(items("LAT", depth_m=2.25), steady).tolist() == [CODES[Severity.CAUTION]]


def test_only_depths_that_count_are_items() -> None:
    """Where a better source covers the place, a depth stands in the comparison alone."""
    where = replace(place(0.0), along_from_m=0.0, along_to_m=9260.0)
    of = view(depths=(depth(9.0, where=where), depth(1.0, where=where, counts=False)))
    assert depth_items(of).charted_depth_m.tolist() == [9.0]
    by = departs(None, 1.0, 2.0)
    assert sweep_codes(depth_items(of), by).tolist() == [NOTHING, NOTHING]
    # 3 m are needed.
    assert least_margin_m(of, by.passage) == 6.0
    margins = least_margins_m(of, by)
    assert margins is not None and margins.tolist() == [6.0, 6.0]


def test_the_worst_of_many_depths_is_the_answer() -> None:
    """A danger beside cautions and deep water, and a least margin that is the shoalest's."""
    by = departs(tide(), 5.5, 11.5)
    where = replace(place(0.0), along_from_m=0.0, along_to_m=9260.0)
    depths_m = (30.0, 4.13, 3.8, 30.0)
    of = view(depths=tuple(depth(metres, where=where) for metres in depths_m))
    assert sweep_codes(depth_items(of), by).tolist() == [CODES[Severity.DANGER], NOTHING]
    margins = least_margins_m(of, by)
    assert margins is not None
    # High water within half an hour either way is 4.5 m less 2.5 m of (1 - cos 15 degrees).
    high_m = 4.5 - 2.5 * (1.0 - np.cos(np.radians(15.0))) - 0.5
    assert margins == pytest.approx([-0.2, 3.8 + high_m - 3.0], abs=GUESSED_M)
