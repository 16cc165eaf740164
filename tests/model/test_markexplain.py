"""The reasoning about one mark names everything that bears on it."""

from __future__ import annotations

from routecheck.model.markexplain import explain
from tests.buoys import charts, mark, met, passage, view, zone

UP = [(0.0, -3000.0), (0.0, 3000.0)]


def test_a_gate_passed_outside() -> None:
    marks = [
        mark((-150.0, 0.0), "port-hand", "Reach 3", colours=("red",)),
        mark((150.0, 0.0), "lateral", "Reach 4", colours=("green",)),
        mark((150.0, 1000.0), "starboard-hand", "Reach 6"),
        mark((150.0, 2000.0), "starboard-hand", "Reach 8"),
    ]
    outside = [(250.0, -3000.0), (250.0, 3000.0)]
    passes = met(outside, charts(marks, [zone(0.0, "A", name="sea")]))
    (one,) = [p for p in passes if p.mark.name == "Reach 4"]
    text = "\n".join(explain(one, view(passes), passage()))
    for part in (
        "starboard-hand mark Reach 4",
        "colours green",
        "Region A by cell (zone sea); taken as starboard-hand; charted as lateral",
        "left to port, 100 m off (near: 185 m)",
        "stated (chart): cell (zone sea) states the direction of buoyage 0°; the track goes with",
        "inferred (numbers of a run of marks): the numbers 3, 4, 6, 8",
        "only to confirm another ground (facing pair)",
        "run 'reach', which the track follows",
        "It faces Reach 3, 300 m off; their line is crossed 100 m outside",
        "Outcome: wrong; required starboard",
        "Finding: danger, outside the gate",
    ):
        assert part in text, part


def test_where_nothing_tells() -> None:
    (one,) = met(UP, charts([mark((100.0, 0.0), "port-hand")]))
    text = "\n".join(explain(one, view([one]), passage()))
    assert "nothing states it, and no marks tell it" in text
    assert "Region not known" in text and "To settle it: give --buoyage" in text


def test_a_cardinal() -> None:
    (one,) = met([(-3000.0, 0.0), (3000.0, 0.0)], charts([mark((0.0, 100.0), "north", "Top")]))
    text = "\n".join(explain(one, view([one]), passage()))
    assert "the track is south of the mark" in text
    assert "comes within 100 m" in text and "Direction of buoyage" not in text
