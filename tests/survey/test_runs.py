"""Numbers of marks: what a name says, and the sense that a run gives.

Names are invented, in the manner of published light lists; numbering from seaward is common
practice.
"""

from __future__ import annotations

import pytest

from routecheck.model.chart import Severity
from routecheck.model.finding import MarkOutcome
from routecheck.model.objects import Mark, MarkKind
from routecheck.model.passes import GroundKind, MarkPass, Sense
from routecheck.survey.runs import numbered
from tests.buoys import Place, charts, judged, mark, met, zone

RED, GREEN = MarkKind.STARBOARD_HAND, MarkKind.PORT_HAND  # region B


@pytest.mark.parametrize(
    ("name", "loose", "label"),
    [
        ("Long Reach Lighted Buoy 10", "long reach", "10"),
        ("Long Reach Entrance Light 2", "long reach", "2"),
        ("Long Reach Channel Daybeacon 5A", "long reach", "5A"),
        ("Long Reach Lighted Wreck Buoy WR79B", "long reach", "79B"),
        ("Long Reach Buoy 1LR", "long reach", "1LR"),
        ("S5", "s", "5"),
        ("No 4", "", "4"),
        ("No.4", "", "4"),
        ("No2", "", "2"),
        ("Can 3", "can", "3"),
        ("Pier 3 Buoy 12", "pier 3", "12"),
    ],
)
def test_names_with_numbers(name: str, loose: str, label: str) -> None:
    read = numbered(name)
    assert read is not None
    assert (read.loose, read.label) == (loose, label)


@pytest.mark.parametrize(
    "name", ["", "Long Reach Junction Light", "Limit Buoy A", "3rd Bank", "12345", "x" * 10_000]
)
def test_names_without_a_number(name: str) -> None:
    assert numbered(name) is None


def channel(numbers: dict[int | str, Place], name: str = "Long Reach") -> list[Mark]:
    """Odd numbers green, even red."""
    made = []
    for number, place in numbers.items():
        even = int(str(number).strip("ABC")) % 2 == 0
        made.append(mark(place, RED if even else GREEN, f"{name} Buoy {number}"))
    return made


STRAIGHT: dict[int | str, Place] = {
    1: (-200.0, 500.0),
    2: (200.0, 700.0),
    3: (-200.0, 1500.0),
    4: (200.0, 1300.0),
    5: (-200.0, 2500.0),
    6: (200.0, 2300.0),
}
UP = [(0.0, 0.0), (0.0, 3000.0)]


def senses(places: list[Place], marks: list[Mark]) -> dict[str, Sense | None]:
    def by_numbers(one: MarkPass) -> Sense | None:
        return next((g.sense for g in one.grounds if g.kind is GroundKind.NUMBERS), None)

    return {p.mark.name.rsplit(" ", 1)[-1]: by_numbers(p) for p in met(places, charts(marks))}


def test_ascending_is_with_and_descending_against() -> None:
    """Also where the two sides are out of step: 4 stands before 3, and 6 before 5."""
    marks = channel(STRAIGHT)
    assert set(senses(UP, marks).values()) == {Sense.WITH}
    assert set(senses(UP[::-1], marks).values()) == {Sense.AGAINST}


def test_words_for_the_kind_of_mark_do_not_part_a_run() -> None:
    marks = channel(STRAIGHT)
    marks[0] = mark(STRAIGHT[1], GREEN, "Long Reach Entrance Lighted Buoy 1")
    marks[2] = mark(STRAIGHT[3], GREEN, "Long Reach Channel Daybeacon 3")
    (first, *_) = met(UP, charts(marks))
    assert first.run == "long reach" and first.followed_run
    assert set(senses(UP, marks).values()) == {Sense.WITH}


def test_it_takes_three_of_a_run() -> None:
    two = channel({1: STRAIGHT[1], 3: STRAIGHT[3]})
    assert set(senses(UP, two).values()) == {None}
    two_runs = two + channel({5: STRAIGHT[5]}, "Short Reach")
    assert set(senses(UP, two_runs).values()) == {None}


