"""The reasoning about one mark: which mark is meant, and every pass of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from routecheck.judgement import judge
from routecheck.model.boat import Boat
from routecheck.model.finding import Report
from routecheck.survey.settings import SurveySettings
from routecheck.survey.survey import survey
from routecheck.writers.explanation import explanations, no_such_mark, to_explanation
from routecheck.writers.wording.names import plain
from tests.buoys import charts, mark, route, zone

# Two legs that pass "Reach 4" twice, and two marks of one name.
TRACK = [(0.0, -3000.0), (0.0, 3000.0), (300.0, 3000.0), (300.0, -3000.0)]
MARKS = [
    mark((-150.0, -2000.0), "port-hand", "Twin"),
    mark((150.0, 0.0), "starboard-hand", "Reach 4"),
    mark((-150.0, 2000.0), "port-hand", "Twin"),
    mark((150.0, 2500.0), "special", "Fog\x1b[31m signal 2"),
]


@pytest.fixture(scope="module")
def report() -> Report:
    held = charts(MARKS, [zone(0.0, "A")])
    settings = SurveySettings(cross_track_m=50.0, mark_far_m=740.8)
    _, views = survey(route(TRACK), held, settings)
    return judge(route(TRACK), views, held, Boat(name="test", draught_m=2.0))


def heads(text: str) -> list[str]:
    return [line for line in text.splitlines() if line[:1].isdigit()]


def test_every_number_of_the_list_is_the_mark_of_that_row(report: Report) -> None:
    assert len(report.marks) >= 6
    for number, row in enumerate(report.marks, start=1):
        (head,) = heads(to_explanation(report, str(number), width=300))
        assert head.startswith(f"{number}. {row.kind} mark") and plain(row.key) in head
        text = " ".join(to_explanation(report, str(number), width=300).split())
        assert f"left to {row.side_passed}" in text and f"Outcome: {row.outcome}" in text


def test_a_mark_passed_twice_is_told_twice(report: Report) -> None:
    text = to_explanation(report, "reach  4")
    assert len(heads(text)) == 2
    assert "Outcome: right" in text and "the track goes against it" in " ".join(text.split())


def test_a_key_is_one_mark_and_a_name_may_be_two(report: Report) -> None:
    by_key = heads(to_explanation(report, MARKS[0].key, width=300))
    by_name = heads(to_explanation(report, "TWIN", width=300))
    assert {MARKS[0].key in head for head in by_key} == {True}
    assert len(by_name) == 2 * len(by_key)


def test_a_part_of_a_name_will_do_where_nothing_is_called_so(report: Report) -> None:
    assert len(heads(to_explanation(report, "win"))) == len(heads(to_explanation(report, "Twin")))
    # "4" is a number of the list, so it does not also mean every name with a 4 in it.
    assert len(heads(to_explanation(report, "4"))) == 1


def test_no_line_is_wider_than_asked_and_no_name_steers_the_screen(report: Report) -> None:
    text = explanations([report], "fog", width=60)
    assert heads(text) and "\x1b" not in text
    assert max(map(len, text.splitlines())) <= 60
    assert "no substitute" in " ".join(text.split())


@pytest.mark.parametrize("wanted", ["", "  ", "0", "99", "Nothing", "\x1b[2J"])
def test_no_such_mark_is_one_line(report: Report, wanted: str) -> None:
    assert explanations([report], wanted) == ""
    line = no_such_mark([report], wanted)
    assert "\n" not in line and "\x1b" not in line and "the track meets no mark" in line


def test_the_nearest_names_are_told(report: Report) -> None:
    assert "'Reach 4'" in no_such_mark([report], "Reech 4")
    assert "meets none at all" in no_such_mark([replace(report, marks=())], "Twin")
