"""Gates of staggered marks where the scene is awkward: loops, other runs, marks on one spot."""

from __future__ import annotations

import math

import pytest

from routecheck.model.objects import MarkKind
from routecheck.model.passes import Sense
from tests.buoys import Place, charts, mark, met
from tests.survey.test_staggered_by_hand import REACH, ROWS, UP, WITH, bend, ends, gates

S = MarkKind.STARBOARD_HAND


def test_numbers_count_before_the_track() -> None:
    """8 is the last starboard-hand mark before 3; by the numbers the edge runs from 2 to 4."""
    where = {**REACH, "R 8": (150.0, 900.0)}
    assert ends(gates(where, UP, rows={"R 3": WITH}))["R 3"] == [("R 2", "R 4")]


def test_a_loop_over_the_line_of_a_gate() -> None:
    """Up, back and up again, 60 m further west each time: each pass has its own crossing."""
    loop = [(40.0, -1000.0), (40.0, 650.0), (-20.0, 650.0), (-20.0, 560.0), (-80.0, 560.0),
            (-80.0, 3000.0)]  # fmt: skip
    found = [gate.crossing for _, _, gate in gates(REACH, loop)["R 2"]]
    assert [c.share for c in found] == pytest.approx([190 / 300, 130 / 300, 70 / 300], abs=1e-3)
    assert [c.route_along_m for c in found] == pytest.approx([1600.0, 1760.0, 1900.0], abs=0.1)


def test_a_mark_that_the_track_ends_short_of_is_no_end_of_an_edge() -> None:
    short = [(40.0, -1000.0), (40.0, 1200.0)]
    assert gates(ROWS, short, rows={"pc": WITH}) == {}
    assert set(gates(ROWS, [short[0], (40.0, 1600.0)], rows={"pc": WITH})) == {"pc"}


@pytest.mark.parametrize(
    ("own", "bend_m"),
    [
        # From 30 degrees to starboard of north to 30 to port: 400 tan(30 deg).
        ([(-550.0, 307.2), (-150.0, 1000.0), (-550.0, 1692.8)], 230.94),
        ([(-150.0, 1000.0)] * 3, None),
    ],
)
def test_bends_of_the_marks_own_edge(own: list[Place], bend_m: float | None) -> None:
    found = bend(own)
    assert found == (None if bend_m is None else pytest.approx(bend_m, abs=0.3))


def test_the_next_on_its_edge_is_the_next_in_number_of_its_run() -> None:
    """3, 5 and 7 stand in line; 1 and 9 do not, nor does another run's 5a."""
    where = {
        "R 1": (-400.0, 700.0), "R 3": (-150.0, 600.0), "R 5": (-150.0, 1000.0),
        "R 7": (-150.0, 1400.0), "R 9": (-400.0, 1300.0), "Q 5a": (-300.0, 1100.0),
        "Q 3a": (-300.0, 900.0), "R 4": (150.0, 700.0), "R 6": (150.0, 1300.0),
    }  # fmt: skip
    for names in (list(where), list(where)[::-1]):
        ((_, _, gate),) = gates({name: where[name] for name in names}, UP)["R 5"]
        assert gate.bend_m == pytest.approx(0.0, abs=0.01)
    assert math.isclose(300.0, gate.crossing.pair.width_m, abs_tol=0.01)


def test_a_track_that_turns_further_on_bends_nothing_here() -> None:
    where = {**REACH, "R 9": (1000.0, 5000.0)}
    turning = [(40.0, -1000.0), (40.0, 3000.0), (1600.0, 6000.0)]
    ((_, _, gate),) = gates(where, turning)["R 3"]
    assert gate.bend_m == pytest.approx(0.0, abs=0.01)


def test_two_on_one_spot_make_no_edge() -> None:
    where = {"R 1": (-150.0, 600.0), "R 2": (150.0, 600.0), "R 3": (-150.0, 600.0)}
    assert gates(where, UP) == {}
    rows = {"pa": (-150.0, 600.0), "sb": (150.0, 600.0), "pc": (-150.0, 600.0)}
    assert gates(rows, UP, rows={"sb": (Sense.WITH, True)}) == {}


@pytest.mark.parametrize("kind", [MarkKind.PREFERRED_TO_PORT, MarkKind.LATERAL])
def test_marks_that_are_not_plainly_of_one_hand_have_no_staggered_gate(kind: MarkKind) -> None:
    places = {**REACH, "R 6": (150.0, 2500.0)}
    marks = [
        mark(place, kind if name == "R 6" else "port-hand" if int(name[2:]) % 2 else S, name)
        for name, place in places.items()
    ]
    found = {p.mark.name for p in met(UP, charts(marks)) if p.gate is not None}
    assert found == {"R 2", "R 3", "R 4"}
