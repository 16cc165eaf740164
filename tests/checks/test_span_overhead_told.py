"""Every branch of what is told of a span, word for word; a mast of 17.5 m and 1 m wanted over it.

Without a tide the water stands at the clearance's own datum. Expected sums by hand.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from routecheck.checks.span_overhead import span_overhead
from routecheck.model.objects import Span
from routecheck.model.passage import Passage
from routecheck.model.tide import Tide, TideStation
from routecheck.model.view import Touch
from tests.checks.test_span_overhead import BOAT, at, found, span, tide
from tests.checks.told import Said, said, stands_at
from tests.checks.views import boat, met, passage, place, run, view

ALWAYS = Passage(boat=BOAT)
NOT_JUDGED = "Whether the mast passes under it was not judged."
NOBODY_KNOWS = "find out its clearance, and work it out for the highest tide"
OWNER = (
    "It may carry current, and no safe vertical clearance is charted: how far to keep off is set "
    "by its owner."
)
BELT = "As charted it lies outside the corridor, but its position is only known to 30 m."
LINE = {"cls": "CBLOHD", "electric": True}


def of_air(clearance: str, air: str, datum: str = "HAT", water: str = "") -> str:
    water = water or f"+0.00 m (taken to stand at {datum})"
    return f"{clearance} above {datum}, the water {water}: {air} m of air against 18.5 m needed."


def told(of: Span, by: Passage = ALWAYS, **where: Any) -> list[Said]:
    ones = found(of, by, **where)
    for one in ones:
        on = met(of, place(**where))
        stands_at(one, on, view(spans=(on,)))
    return said(ones)


CASES: list[tuple[Span, Said | None]] = [
    (span(vertical_clearance_m=18.5), None),
    (
        span(vertical_clearance_m=18.4, name="Gannet Bridge"),
        (
            "danger",
            "bridge Gannet Bridge overhead: 0.1 m of air too little",
            of_air("18.4 m clearance", "18.4"),
        ),
    ),
    (
        span(vertical_clearance_m=17.5, cls="PIPOHD"),
        (
            "danger",
            "overhead pipe overhead: 1.0 m of air too little",
            of_air("17.5 m clearance", "17.5") + " The mast strikes.",
        ),
    ),
    (
        span(vertical_clearance_m=17.0, cls="GATCON"),
        (
            "danger",
            "gate overhead: 1.5 m of air too little",
            of_air("17.0 m clearance", "17.0") + " The mast strikes.",
        ),
    ),
    # A bridge that opens: one caution, unless the mast does not pass it open either.
    (
        span(vertical_clearance_closed_m=4.0, opens=True),
        (
            "caution",
            "bridge overhead: 14.5 m of air too little when closed",
            of_air("4.0 m clearance closed", "4.0") + " It opens: look up its hours.",
        ),
    ),
    (
        span(vertical_clearance_closed_m=4.0, vertical_clearance_open_m=18.5, opens=True),
        (
            "caution",
            "bridge overhead: 14.5 m of air too little when closed",
            of_air("4.0 m clearance closed", "4.0") + " It opens: look up its hours.",
        ),
    ),
    (
        span(vertical_clearance_closed_m=4.0, vertical_clearance_open_m=18.4, opens=True),
        (
            "danger",
            "bridge overhead: 14.5 m of air too little",
            of_air("4.0 m clearance closed", "4.0") + " The mast strikes.",
        ),
    ),
    # What is charted as open counts only for a bridge that is charted to open.
    (
        span(vertical_clearance_m=4.0, vertical_clearance_open_m=30.0),
        (
            "danger",
            "bridge overhead: 14.5 m of air too little",
            of_air("4.0 m clearance", "4.0") + " The mast strikes.",
        ),
    ),
    (
        span(vertical_clearance_m=40.0, **LINE),
        (
            "caution",
            "overhead cable overhead: a power line without a safe vertical clearance",
            of_air("40.0 m clearance", "40.0") + " " + OWNER,
        ),
    ),
    (span(safe_vertical_clearance_m=18.5, **LINE), None),
    (span(vertical_clearance_m=40.0, cls="CBLOHD"), None),
    # High springs, or a surge, stand above any level but HAT.
    (
        span(vertical_clearance_m=18.75, clearance_datum="MHWS", cls="CONVYR"),
        (
            "caution",
            "conveyor overhead: margin 0.25 m with the water at MHWS",
            of_air("18.75 m clearance", "18.75", "MHWS")
            + " High springs, or a surge, stand above MHWS; no tide says how far.",
        ),
    ),
    (
        span(),
        ("not-assessed", "bridge overhead: no clearance charted", NOT_JUDGED),
    ),
    (
        span(vertical_clearance_m=30.0, clearance_datum="unknown"),
        (
            "not-assessed",
            "bridge overhead: 30.0 m clearance, above a datum that no one states",
            NOT_JUDGED,
        ),
    ),
    # A class of its own name, where there is no other word.
    (span(cls="XBRIDG"), ("not-assessed", "XBRIDG overhead: no clearance charted", NOT_JUDGED)),
]


@pytest.mark.parametrize("case", range(len(CASES)))
def test_what_is_told(case: int) -> None:
    of, expected = CASES[case]
    assert told(of) == ([] if expected is None else [expected])


@pytest.mark.parametrize("case", range(len(CASES)))
def test_only_within_its_uncertainty(case: int) -> None:
    """No worse than a caution, and what is not assessed stays so."""
    of, expected = CASES[case]
    near = {"cross_m": 130.0, "touch": Touch.BELT, "belt_m": 30.0}
    if expected is None:
        assert told(of, **near) == []
        return
    severity, title, words = expected
    severity = "caution" if severity == "danger" else severity
    assert told(of, **near) == [(severity, title, f"{words} {BELT}")]


def placed(height_m: float, uncertainty_m: float = 0.0, datum: str = "HAT") -> Passage:
    """The water at a height above the datum, all day."""
    station = TideStation(name="Bar", constant_m=height_m, levels_m={"HAT": 0.0})
    return Passage(
        boat=BOAT, tide=Tide(datum=datum, uncertainty_m=uncertainty_m, stations=(station,))
    )


def test_the_tides_uncertainty() -> None:
    bridge = span(vertical_clearance_m=19.0)
    water = "+0.20 m (constant, Bar)"
    words = of_air("19.0 m clearance", "18.8", water=water)
    title = "bridge overhead: margin 0.3 m within its uncertainty"
    assert told(bridge, placed(0.2, 0.4)) == [("caution", title, words)]
    # Half a metre of margin, exact in binary, and as much of uncertainty: enough.
    assert told(bridge, placed(0.0, 0.5)) == []
    assert told(bridge, placed(0.0, 0.25)) == []
    assert [one[0] for one in told(bridge, placed(0.0, 0.625))] == ["caution"]


def test_rounding_goes_against_the_boat_2026_11() -> None:
    """18.46 m of air were told as 18.5 m, which is what the mast needs."""
    (one,) = told(span(vertical_clearance_m=18.46))
    assert one[1] == "bridge overhead: 0.04 m of air too little"
    assert one[2] == of_air("18.46 m clearance", "18.46")


def test_an_opened_bridge_over_high_and_low_water() -> None:
    bascule = span(vertical_clearance_closed_m=4.0, vertical_clearance_open_m=19.0, opens=True)
    assert [one[0] for one in told(bascule, placed(0.5))] == ["caution"]
    assert [one[0] for one in told(bascule, placed(0.75))] == ["danger"]
    low = replace(bascule, vertical_clearance_open_m=18.0)
    assert [one[0] for one in told(low, placed(-0.5))] == ["caution"]


def test_a_time_for_which_no_tide_is_known() -> None:
    (one,) = found(span(vertical_clearance_m=30.0), at(20.0, tide(HAT=4.0)))
    assert one.title == "bridge overhead: the tide at that time is not known"
    assert one.explanation.endswith("of air against 18.5 m needed. " + NOT_JUDGED)
    assert one.settle == "give a tide that covers the time"
    (short,) = found(span(vertical_clearance_m=17.0), at(20.0, tide(HAT=4.0)))
    assert (short.severity, short.settle) == ("danger", "give a tide that covers the time")
    (known,) = found(span(vertical_clearance_m=17.0), ALWAYS)
    assert known.settle == ""


def test_what_is_not_known_stays_so_within_the_spans_uncertainty() -> None:
    of, by = span(vertical_clearance_m=30.0), at(20.0, tide(HAT=4.0))
    assert [one[0] for one in told(of, by, touch=Touch.BELT, belt_m=30.0)] == ["not-assessed"]


def test_what_would_settle_it() -> None:
    assert found(span(), ALWAYS)[0].settle == NOBODY_KNOWS
    no_datum = span(vertical_clearance_m=30.0, clearance_datum="unknown")
    assert found(no_datum, ALWAYS)[0].settle == NOBODY_KNOWS
    (one,) = found(span(vertical_clearance_m=30.0), passage(boat()))
    assert one.settle == "give air_draught"
    assert said([one]) == [
        (
            "not-assessed",
            "bridge overhead: 30.0 m clearance, and no air draught given",
            NOT_JUDGED,
        )
    ]


def test_what_is_stated_stands_beside_it() -> None:
    assert found(span(), ALWAYS)[0].sums == {"clearance_datum": "HAT"}
    every = span(
        vertical_clearance_m=30.0,
        vertical_clearance_closed_m=31.0,
        vertical_clearance_open_m=0.0,
        safe_vertical_clearance_m=28.0,
        clearance_datum="unknown",
    )
    assert found(every, ALWAYS)[0].sums == {
        "vertical_clearance_m": 30.0,
        "vertical_clearance_closed_m": 31.0,
        "vertical_clearance_open_m": 0.0,
        "safe_vertical_clearance_m": 28.0,
        "clearance_datum": "unknown",
    }


def test_each_span_is_told() -> None:
    mets = (met(span(vertical_clearance_m=40.0)), met(span()), met(span(vertical_clearance_m=4.0)))
    told_of = run(span_overhead, view(spans=mets), ALWAYS)
    assert [one.severity for one in told_of] == ["not-assessed", "danger"]
