"""What says with or against at a pass, pass by pass: stated direction, numbers, rows, line, pair.

Passes and crossings are given by hand; the marks stand in metres from an origin.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest

from routecheck.model.chart import ChartSet
from routecheck.model.objects import Mark, MarkKind
from routecheck.model.passes import Ground, GroundKind, Sense
from routecheck.survey.edges import Edges
from routecheck.survey.gates import Crossing, Pair
from routecheck.survey.markset import mark_set
from routecheck.survey.minima import Minimum
from routecheck.survey.runs import Runs
from routecheck.survey.senses import Reasons, Senses
from routecheck.survey.zones import Stated
from tests.buoys import Place, chart, mark
from tests.survey.tracks import chain

P, S = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND
MILE_M = 1852.0
STRAIGHT = [(0.0, -30000.0), (0.0, 30000.0)]


def passed(number: int, along_m: float, cross_m: float = -100.0, **more: object) -> Minimum:
    """The pass of a mark by a northbound track that starts 30 km south of the origin."""
    facts: dict[str, object] = {
        "mark": number,
        "line": 0,
        "along_m": along_m + 30000.0,
        "leg": 1,
        "leg_along_m": along_m + 30000.0,
        "route_along_m": along_m + 30000.0,
        "cross_m": cross_m,
        "course_deg": 0.0,
        "bearing_deg": 90.0,
        "passed": True,
    }
    return Minimum(**{**facts, **more})  # type: ignore[arg-type]


def senses(
    marks: Sequence[Mark],
    minima: Mapping[int, Sequence[Minimum]],
    track: Sequence[Place] = STRAIGHT,
    within_m: float = 740.0,
) -> Senses:
    held = mark_set(ChartSet(charts=(chart(marks),)))
    return Senses(held, Runs(marks), chain(track), minima, {1: within_m, 2: within_m})


ONE = [mark((-100.0, 0.0), P, "Left"), mark((100.0, 0.0), S, "")]
AT = passed(0, 0.0)


def reasons(at: Minimum = AT, marks: Sequence[Mark] = ONE, **given: object) -> Reasons:
    facts = {"crossing": None, "stated": (), "edges": None, "line": None, **given}
    return senses(marks, {at.mark: [at]}).reasons(at, **facts)  # type: ignore[arg-type]


def stated(direction_deg: float | None, text: str = "the zone", standing: int = 3) -> Stated:
    return Stated(text=text, direction_deg=direction_deg, standing=standing)


def crossing(course_deg: float, direction_deg: float = 0.0) -> Crossing:
    pair = Pair(port_hand=0, starboard_hand=1, width_m=200.0, direction_deg=direction_deg)
    return Crossing(
        pair=pair, share=0.5, route_along_m=30000.0, course_deg=course_deg, lon_deg=0.0, lat_deg=0.0
    )


def rows(sense: Sense, *, firm: bool = True) -> Edges:
    return Edges(ground=Ground(kind=GroundKind.EDGES, sense=sense, text="the rows"), firm=firm)


def line(sense: Sense) -> Ground:
    return Ground(kind=GroundKind.LINE, sense=sense, text="the line leads in")


def kinds(found: Reasons) -> list[tuple[str, str]]:
    return [(g.kind.name, g.sense.value) for g in found.grounds]


def test_nothing_says_anything() -> None:
    assert reasons() == Reasons(grounds=(), conflicts=(), followed_run=False, beside_run=False)


def test_only_lateral_marks_have_a_sense() -> None:
    north = [mark((-100.0, 0.0), MarkKind.NORTH, "Left"), ONE[1]]
    given = {"stated": [stated(0.0)], "line": line(Sense.WITH), "crossing": crossing(0.0)}
    nothing = Reasons(grounds=(), conflicts=(), followed_run=False, beside_run=False)
    assert reasons(marks=north, **given) == nothing
    assert len(reasons(**given).grounds) == 3


def test_the_most_trusted_first() -> None:
    found = reasons(stated=[stated(0.0)], crossing=crossing(0.0), line=line(Sense.WITH))
    assert kinds(found) == [("CHART", "with"), ("LINE", "with"), ("PAIR", "with")]
    assert found.grounds[0].text == "the zone states the direction of buoyage 0°"
    assert found.grounds[0].direction_deg == 0.0
    assert found.grounds[2].text == (
        "Left (port-hand) and an unnamed mark (starboard-hand) face each other"
    )
    assert found.conflicts == ()


@pytest.mark.parametrize(
    ("course_deg", "sense"),
    [(0.0, "with"), (69.0, "with"), (291.0, "with"), (111.0, "against"), (180.0, "against")],
)
def test_the_course_against_a_stated_direction(course_deg: float, sense: str) -> None:
    found = reasons(replace(AT, course_deg=course_deg), stated=[stated(0.0)])
    assert kinds(found) == [("CHART", sense)]


def test_statements_that_differ_are_told_and_the_first_one_counts() -> None:
    found = reasons(stated=[stated(180.0), stated(0.0, "the other", standing=4)])
    assert kinds(found) == [("CHART", "against")]
    assert len(found.conflicts) == 1 and "the other" in found.conflicts[0]


@pytest.mark.parametrize(
    ("course_deg", "directions", "senses"),
    [
        (0.0, (180.0, 0.0), ["against", "with"]),
        (0.0, (10.0, 350.0, 45.0), ["with"]),  # the way of the track is the same by all
        (0.0, (69.0, 111.0), ["with", "against"]),  # less than 45 degrees apart, and told
        (180.0, (69.0, 111.0, 68.0), ["against", "with"]),
    ],
)
def test_statements_of_one_standing_each_count_by_their_sense(
    course_deg: float, directions: tuple[float, ...], senses: list[str]
) -> None:
    names = [stated(deg, f"zone {n}") for n, deg in enumerate(directions)]
    lower = stated(180.0, "the lower", standing=4)
    at = replace(AT, course_deg=course_deg)
    found = reasons(at, stated=[*names, lower], line=line(Sense.WITH) if len(senses) > 1 else None)
    assert kinds(found) == [("CHART", sense) for sense in senses]
    told = "; ".join(found.conflicts)
    assert all(name in told for name in ("zone 0", "zone 1")) is (len(senses) > 1)


def test_a_statement_without_a_direction_is_no_direction() -> None:
    with pytest.raises(ValueError, match="the zone states no direction"):
        reasons(stated=[stated(None)])


DOG_LEG = [(-2000.0, -3000.0), (-2000.0, 0.0), (2000.0, 0.0), (2000.0, 3000.0)]


@pytest.mark.parametrize(
    ("reach_m", "sense"),
    [
        (1500.0, "crossing"),  # all of it on the leg across
        (2300.0, "crossing"),  # 300 m of the 4000 to north on either side: still within 20 degrees
        (2800.0, "with"),  # 800 m of 4000: 21.8 degrees off square
        (4500.0, "with"),
    ],
)
def test_a_track_as_a_whole_within_reach(reach_m: float, sense: str) -> None:
    """Square to the direction at the mark; the chord of the track within reach decides."""
    at = passed(0, 0.0, course_deg=90.0, route_along_m=5000.0)
    held = senses(ONE, {0: [at]}, DOG_LEG, reach_m)
    found = held.reasons(at, None, [stated(0.0)], None)
    assert kinds(found) == [("CHART", sense)]
    turned = held.reasons(at, None, [stated(180.0)], None)
    assert kinds(turned) == [("CHART", {"with": "against"}.get(sense, sense))]


@pytest.mark.parametrize(("back_m", "sense"), [(745.0, "crossing"), (755.0, "with")])
def test_a_chord_too_short_to_tell(back_m: float, sense: str) -> None:
    """There and back, beside itself: the ends within reach lie nearer to each other than half of
    it, 750 m, and no chord tells; further apart, it does."""
    track = [(-2000.0, 0.0), (0.0, 0.0), (0.0, back_m), (-2000.0, back_m)]
    at = passed(0, 0.0, course_deg=90.0, route_along_m=2000.0 + back_m / 2.0)
    held = senses(ONE, {0: [at]}, track, 1500.0)
    found = held.reasons(at, None, [stated(0.0)], None)
    assert kinds(found) == [("CHART", sense)]


@pytest.mark.parametrize("rows_sense", [Sense.WITH, Sense.AGAINST])
def test_rows_count_where_nothing_better_does(rows_sense: Sense) -> None:
    said = [("EDGES", rows_sense.value)]
    assert kinds(reasons(edges=rows(rows_sense))) == said
    assert kinds(reasons(edges=rows(rows_sense), stated=[stated(0.0)])) == [("CHART", "with")]
    assert kinds(reasons(edges=rows(rows_sense, firm=False))) == []
    # Where blocks meet, a pair whose marks are abreast lets them stand, if it agrees.
    with_pair = reasons(edges=rows(rows_sense, firm=False), crossing=crossing(0.0))
    pair = [("PAIR", "with")]
    assert kinds(with_pair) == ([*said, *pair] if rows_sense is Sense.WITH else pair)
    slanting = reasons(edges=rows(rows_sense, firm=False), crossing=crossing(50.0))
    assert kinds(slanting) == pair


def test_a_line_counts_where_nothing_contradicts_it() -> None:
    assert kinds(reasons(line=line(Sense.WITH))) == [("LINE", "with")]
    agreeing = reasons(line=line(Sense.WITH), edges=rows(Sense.WITH))
    assert kinds(agreeing) == [("EDGES", "with"), ("LINE", "with")]
    assert agreeing.conflicts == ()
    differing = reasons(line=line(Sense.AGAINST), edges=rows(Sense.WITH))
    assert kinds(differing) == [("EDGES", "with")]
    assert differing.conflicts == (
        "the rows says that the track goes with the direction of buoyage, but the line leads in, "
        "which says against",
    )


def test_a_crossing_of_the_channel_contradicts_no_line() -> None:
    at = passed(0, 0.0, course_deg=90.0, route_along_m=2000.0)
    held = senses(ONE, {0: [at]}, [(-2000.0, 0.0), (2000.0, 0.0)])
    found = held.reasons(at, None, [stated(0.0)], None, line(Sense.WITH))
    assert kinds(found) == [("CHART", "crossing"), ("LINE", "with")]
    assert found.conflicts == ()


def row(
    numbers: Sequence[int], step_m: float = 1000.0
) -> tuple[list[Mark], dict[int, list[Minimum]]]:
    """Port-hand marks `step_m` apart northward, and their passes by the straight track."""
    marks = [mark((-100.0, n * step_m), P, f"Reach {number}") for n, number in enumerate(numbers)]
    return marks, {n: [passed(n, n * step_m)] for n in range(len(numbers))}


def test_numbers_against_a_stated_direction_are_told() -> None:
    marks, minima = row([2, 4, 6])
    held = senses(marks, minima)
    agreeing = held.reasons(minima[0][0], None, [stated(0.0)], None)
    assert kinds(agreeing) == [("CHART", "with"), ("NUMBERS", "with")]
    assert (agreeing.conflicts, agreeing.followed_run, agreeing.beside_run) == ((), True, False)
    found = held.reasons(minima[0][0], None, [stated(180.0)], rows(Sense.WITH))
    assert kinds(found) == [("CHART", "against"), ("NUMBERS", "with")]
    assert found.conflicts == (
        "the zone says that the track goes against the direction of buoyage, the numbers of the "
        "run 'reach' say with",
    )
    across = replace(minima[0][0], course_deg=90.0)
    held = senses(marks, {**minima, 0: [across]}, [(-30000.0, 0.0), (30000.0, 0.0)])
    crossed = held.reasons(across, None, [stated(0.0)], None)
    assert kinds(crossed)[0] == ("CHART", "crossing") and crossed.conflicts == ()
