"""Where on the leg an opening is asked for, and what is told of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from routecheck.checks.shut_at_that_time import shut_at_that_time
from routecheck.model.boat import Margins
from routecheck.model.finding import Finding
from routecheck.model.opening import Hours, Opening
from routecheck.model.passage import Passage
from tests.checks.told import said
from tests.checks.views import boat, passage, run, view

LENGTH_M = 3.0 * 1852.0
HOUR_S = 3600.0


def opening(start_h: float, end_h: float, name: str, along_m: float | None) -> Opening:
    hours = (Hours(start_s=start_h * HOUR_S, end_s=end_h * HOUR_S),)
    return Opening(name=name, hours=hours, along_m=along_m, words=f"{start_h:g} to {end_h:g}")


def found(*openings: Opening, at: str | None) -> list[Finding]:
    """The leg of 3 nmi begun at a time of day, at 6 kn: half an hour to its end."""
    of = view()
    of = replace(of, leg=replace(of.leg, openings=openings), length_m=LENGTH_M)
    by = passage()
    if at is not None:
        start = datetime.fromisoformat(f"2027-05-14T{at}").replace(tzinfo=UTC)
        by = Passage(
            boat=replace(boat(), margins=Margins(eta_s=0.0)), leg_start=start, speed_kn=6.0
        )
    return run(shut_at_that_time, of, by)


@pytest.mark.parametrize(
    ("along_m", "at", "shut"),
    [
        # Open from 10 to 12. A third of the leg along the boat is there ten minutes on.
        (1852.0, "09:49", True),
        (1852.0, "09:51", False),
        (1852.0, "11:49", False),
        (1852.0, "11:51", True),
        # Anywhere on the leg: from its start to its end.
        (None, "09:59", True),
        (None, "10:00", False),
        (None, "11:30", False),
        (None, "11:31", True),
        # At the start, at the end, and no further than that.
        (0.0, "10:00", False),
        (0.0, "09:59", True),
        (LENGTH_M, "11:30", False),
        (LENGTH_M, "11:31", True),
        (9e9, "11:30", False),
        (9e9, "11:31", True),
    ],
)
def test_when_it_is_passed(along_m: float | None, at: str, shut: bool) -> None:
    assert bool(found(opening(10, 12, "Lock", along_m), at=at)) is shut


def test_what_is_told() -> None:
    bridge = opening(6, 7, "Old Bridge", 1852.0)
    lock = opening(8, 20, "Lock", 3704.0)
    ferry = opening(6, 7, "Chain ferry", None)
    two = found(bridge, lock, ferry, at="12:00")
    assert said(two) == [
        (
            "caution",
            "Old Bridge: may be shut at the time of passing",
            "Open 6 to 7; 1.0 nmi along the leg.",
        ),
        (
            "caution",
            "Chain ferry: may be shut at the time of passing",
            "Open 6 to 7; 0.0 nmi along the leg.",
        ),
    ]
    assert [one.object_key for one in two] == ["opening/1", "opening/3"]
    assert [(one.along_m, one.along_to_m) for one in two] == [(1852.0, 1852.0), (0.0, LENGTH_M)]
    # A third of a leg along the parallel of 50 degrees, from 10.0 to 10.1 degrees east.
    assert two[0].lon_deg == pytest.approx(10.0 + 1852.0 / 71_695.0, abs=1e-3)
    assert two[1].lon_deg == pytest.approx(10.0)
    assert [one.lat_deg for one in two] == pytest.approx([50.0, 50.0], abs=1e-4)
    assert {one.settle for one in two} == {"another departure"}
    (clockless, *_) = found(bridge, at=None)
    assert said([clockless])[0][:2] == (
        "not-assessed",
        "Old Bridge: hours are given, and no time of passing is known",
    )
    assert clockless.settle == "give --depart, and the boat's speed"
