"""A window's departure is what `vet` says of that departure, to the last bit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from routecheck.api import settings_for
from routecheck.checks import all_checks
from routecheck.judgement import judge
from routecheck.model.areas import AreaKind
from routecheck.model.boat import Boat, Margins
from routecheck.model.chart import ChartSet, Severity
from routecheck.model.finding import Report
from routecheck.model.heights import HarmonicHeights, TableHeights
from routecheck.model.opening import Hours, Opening
from routecheck.model.period import Period
from routecheck.model.route import Route
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import LegView
from routecheck.model.window import State
from routecheck.nav.tide_constituents import constituent
from routecheck.nav.tide_harmonics import Harmonic
from routecheck.readers.folder import read_charts
from routecheck.readers.route_file import read_routes
from routecheck.survey.survey import survey
from routecheck.windows import scan
from tests.checks.areaviews import across, area

START = datetime(2027, 5, 14, tzinfo=UTC)
INSTANTS = 84  # for each of four routes and three tides: a thousand
BARS = {check.name for check in all_checks() if check.bars}
SAMPLES = Path(__file__).resolve().parents[2] / "sample_charts"


def table() -> TableHeights:
    """Nine days of high and low waters from the day before."""
    turns = START.timestamp() + 22_350.0 * np.arange(-4.0, 36.0) + 1_111.0
    return TableHeights(
        event_s=turns, event_m=np.where(np.arange(40) % 2, 2.6, -0.3) + 0.01 * np.arange(40) ** 0.5
    )


def harmonic() -> HarmonicHeights:
    parts = [("M2", 1.3, 40.0), ("S2", 0.4, 80.0), ("K1", 0.2, 3.0)]
    return HarmonicHeights(
        mean_level_m=1.4,
        harmonics=tuple(
            Harmonic(constituent=constituent(n), amplitude_m=a, phase_deg=g) for n, a, g in parts
        ),
    )


TIDES = {
    "table": (TideStation(name="Pass", heights=table(), levels_m={"HAT": 2.9, "MHWS": 2.2}),),
    "harmonic": (TideStation(name="Pass", heights=harmonic(), levels_m={"MHWS": 2.4}),),
    "several": (
        TideStation(name="Pass", heights=table(), lon_deg=-117.05, lat_deg=-14.0),
        TideStation(name="Cove", heights=harmonic(), lon_deg=-117.01, lat_deg=-13.98),
    ),
}
BOAT = Boat(
    name="b",
    draught_m=2.3,
    air_draught_m=16.0,
    beam_m=3.6,
    speed_kn=5.5,
    margins=Margins(under_keel_m=1.4, cross_track_m=55.0, eta_s=1_500.0),
)


# For the haven: afloat over its sill about high water, and no room under its bridge to spare.
LOW = replace(
    BOAT, draught_m=1.2, air_draught_m=16.3, margins=replace(BOAT.margins, under_keel_m=0.5)
)

ROUTES = {
    "to-the-cove": ("routes/to-the-cove.gpx", "charts"),
    "over-a-shoal": ("routes/over-a-shoal.gpx", "charts"),
    "wrong-side": ("routes/wrong-side.gpx", "charts"),
    # With a bridge whose clearance is above mean high water springs.
    "into-the-haven": ("bar-harbour/into-the-haven.gpx", "bar-harbour"),
}


def in_season(view: LegView) -> LegView:
    """A leg with an area on it that may not be entered for some days of the scan."""
    period = Period(season_start="--0517", season_end="--0519")
    forbidden = across(area(AreaKind.RESTRICTED, 7, period=period))
    return replace(view, areas=(*view.areas, forbidden))


@cache
def surveyed(name: str) -> tuple[Route, ChartSet, Sequence[LegView], Boat]:
    boat = LOW if name == "into-the-haven" else BOAT
    file, folder = ROUTES[name]
    (route,) = read_routes(SAMPLES / file)
    hours = Opening(name="Sill", hours=(Hours(start_s=6 * 3600, end_s=20 * 3600),), along_m=100.0)
    legs = list(route.legs)
    legs[0] = replace(legs[0], daylight_only=True)
    legs[-1] = replace(legs[-1], openings=(hours,), set_deg=20.0, drift_kn=1.0)
    route = replace(route, legs=tuple(legs))
    charts = read_charts([SAMPLES / folder])
    _, views = survey(route, charts, settings_for(boat))
    return route, charts, (*views[:-1], in_season(views[-1])), boat


def state_of(report: Report, always: set[str]) -> State:
    """What a report comes to by all that depends on its time."""
    timed = [f for f in report.findings if f.key not in always]
    if any(
        f.severity is Severity.DANGER or (f.severity is Severity.CAUTION and f.check in BARS)
        for f in timed
    ):
        return State.CLOSED
    severities = {f.severity for f in timed}
    if Severity.NOT_ASSESSED in severities:
        return State.NOT_ASSESSED
    return State.CAUTION if Severity.CAUTION in severities else State.OPEN


@pytest.mark.parametrize("kind", TIDES)
@pytest.mark.parametrize("name", ROUTES)
def test_every_instant_agrees_with_vet(kind: str, name: str) -> None:
    """Random instants from before the tide table begins to after it ends."""
    route, charts, views, boat = surveyed(name)
    tide = Tide(datum="chart datum", uncertainty_m=0.1, stations=TIDES[kind], surge_down_m=0.05)
    rng = np.random.default_rng(len(kind + name))
    seconds = rng.uniform(-1.5 * 86_400.0, 9.5 * 86_400.0, INSTANTS)
    departs = [START + timedelta(seconds=float(s)) for s in seconds]
    scanned = scan(views, boat, tide, departs)
    timed_pairs = {(one.check.name, one.index + 1) for one in scanned.timed}
    reports = [judge(route, views, charts, boat, tide=tide, depart=d) for d in departs]
    every = [{f.key for f in r.findings} for r in reports]
    # What holds at every departure and hangs on no clock.
    always = {
        f.key
        for f in reports[0].findings
        if all(f.key in keys for keys in every) and (f.check, f.leg) not in timed_pairs
    }
    states = scanned.states()
    for i, report in enumerate(reports):
        assert states[i] is state_of(report, always), departs[i]
        margins = [one[i] if one is not None else None for one in scanned.margins_m]
        assert margins == [leg.least_margin_m for leg in report.legs]
        told = {
            (f.key, f.severity, f.title, tuple(f.sums.items()))
            for f in report.findings
            if (f.check, f.leg) in timed_pairs
        }
        ours = {(f.key, f.severity, f.title, tuple(f.sums.items())) for f in scanned.findings(i)}
        assert ours == told
    kept = {f.key for f in scanned.always}
    assert kept <= {f.key for f in reports[0].findings}
    assert len(set(states)) > 1 or name == "over-a-shoal"
    wanted = {"entry-prohibited", "shut-at-that-time", "passed-in-the-dark", "arrival-in-the-dark"}
    if name == "into-the-haven":
        wanted |= {"span-overhead", "too-little-water"}
    assert wanted <= {one.check.name for one in scanned.timed}


def test_a_departure_needs_a_zone() -> None:
    _, _, views, _ = surveyed("to-the-cove")
    with pytest.raises(ValueError, match="time zone"):
        scan(views, BOAT, None, [datetime(2027, 5, 14)])
    with pytest.raises(ValueError, match="no departure"):
        scan(views, BOAT, None, [])
