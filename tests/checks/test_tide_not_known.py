"""Times that no tide table covers."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np

from routecheck.checks.tide_not_known import _sweep, tide_not_known
from routecheck.model.boat import Margins
from routecheck.model.chart import Severity
from routecheck.model.departures import LegDepartures
from routecheck.model.finding import Finding
from routecheck.model.heights import TableHeights
from routecheck.model.passage import Passage
from routecheck.model.rule import code_of
from routecheck.model.tide import Tide, TideStation
from tests.checks.views import boat, depth, run, view

START_S = datetime(2027, 5, 14, tzinfo=UTC).timestamp()
TABLE = TableHeights(
    event_s=START_S + 3600.0 * np.array([0.0, 6.0, 12.0]), event_m=np.array([0.5, 4.5, 0.7])
)
TIDE = Tide(
    datum="chart datum", uncertainty_m=0.1, stations=(TideStation(name="Bar", heights=TABLE),)
)


def at(hour: float, tide: Tide | None = TIDE, eta_s: float = 0.0) -> Passage:
    mine = replace(boat(speed_kn=6.0), margins=Margins(eta_s=eta_s))
    start = START_S + 3600.0 * hour
    return Passage(
        boat=mine, tide=tide, depart_s=start, offset_s=0.0, speed_kn=6.0,
        leg_start=datetime.fromtimestamp(start, UTC),
    )  # fmt: skip


def found(by: Passage, depth_m: float = 4.0) -> list[Finding]:
    return run(tide_not_known, view(depths=(depth(depth_m),)), by)


def test_after_the_table_ends() -> None:
    """a leg sailed after the tide table ends is not assessed where it is shoal"""
    (one,) = found(at(12.5))
    assert one.severity is Severity.NOT_ASSESSED
    assert one.title == "no height of tide is known for that time at Bar"
    assert one.explanation.startswith(
        "Bar has heights from 2027-05-14 00:00Z to 2027-05-14 12:00Z."
    )
    assert found(at(6.0)) == []
    assert len(found(at(11.8, eta_s=1800.0))) == 1


def test_where_no_tide_matters_nothing_is_said() -> None:
    # Needed 3 m; 4 m of range below datum and 0.1 m uncertainty: from 7.1 m on it cannot matter.
    assert len(found(at(20.0), 7.0)) == 1
    assert found(at(20.0), 7.2) == []


def test_other_tides_are_always_known() -> None:
    constant = Tide(
        datum="LAT", uncertainty_m=0.0, stations=(TideStation(name="C", constant_m=1.0),)
    )
    assert found(at(20.0, constant)) == found(at(20.0, None)) == []
    assert found(Passage(boat=boat(), tide=TIDE)) == []


def test_many_departures_at_once_are_each_alone() -> None:
    base = at(0.0, eta_s=900.0)
    of = view(depths=(depth(4.0), depth(30.0, key="deep")))
    starts = START_S + 1800.0 * np.arange(-10.0, 40.0)
    codes = _sweep(of, LegDepartures(passage=replace(base, depart_s=None), depart_s=starts))
    alone = []
    for start in starts:
        ones = run(tide_not_known, of, replace(base, depart_s=float(start)))
        alone.append(code_of(ones[0].severity if ones else None))
    assert codes.tolist() == alone
    assert len(set(alone)) == 2
