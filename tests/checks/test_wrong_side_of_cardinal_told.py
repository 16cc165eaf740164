"""What is told of a cardinal mark, and that the other kinds and faults are told elsewhere."""

from __future__ import annotations

from typing import Any

import pytest

from routecheck.checks.mark_too_close_to_call import mark_too_close_to_call
from routecheck.checks.marked_danger_too_close import marked_danger_too_close
from routecheck.checks.wrong_side_of_cardinal import wrong_side_of_cardinal
from routecheck.checks.wrong_side_of_mark import wrong_side_of_mark
from routecheck.model.passes import Ground, GroundKind, MarkPass, Sense
from tests.checks.markviews import leg_with, mark_pass, stands_at_mark
from tests.checks.views import run

WITH = Ground(kind=GroundKind.CHART, sense=Sense.WITH, text="direction of buoyage 0°")
ACROSS = Ground(kind=GroundKind.CHART, sense=Sense.CROSSING, text="direction of buoyage 90°")
CHECKS = {
    "cardinal": wrong_side_of_cardinal,
    "side": wrong_side_of_mark,
    "call": mark_too_close_to_call,
    "danger": marked_danger_too_close,
}
FAR_M = 185.3
"""Just further off than near, which is 0.1 nmi or the corridor."""


def lateral(kind: str = "port-hand", **facts: Any) -> MarkPass:
    return mark_pass(kind, **{"grounds": (WITH,), **facts})


CALLED = "port-hand mark Deep"
CASES: list[tuple[MarkPass, str, str, str]] = [
    (mark_pass("north", opposite_m=150.0), "cardinal", "danger",
     "north mark Deep: the track goes on the wrong side of it"),
    (mark_pass("west", name="", opposite_m=200.0, distance_m=200.0), "cardinal", "caution",
     "west mark without a name: the track goes on the wrong side of it"),
    (mark_pass("north", contradiction="yellow over yellow"), "cardinal", "not-assessed",
     "north mark Deep: its proper side is not known"),
    (mark_pass("north", in_corridor=True), "call", "caution",
     "north mark Deep 100 m off stands in the corridor"),
    (mark_pass("north", distance_m=5.0), "call", "caution",
     "north mark Deep 5 m off: too close to call a side"),
    (lateral(), "side", "danger", f"{CALLED} left to starboard: its side is port"),
    (lateral(distance_m=FAR_M), "side", "caution", f"{CALLED} left to starboard: its side is port"),
    (lateral(grounds=()), "side", "not-assessed",
     f"{CALLED} left to starboard: its proper side is not known"),
    (lateral(grounds=(ACROSS,)), "side", "note", f"{CALLED} passed while crossing the channel"),
    (lateral("preferred-channel-to-starboard"), "side", "note",
     "preferred-channel-to-starboard mark Deep left to starboard: the secondary channel"),
    (lateral(distance_m=4.6), "call", "caution",
     f"{CALLED} 5 m off: too close to call a side"),
    (lateral("starboard-hand", in_corridor=True), "call", "caution",
     "starboard-hand mark Deep 100 m off stands in the corridor"),
    (lateral("preferred-channel-to-starboard", in_corridor=True), "call", "caution",
     "preferred-channel-to-starboard mark Deep 100 m off stands in the corridor"),
    (mark_pass(in_corridor=True), "call", "note",
     "special mark Deep 100 m off stands in the corridor"),
    (mark_pass("safe-water", in_corridor=True, floating=False), "call", "caution",
     "safe-water mark Deep 100 m off stands in the corridor"),
    (mark_pass("isolated-danger", distance_m=99.6), "danger", "caution",
     "isolated-danger mark Deep 100 m off"),
    (mark_pass("emergency-wreck"), "danger", "danger", "emergency-wreck mark Deep 100 m off"),
]  # fmt: skip
QUIET = [
    mark_pass("north"),
    mark_pass("north", contradiction="yellow over yellow", distance_m=FAR_M),
    lateral("starboard-hand"),
    lateral(grounds=(), distance_m=FAR_M),
    mark_pass(),
    mark_pass("safe-water"),
    mark_pass("isolated-danger", distance_m=800.0),
]


@pytest.mark.parametrize("case", range(len(CASES)))
def test_each_is_told_by_one_check(case: int) -> None:
    met, name, severity, title = CASES[case]
    # What stands before it is told of, and after it nothing is, in the same leg.
    others = [one[0] for one in CASES if one[1] != name]
    on = leg_with(*others, met, *QUIET)
    (one,) = run(CHECKS[name], on)
    assert (one.severity, one.title) == (severity, title)
    assert (one.check, one.object_key) == (title_of(name), met.mark.key)
    stands_at_mark(one, met)
    told = [name for name, check in CHECKS.items() if run(check, leg_with(met))]
    assert told == [name]


def title_of(name: str) -> str:
    return CHECKS[name].__name__.replace("_", "-")


@pytest.mark.parametrize("check", CHECKS.values(), ids=CHECKS)
def test_each_of_its_marks_is_told_in_their_order(check: Any) -> None:
    own = [one for one in CASES if CHECKS[one[1]] is check]
    mixed = [met for pair in zip(own, QUIET * 2, strict=False) for met in (pair[0][0], pair[1])]
    assert [one.title for one in run(check, leg_with(*mixed))] == [one[3] for one in own]
    assert run(check, leg_with(*QUIET)) == []


@pytest.mark.parametrize(
    ("named", "opposite"),
    [("north", "south"), ("east", "west"), ("south", "north"), ("west", "east")],
)
@pytest.mark.parametrize(
    ("name", "facts"),
    [
        ("cardinal", {"opposite_m": 150.0}),
        ("call", {"in_corridor": True}),
    ],
    ids=["wrongly passed", "rightly passed"],
)
def test_where_the_danger_lies(named: str, opposite: str, name: str, facts: dict[str, Any]) -> None:
    """R1001, cardinal marks: the water is good on the named side of the mark. The sentence says
    where the danger lies from the mark, not from the boat."""
    bearing_deg = ("north", "east", "south", "west").index(named) * 90.0
    met = mark_pass(named, track_bearing_deg=bearing_deg, **facts)
    (one,) = run(CHECKS[name], leg_with(met))
    article = "An" if named == "east" else "A"
    assert one.explanation.startswith(
        f"{article} {named} cardinal mark is passed to the {named} of it, for the danger lies "
        f"{opposite} of the mark; "
    )