def test_numbers_out_of_order_say_nothing() -> None:
    marks = channel({1: (-200.0, 500.0), 3: (-200.0, 2500.0), 5: (-200.0, 1500.0)})
    assert set(senses(UP, marks).values()) == {None}


def test_one_number_twice_says_nothing() -> None:
    """Two creeks of one name, or a run that restarts."""
    marks = [*channel(STRAIGHT), mark((300.0, 900.0), RED, "Long Reach Light 2")]
    assert senses(UP, marks)["1"] is None
    abreast = [*channel(STRAIGHT), mark((600.0, 700.0), RED, "Long Reach Light 2")]
    assert senses(UP, abreast)["1"] is None


def test_a_letter_comes_after_its_number() -> None:
    marks = channel({"8": (200.0, 500.0), "8A": (200.0, 1500.0), "10": (200.0, 2500.0)})
    assert set(senses(UP, marks).values()) == {Sense.WITH}


def test_a_track_that_turns_back_goes_with_it_and_then_against_it() -> None:
    marks = channel(STRAIGHT)
    there_and_back = [(0.0, 0.0), (0.0, 3000.0), (50.0, 3000.0), (50.0, 0.0)]
    found = met(there_and_back, charts(marks))
    for leg, sense in ((1, Sense.WITH), (3, Sense.AGAINST)):
        assert {p.grounds[0].sense for p in found if p.leg == leg} == {sense}


def test_a_short_track_is_prolonged_to_the_neighbours_in_number() -> None:
    """Only 3 and 4 lie near the track; 1, 2, 5 and 6 stand ahead and astern of it."""
    short = [(0.0, 1200.0), (0.0, 1600.0)]
    assert set(senses(short, channel(STRAIGHT)).values()) == {Sense.WITH}
    assert set(senses(short[::-1], channel(STRAIGHT)).values()) == {Sense.AGAINST}


def test_a_track_across_the_run_learns_nothing_from_it() -> None:
    across = [(-2000.0, 1400.0), (2000.0, 1400.0)]
    found = senses(across, channel(STRAIGHT))
    assert len(found) >= 2 and set(found.values()) == {None}
    slanting = [(-2000.0, 1100.0), (2000.0, 1700.0)]  # each mark is a little further along
    found = senses(slanting, channel(STRAIGHT))
    assert len(found) >= 2 and set(found.values()) == {None}


def test_followed_run_needs_three_near_the_track() -> None:
    wide = {n: (4.5 * x, y) for n, (x, y) in STRAIGHT.items()}
    assert {p.followed_run for p in met(UP, charts(channel(wide)), far_m=1000.0)} == {True}
    far_off = {**wide, 4: (700.0, 1300.0)}
    (four,) = (p for p in met(UP, charts(channel(far_off))))
    assert four.grounds[0].sense is Sense.WITH and not four.followed_run


def test_a_channel_that_lies_wholly_beside_the_track_is_another() -> None:
    """Both its edges to starboard, beyond the reach of its gates: cautions; one edge to port and
    the other to starboard, or one edge alone: the track follows the run, and they are dangers."""
    beside: dict[int | str, Place] = {n: (x / 2.0 + 400.0, y) for n, (x, y) in STRAIGHT.items()}
    split: dict[int | str, Place] = {n: (-1.5 * x, y) for n, (x, y) in STRAIGHT.items()}
    alone = {n: place for n, place in beside.items() if int(n) % 2}
    for places, severity in (
        (beside, Severity.CAUTION),
        (split, Severity.DANGER),
        (alone, Severity.DANGER),
    ):
        wrong = [
            said.severity
            for one in met(UP, charts(channel(places), [zone(0.0)]))
            if (said := judged(one)).outcome is MarkOutcome.WRONG
        ]
        assert len(wrong) >= 3
        assert set(wrong) == {severity}
