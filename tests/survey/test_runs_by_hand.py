"""Numbers of marks, case by case: what a name says, which marks are one run, what order tells.

Names are invented, in the manner of published light lists; numbering from seaward is common
practice.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from routecheck.model.objects import Mark, MarkKind
from routecheck.model.passes import GroundKind, Sense
from routecheck.survey.runs import Member, Numbered, Runs, ground, numbered, sense_of
from tests.buoys import mark

P = MarkKind.PORT_HAND


@pytest.mark.parametrize(
    ("name", "strict", "number", "suffix"),
    [
        ("Reach Entrance Channel Approach 7", "reach entrance channel approach", 7, ""),
        ("Reach No 7", "reach", 7, ""),
        ("Reach Nr 7", "reach", 7, ""),
        ("Reach N7", "reach", 7, ""),
        ("Reach WR7", "reach", 7, ""),
        ("Reach num7", "reach num7", None, ""),  # three letters before it are no number's
        ("Reach ab7", "reach ab", 7, ""),
        ("Reach abc7", "reach abc7", None, ""),
        ("Reach 7abc", "reach", 7, "abc"),
        ("Reach 7abcd", "", None, ""),
        ("Reach 9999", "reach", 9999, ""),
        ("Reach 10000", "", None, ""),
        ("Reach 0007", "reach", 7, ""),
        ("Reach 7st", "", None, ""),
        ("1st Reach 7", "1st reach", 7, ""),
        ("2nd Reach 7", "2nd reach", 7, ""),
        ("4th Reach 7", "4th reach", 7, ""),
        ("Pier 3 Buoy 5 Light 12b", "pier 3 5", 12, "b"),
        ("12 Reach", "reach", 12, ""),
        ("Reach,7", "reach", 7, ""),
        ("Reach (7)", "reach", 7, ""),
        ("Reach_7/A", "reach a", 7, ""),
        ("Reach.7;Light:Bell#Gong°Horn\tWhistle  Mark", "reach", 7, ""),
        ("Lighted Buoys Beacon Daymark Daybeacon Marker Wreck Junction Reach 7", "reach", 7, ""),
        ("R" * 118 + " 7", "r" * 118, 7, ""),
        ("R" * 119 + " 7", "", None, ""),  # the 120th character is the blank
        ("R" * 118 + " 71", "r" * 118, 7, ""),
    ],
)
def test_what_a_name_says(name: str, strict: str, number: int | None, suffix: str) -> None:
    read = numbered(name)
    if number is None:
        assert read is None
        return
    assert read is not None
    assert (read.strict, read.number, read.suffix) == (strict, number, suffix)
    places = {"entrance", "channel", "approach"}
    assert read.loose == " ".join(w for w in strict.split() if w not in places)
    assert read.order == (number, suffix)
    assert read.label == f"{number}{suffix.upper()}"


def marks(*names: str, kind: MarkKind = P) -> list[Mark]:
    return [mark((100.0 * n, 0.0), kind, name) for n, name in enumerate(names)]


def test_runs_of_lateral_marks_alone() -> None:
    held = Runs(
        [
            *marks("Reach 1", "Reach Entrance 3", "", "Perch"),
            mark((900.0, 0.0), MarkKind.NORTH, "Reach 5"),
            mark((950.0, 0.0), MarkKind.LATERAL, "Reach 7"),
            mark((970.0, 0.0), MarkKind.PREFERRED_TO_PORT, "Strait 9"),
        ]
    )
    assert {n: read.number for n, read in held.numbered.items()} == {0: 1, 1: 3, 5: 7, 6: 9}
    assert held.members(0, "loose") == held.members(1, "loose") == [0, 1, 5]
    assert held.members(0, "strict") == [0, 5] and held.members(1, "strict") == [1]
    assert held.members(6, "loose") == held.members(6, "strict") == [6]


def test_a_run_has_a_name_from_three_marks_on() -> None:
    held = Runs(marks("Reach 1", "Reach Channel 3", "Reach 5", "Strait 1", "Strait 3", "Perch"))
    assert [held.name(n) for n in range(6)] == ["reach"] * 3 + ["", "", ""]
    assert [Runs(marks("1", "No 2", "3")).name(n) for n in range(3)] == ["(number alone)"] * 3


def test_which_two_are_of_one_run() -> None:
    held = Runs(marks("Reach 1", "Reach Entrance 3", "Strait 5", "Perch", "Stump"))
    same = {(i, j) for i in range(5) for j in range(5) if held.same(i, j)}
    assert same == {(n, n) for n in range(5)} | {(0, 1), (1, 0), (3, 4), (4, 3)}


def member(index: int, number: str, along_m: float, beside_m: float = 0.0) -> Member:
    """On a line that runs along the x axis, unless the mark stands `beside_m` off it."""
    digits = number.rstrip("ABC")
    read = Numbered(
        strict="reach", loose="reach", number=int(digits), suffix=number[len(digits) :].lower()
    )
    return Member(index=index, numbered=read, along_m=along_m, x_m=along_m, y_m=beside_m)


def said(numbers: Sequence[tuple[str, float]], index: int = 0) -> Sense | None:
    """In any order, and turned round: the opposite."""
    there = [member(n, number, along_m) for n, (number, along_m) in enumerate(numbers)]
    back = [member(n, number, -along_m) for n, (number, along_m) in enumerate(numbers)]
    forward = sense_of(there, index)
    assert sense_of(there[::-1], index) is forward
    turned = {Sense.WITH: Sense.AGAINST, Sense.AGAINST: Sense.WITH, None: None}
    assert sense_of(back, index) is (turned[forward] if forward is not None else None)
    return forward


@pytest.mark.parametrize(
    ("numbers", "sense"),
    [
        ([("1", 0.0), ("3", 100.0), ("5", 200.0)], Sense.WITH),
        ([("1", 200.0), ("3", 100.0), ("5", 0.0)], Sense.AGAINST),
        ([("1", 0.0), ("3", 0.4), ("5", 0.8)], Sense.WITH),
        ([("1", 0.0), ("3", 100.0)], None),  # it takes three
        ([("1", 0.0), ("3", 200.0), ("5", 100.0)], None),  # out of order
        ([("1", 0.0), ("3", 100.0), ("3", 200.0)], None),  # one number twice
        ([("3", 0.0), ("3A", 100.0), ("3B", 200.0)], Sense.WITH),
        ([("3", 0.0), ("3B", 100.0), ("3A", 200.0)], None),
        ([("3A", 0.0), ("4A", 100.0), ("5A", 200.0)], None),  # two on one side are one comparison
        # Odd and even need not keep step, up to three numbers apart ...
        ([("1", 0.0), ("4", -100.0), ("3", 100.0), ("6", 50.0)], Sense.WITH),
        # ... from five on they must.
        ([("1", 0.0), ("6", 100.0), ("5", 50.0)], Sense.WITH),
        ([("1", 0.0), ("6", -100.0), ("5", 50.0)], None),
        ([("1", 0.0), ("6", 50.0), ("8", 100.0), ("7", 60.0)], Sense.WITH),
        ([("1", 0.0), ("2", 50.0), ("4", 100.0)], None),  # of mark 1 nothing is compared
    ],
)
def test_order_along_the_track(numbers: list[tuple[str, float]], sense: Sense | None) -> None:
    assert said(numbers) is sense


def test_the_mark_itself_must_be_among_those_compared() -> None:
    numbers = [("1", 0.0), ("3", 100.0), ("5", 200.0), ("4", 150.0)]
    assert [said(numbers, n) for n in range(4)] == [Sense.WITH] * 3 + [None]
    assert said(numbers, 9) is None


@pytest.mark.parametrize("beside_m", [0.0, 172.0, -172.0, 174.0, -174.0, 340.0])
def test_marks_abreast_of_each_other_are_not_compared(beside_m: float) -> None:
    """5 stands 100 m before 3 along the track, which contradicts 10, far beyond both; unless it
    stands sqrt(3) * 100 m = 173.2 m or more beside, where it is abreast of 3."""
    members = [member(0, "3", 0.0), member(1, "5", -100.0, beside_m), member(2, "10", 300.0)]
    abreast = abs(beside_m) > 173.2
    for order in (members, members[::-1]):
        assert sense_of(order, 2) is (Sense.WITH if abreast else None)
    sideways = [Member(index=m.index, numbered=m.numbered, along_m=m.along_m, x_m=m.y_m, y_m=m.x_m)
                for m in members]  # fmt: skip
    assert sense_of(sideways, 2) is (Sense.WITH if abreast else None)


@pytest.mark.parametrize(("along_m", "sense"), [(15.0, Sense.WITH), (14.9, None)])
def test_half_their_distance_along_is_not_abreast(along_m: float, sense: Sense | None) -> None:
    """In a row whose marks stand 30 m apart, each `along_m` further along than the last."""
    row = [
        Member(
            index=n,
            numbered=member(n, str(1 + 2 * n), 0.0).numbered,
            along_m=n * along_m,
            x_m=30.0 * n,
            y_m=0.0,
        )
        for n in range(3)
    ]
    assert sense_of(row, 0) is sense


def test_two_at_one_place_are_not_compared() -> None:
    assert said([("1", 0.0), ("3", 0.0), ("5", 0.0)]) is None
    assert said([("1", 0.0), ("3", 0.0), ("5", 100.0)]) is Sense.WITH


def test_the_reason_in_words() -> None:
    members = [member(n, number, 0.0) for n, number in enumerate(("78A", "8", "79"))]
    up = ground(members, Sense.WITH, "long reach")
    assert (up.kind, up.sense) == (GroundKind.NUMBERS, Sense.WITH)
    assert up.text == "the numbers 8, 78A, 79 of the run 'long reach' ascend along the track"
    down = ground(members, Sense.AGAINST, "")
    assert down.sense is Sense.AGAINST
    assert down.text == "the numbers 79, 78A, 8 descend along the track"
