"""Spans under a tide whose station knows the heights of some times only."""

from __future__ import annotations

from routecheck.model.chart import Severity
from routecheck.model.passage import Passage
from tests.checks.test_span_overhead import BOAT, found, span, tide


def test_without_a_departure_the_highest_that_is_known_is_taken_and_no_more_is_said() -> None:
    """The table's high water is 4.5 m above LAT, MSL 2.5 m: 2 m above MSL. Ordinary high waters
    are in that table, so that it may not say of every high water that it stands higher."""
    by = Passage(boat=BOAT, tide=tide(MSL=2.5))
    (one,) = found(span(vertical_clearance_m=30.0, clearance_datum="MSL"), by)
    assert one.severity is Severity.CAUTION
    assert one.sums["water_above_datum_m"] == 2.0
    assert one.sums["available_air_m"] == 28.0
    assert "High springs, or a surge, stand above MSL" in one.explanation
    assert "very high water" not in one.explanation
