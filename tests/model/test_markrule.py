"""The whole IALA table, judged: each mark x region x with or against x passed port or starboard.

IALA Recommendation R1001, The IALA Maritime Buoyage System: lateral marks and modified lateral
marks of regions A and B; S-57 ed. 3.1 CATLAM 3 and 4 for the preferred channel. The answers are
written out by hand.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.markrule import Fault, judge, mark_row
from routecheck.model.objects import MarkKind
from tests.buoys import NEAR_M, charts, judged, mark, met, passage, view, zone

UP = [(0.0, -3000.0), (0.0, 3000.0)]
RIGHT, WRONG, BRANCH = "right", "wrong", "secondary"

# region, colours, then: with/left to port, with/starboard, against/port, against/starboard
TABLE = [
    ("A", "red", "port-hand", RIGHT, WRONG, WRONG, RIGHT),
    ("A", "green", "starboard-hand", WRONG, RIGHT, RIGHT, WRONG),
    ("A", "red green red", "preferred-channel-to-starboard", RIGHT, BRANCH, BRANCH, RIGHT),
    ("A", "green red green", "preferred-channel-to-port", BRANCH, RIGHT, RIGHT, BRANCH),
    ("B", "green", "port-hand", RIGHT, WRONG, WRONG, RIGHT),
    ("B", "red", "starboard-hand", WRONG, RIGHT, RIGHT, WRONG),
    ("B", "green red green", "preferred-channel-to-starboard", RIGHT, BRANCH, BRANCH, RIGHT),
    ("B", "red green red", "preferred-channel-to-port", BRANCH, RIGHT, RIGHT, BRANCH),
]
CASES = [
    pytest.param(
        region,
        colours.split(),
        kind,
        direction_deg,
        side,
        answer,
        id=f"{region}-{kind}-{way}-{side}",
    )
    for region, colours, kind, *answers in TABLE
    for (way, direction_deg, side), answer in zip(
        [("with", 0.0, "port"), ("with", 0.0, "starboard"),
         ("against", 180.0, "port"), ("against", 180.0, "starboard")],
        answers,
        strict=True,
    )
]  # fmt: skip


@pytest.mark.parametrize("stated", ["kind", "colours", "both"])
@pytest.mark.parametrize(("region", "colours", "kind", "direction_deg", "side", "answer"), CASES)
def test_iala_table(
    region: str,
    colours: list[str],
    kind: str,
    direction_deg: float,
    side: str,
    answer: str,
    stated: str,
) -> None:
    buoy = mark(
        (-100.0 if side == "port" else 100.0, 0.0),
        MarkKind.LATERAL if stated == "colours" else kind,
        colours=() if stated == "kind" else tuple(colours),
    )
    (one,) = met(UP, charts([buoy], [zone(direction_deg, region)]))
    assert (one.kind, one.side) == (kind, side)
    said = judged(one)
    if answer is RIGHT:
        assert (said.outcome, said.severity) == (MarkOutcome.RIGHT, None)
        assert said.side_required == side
    elif answer is WRONG:
        assert (said.outcome, said.severity) == (MarkOutcome.WRONG, Severity.DANGER)
        assert said.fault is Fault.WRONG_SIDE
        assert {side, said.side_required} == {"port", "starboard"}
    else:  # the secondary channel is allowed, and the finding says which one was taken
        assert (said.outcome, said.fault) == (MarkOutcome.RIGHT, Fault.SECONDARY)
        assert said.severity is Severity.NOTE and "secondary" in said.why


@pytest.mark.parametrize(
    ("kind", "colours", "where", "outcome", "severity"),
    # R1001: cardinal marks are passed on the named side; isolated danger and emergency wreck
    # marks are kept clear of; safe-water and special marks have no side.
    [
        ("north", "black yellow", (0.0, -100.0), MarkOutcome.RIGHT, None),
        ("north", "black yellow", (0.0, 100.0), MarkOutcome.WRONG, Severity.DANGER),
        ("south", "yellow black", (0.0, 100.0), MarkOutcome.RIGHT, None),
        ("south", "yellow black", (0.0, -100.0), MarkOutcome.WRONG, Severity.DANGER),
        ("south", "yellow black", (0.0, -400.0), MarkOutcome.WRONG, Severity.CAUTION),
        ("isolated-danger", "black red black", (0.0, 500.0), MarkOutcome.RIGHT, None),
        ("isolated-danger", "black red black", (0.0, 150.0), MarkOutcome.WRONG, Severity.CAUTION),
        ("isolated-danger", "black red black", (0.0, -40.0), MarkOutcome.WRONG, Severity.DANGER),
        ("emergency-wreck", "blue yellow", (0.0, 150.0), MarkOutcome.WRONG, Severity.DANGER),
        ("emergency-wreck", "blue yellow", (0.0, 500.0), MarkOutcome.WRONG, Severity.CAUTION),
        ("safe-water", "red white", (0.0, 150.0), MarkOutcome.RIGHT, None),
        ("special", "yellow", (0.0, 150.0), MarkOutcome.NOT_ASSESSED, None),
        ("special", "yellow", (0.0, 30.0), MarkOutcome.NOT_ASSESSED, Severity.NOTE),
    ],
)  # fmt: skip
@pytest.mark.parametrize("region", ["A", "B", ""])
def test_other_marks(
    kind: str,
    colours: str,
    where: tuple[float, float],
    outcome: MarkOutcome,
    severity: Severity | None,
    region: str,
) -> None:
    """The track runs due east past the origin."""
    buoy = mark(where, kind, colours=tuple(colours.split()))
    (one,) = met([(-3000.0, 0.0), (3000.0, 0.0)], charts([buoy]), region=region)
    said = judged(one)
    assert (said.outcome, said.severity) == (outcome, severity)


@pytest.mark.parametrize(
    ("off_m", "run", "severity"),
    [
        (NEAR_M - 1.0, False, Severity.DANGER),
        (NEAR_M + 1.0, False, Severity.CAUTION),
        (700.0, False, Severity.CAUTION),
        (700.0, True, Severity.DANGER),
    ],
)
def test_how_far_off_a_wrong_side_counts(off_m: float, run: bool, severity: Severity) -> None:
    """Beyond mark_near only a mark of a run that the track follows is a danger."""
    stem = "Long Reach" if run else ""
    marks = [
        mark((off_m, 0.0), "port-hand", f"{stem} 3" if run else "Lone"),
        mark((300.0, -1000.0), "starboard-hand", f"{stem or 'Other'} 1"),
        mark((300.0, 1000.0), "starboard-hand", f"{stem or 'Another'} 5"),
    ]
    found = met(UP, charts(marks, [zone(0.0, "A")]))
    (one,) = [p for p in found if p.kind is MarkKind.PORT_HAND]
    said = judged(one)
    assert (said.outcome, said.severity) == (MarkOutcome.WRONG, severity)
    assert ("another channel" in said.why) is (severity is Severity.CAUTION)


def test_one_inferred_ground_alone_is_never_more_than_a_caution() -> None:
    marks = [
        mark((100.0, -1000.0), "starboard-hand", "Reach 2"),
        mark((100.0, 0.0), "starboard-hand", "Reach 4"),
        mark((-100.0, 1000.0), "starboard-hand", "Reach 6"),
    ]
    inferred = judged(met(UP, charts(marks))[-1])
    assert (inferred.outcome, inferred.severity) == (MarkOutcome.WRONG, Severity.CAUTION)
    assert "inferred" in inferred.why and "--buoyage" in inferred.settle
    stated = judged(met(UP, charts(marks, [zone(0.0)]))[-1])
    assert stated.severity is Severity.DANGER


def test_a_stated_direction_that_the_numbers_contradict_gives_no_danger() -> None:
    marks = [mark((100.0, y), "starboard-hand", f"Reach {n}") for n, y in
             [(2, -1000.0), (4, 0.0), (6, 1000.0)]]  # fmt: skip
    (one, *_) = met(UP, charts(marks, [zone(180.0, name="sea")]))
    said = judged(one)
    assert (said.outcome, said.severity) == (MarkOutcome.WRONG, Severity.CAUTION)
    assert "sea" in one.conflict and "reach" in one.conflict


@pytest.mark.parametrize(
    ("off_m", "width_m", "severity"),
    [
        (NEAR_M - 1.0, 50.0, Severity.NOT_ASSESSED),
        (NEAR_M + 1.0, 50.0, None),
        (300.0, 310.0, Severity.NOT_ASSESSED),  # the corridor is wider
    ],
)
def test_side_unknown(off_m: float, width_m: float, severity: Severity | None) -> None:
    (one,) = met(UP, charts([mark((off_m, 0.0), "port-hand")]), width_m=width_m)
    said = judged(one, width_m)
    assert (said.outcome, said.fault) == (MarkOutcome.NOT_ASSESSED, Fault.SIDE_UNKNOWN)
    assert said.severity is severity


def test_contradicting_colours_leave_the_side_not_assessed() -> None:
    odd = mark((-100.0, 0.0), "port-hand", colours=("red",))
    (one,) = met(UP, charts([odd], [zone(0.0, "B")]))
    assert judged(one).severity is Severity.NOT_ASSESSED
    assert one.contradiction


def test_not_passed_is_not_judged() -> None:
    """The track ends 300 m short of a mark that stands almost dead ahead."""
    (one,) = met(UP, charts([mark((50.0, 3300.0), "port-hand")], [zone(0.0, "A")]))
    said = judged(one)
    assert (said.outcome, said.severity) == (MarkOutcome.NOT_ASSESSED, None)
    assert "ends short of it" in said.judged_by


def test_row_of_the_mark_list() -> None:
    buoy = mark((-100.0, 0.0), "port-hand", "Deep", colours=("red",))
    (one,) = met(UP, charts([buoy], [zone(0.0, "A")]))
    row = mark_row(one, view([one]), passage())
    assert (row.name, row.kind, row.leg) == ("Deep", "port-hand", 1)
    assert (row.side_passed, row.side_required, row.outcome) == ("port", "port", "right")
    assert row.judged_by.startswith("chart: cell (zone zone) states")
    assert (row.lon_deg, row.lat_deg) == (buoy.lon_deg, buoy.lat_deg)
    assert row.route_along_m == pytest.approx(3000.0, rel=1e-3)
    north = mark((0.0, -100.0), "north", "Top")
    (other,) = met([(-3000.0, 0.0), (3000.0, 0.0)], charts([north]))
    row = mark_row(other, view([other]), passage())
    assert (row.side_passed, row.side_required) == ("north", "north")


def test_judge_takes_the_half_width_of_the_side_that_the_mark_is_on() -> None:
    wide_to_port = replace(view(), port_m=310.0, starboard_m=50.0)
    for east_m, severity in ((-300.0, Severity.NOT_ASSESSED), (300.0, None)):
        (one,) = met(UP, charts([mark((east_m, 0.0), "port-hand")]))
        assert judge(one, passage().boat.margins, wide_to_port).severity is severity
