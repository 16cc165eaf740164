"""Areas for which special conditions exist.

The list: IMO Res. MSC.232(82), appendix 4, as IHO S-52 PresLib 4.0, 10.5.10, maps it to classes.
"""

from __future__ import annotations

import pytest

from routecheck.checks.special_conditions import special_conditions
from routecheck.model.areas import AreaKind
from routecheck.model.chart import Severity
from routecheck.model.period import Period
from tests.checks.areaviews import POINT, across, area, leg, near, timed
from tests.checks.views import run

APPENDIX_4 = (
    AreaKind.RESTRICTED, AreaKind.CAUTION, AreaKind.OFFSHORE, AreaKind.MILITARY,
    AreaKind.SEAPLANES, AreaKind.SUBMARINES, AreaKind.ANCHORAGE,
)  # fmt: skip


@pytest.mark.parametrize("kind", APPENDIX_4)
def test_each_of_the_list(kind: AreaKind) -> None:
    """an anchorage across the corridor is a caution, one beside it says nothing"""
    (finding,) = run(special_conditions, leg(across(area(kind))))
    assert finding.severity is Severity.CAUTION
    assert finding.title == f"{kind.value} in the corridor"
    (belt,) = run(special_conditions, leg(near(area(kind))))
    assert belt.severity is Severity.CAUTION
    assert belt.title == f"{kind.value} may reach into the corridor"
    assert run(special_conditions, leg()) == []


def test_a_particularly_sensitive_sea_area_whatever_is_restricted_there() -> None:
    # CATREA 28: S-101 feature catalogue 2.1.0
    thing = area(AreaKind.RESTRICTED, 1, 16, categories=(28,))
    (finding,) = run(special_conditions, leg(across(thing)))
    assert "particularly sensitive sea area" in finding.explanation


@pytest.mark.parametrize("restrictions", [(1, 3), (16,), (13,)])
def test_a_ban_on_anchoring_or_discharge_alone_is_no_caution(restrictions: tuple[int, ...]) -> None:
    assert run(special_conditions, leg(across(area(AreaKind.RESTRICTED, *restrictions)))) == []


def test_an_anchor_berth_is_a_point() -> None:
    thing = area(AreaKind.ANCHOR_BERTH, geometry=POINT, name="5")
    (finding,) = run(special_conditions, leg(across(thing)))
    assert finding.title == "anchor berth 5 in the corridor"


def test_a_caution_area_says_why_or_says_that_the_chart_does_not() -> None:
    told = area(AreaKind.CAUTION, information="Fish trap areas and structures")
    (finding,) = run(special_conditions, leg(across(told)))
    assert "“Fish trap areas and structures”" in finding.explanation
    (mute,) = run(special_conditions, leg(across(area(AreaKind.CAUTION))))
    assert "does not say of what" in mute.explanation


def test_out_of_its_season_it_is_a_note() -> None:
    closed = Period(date_start="20271001", date_end="20271031")
    thing = area(AreaKind.MILITARY, period=closed)
    (finding,) = run(special_conditions, leg(across(thing)), timed("2027-05-14T12:00"))
    assert finding.severity is Severity.NOTE
    assert run(special_conditions, leg(near(thing)), timed("2027-05-14T12:00")) == []


@pytest.mark.parametrize(
    ("category", "what"),
    # IHO S-57 ed. 3.1, attribute 56 (CATREA), and the S-101 feature catalogue 2.1.0 for later ones.
    [(9, "military area"), (12, "aid to navigation"), (18, "swim"), (19, "wait"), (21, "Dredgers"),
     (25, "swing"), (27, "environmentally sensitive"), (28, "particularly sensitive"),
     (29, "tugs or pilots"), (30, "security"), (31, "coral"), (32, "recreation")],
)  # fmt: skip
def test_what_a_restricted_area_is_for(category: int, what: str) -> None:
    thing = area(AreaKind.RESTRICTED, categories=(category,))
    (finding,) = run(special_conditions, leg(across(thing)))
    assert what in finding.explanation
    assert "What is restricted is not charted" not in finding.explanation


@pytest.mark.parametrize(
    ("kind", "information", "says"),
    [
        (AreaKind.OFFSHORE, "", "Platforms and moorings"),
        (AreaKind.INCINERATION, "", "Vessels burn waste here"),
        (AreaKind.CAUTION, "Divers", "The chart warns of something here. The track"),
        (AreaKind.ANCHORAGE, "Small craft", "Vessels lie at anchor here"),
    ],
)
def test_other_kinds_say_what_goes_on(kind: AreaKind, information: str, says: str) -> None:
    (finding,) = run(special_conditions, leg(across(area(kind, information=information))))
    assert finding.explanation.startswith(says)
