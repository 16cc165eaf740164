"""Areas that nobody may enter, or not without leave."""

from __future__ import annotations

import pytest

from routecheck.checks.entry_prohibited import entry_prohibited
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.period import Period
from tests.checks.areaviews import across, area, beside, leg, near, timed
from tests.checks.views import run

DANGER, CAUTION, NOTE = Severity.DANGER, Severity.CAUTION, Severity.NOTE


@pytest.mark.parametrize(
    ("restrictions", "categories", "severity", "title"),
    [
        ((7,), (), DANGER, "restricted area: entry prohibited"),
        ((1, 7), (), DANGER, "restricted area: entry prohibited"),
        ((8,), (), CAUTION, "restricted area: entry restricted"),
        ((42,), (), CAUTION, "restricted area: power-driven vessels prohibited"),
        ((), (14,), DANGER, "restricted area: minefield"),
        ((1,), (14,), DANGER, "restricted area: minefield"),
        ((), (1,), DANGER, "restricted area: safety zone"),
        ((8,), (1,), CAUTION, "restricted area: entry restricted"),
        ((0,), (), CAUTION, "restricted area: a restriction that cannot be read"),
        ((1, 77), (), CAUTION, "restricted area: restriction 77"),
    ],
)
def test_what_is_restricted(
    restrictions: tuple[int, ...], categories: tuple[int, ...], severity: Severity, title: str
) -> None:
    """entry prohibited across the corridor is a danger, entry restricted a caution"""
    thing = area(AreaKind.RESTRICTED, *restrictions, categories=categories)
    (finding,) = run(entry_prohibited, leg(across(thing)))
    assert (finding.severity, finding.title) == (severity, title)


@pytest.mark.parametrize("restrictions", [(1, 3), (14,), (13, 27), ()])
def test_other_restrictions_are_told_elsewhere(restrictions: tuple[int, ...]) -> None:
    assert run(entry_prohibited, leg(across(area(AreaKind.RESTRICTED, *restrictions)))) == []


def test_the_corridor_alone_is_enough_and_its_uncertainty_a_caution() -> None:
    thing = area(AreaKind.MILITARY, 7, name="Range 4")
    (touched,) = run(entry_prohibited, leg(beside(thing)))
    assert touched.severity is DANGER
    assert "50 m to starboard" in touched.explanation
    (belt,) = run(entry_prohibited, leg(near(thing)))
    assert belt.severity is CAUTION
    assert "only known to 40 m" in belt.explanation


def test_out_of_season_it_is_a_note_and_in_season_a_danger() -> None:
    season = Period(season_start="--0401", season_end="--0731")
    thing = area(AreaKind.RESTRICTED, 7, period=season)
    (winter,) = run(entry_prohibited, leg(across(thing)), timed("2027-12-24T12:00"))
    assert winter.severity is NOTE and "not in force" in winter.title
    (summer,) = run(entry_prohibited, leg(across(thing)), timed("2027-05-14T12:00"))
    assert summer.severity is DANGER and "1 April to 31 July" in summer.explanation
    (clockless,) = run(entry_prohibited, leg(across(thing)))
    assert clockless.severity is DANGER and "counts as in force" in clockless.explanation
    assert clockless.settle == "give --depart and a speed"


def test_the_text_of_the_chart_and_the_part_of_the_track_stand_in_the_finding() -> None:
    thing = area(AreaKind.RESTRICTED, 4, 8, information="33 CFR 334.170", status=(5,))
    (finding,) = run(entry_prohibited, leg(across(thing)))
    assert "“33 CFR 334.170”" in finding.explanation
    assert "Charted: fishing restricted, entry restricted." in finding.explanation
    assert "Charted as periodic." in finding.explanation
    assert "0.54 nmi in all" in finding.explanation
    assert finding.sums["track_inside_m"] == 1000.0
