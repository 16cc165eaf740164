"""Rules of an area that do not bar the way. Codes: IHO S-57, attribute 131, and later ones."""

from __future__ import annotations

import pytest

from routecheck.checks.local_restriction import local_restriction
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from tests.checks.areaviews import across, area, leg, near
from tests.checks.views import run


@pytest.mark.parametrize(
    ("restrictions", "title", "says"),
    [
        ((27,), "restricted area: speed restricted", "It binds a boat that passes."),
        ((1, 13), "restricted area: anchoring prohibited, no wake", "It binds a boat"),
        ((1, 3), "restricted area: anchoring prohibited, fishing prohibited", "does not bind"),
        ((16,), "restricted area: discharging prohibited", "does not bind"),
    ],
)
def test_notes(restrictions: tuple[int, ...], title: str, says: str) -> None:
    """a limit of speed across the corridor is a note, and so is a ban on anchoring"""
    (finding,) = run(local_restriction, leg(across(area(AreaKind.RESTRICTED, *restrictions))))
    assert (finding.severity, finding.title) == (Severity.NOTE, title)
    assert says in finding.explanation


@pytest.mark.parametrize("restrictions", [(7,), (8,), (14,), (99,), ()])
def test_what_may_bar_the_way_is_told_elsewhere(restrictions: tuple[int, ...]) -> None:
    assert run(local_restriction, leg(across(area(AreaKind.RESTRICTED, *restrictions)))) == []


def test_a_note_needs_the_corridor() -> None:
    assert run(local_restriction, leg(near(area(AreaKind.RESTRICTED, 27)))) == []
