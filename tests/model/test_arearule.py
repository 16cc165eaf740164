"""Which check tells of which area, by its class, category and restrictions.

Codes: IHO S-57 edition 3.1, appendix A, RESTRN (attribute 131) and CATREA (56), and their later
codes in the S-101 feature catalogue 2.1.0.
"""

from __future__ import annotations

from typing import Any

import pytest

from routecheck.model import restriction
from routecheck.model.arearule import Fault, faults_of
from routecheck.model.areas import AreaKind as K
from tests.checks.areaviews import area

F = Fault


@pytest.mark.parametrize(
    ("kind", "restrictions", "categories", "expected"),
    [
        # Restricted areas by what is restricted: RESTRN is a list, one member is enough.
        (K.RESTRICTED, (7,), (), {F.ENTRY}),
        (K.RESTRICTED, (1, 3, 8), (), {F.ENTRY}),
        (K.RESTRICTED, (14,), (), {F.TO_BE_AVOIDED}),
        (K.RESTRICTED, (1, 14), (), {F.TO_BE_AVOIDED}),
        (K.RESTRICTED, (7, 14), (), {F.ENTRY}),  # the graver
        (K.RESTRICTED, (42,), (), {F.ENTRY}),  # power-driven vessels prohibited
        (K.RESTRICTED, (99,), (), {F.ENTRY}),  # a code that nobody knows may bar the way
        (K.RESTRICTED, (restriction.UNREAD,), (), {F.ENTRY}),
        (K.RESTRICTED, (1, 3), (), {F.LOCAL}),
        (K.RESTRICTED, (16,), (), {F.LOCAL}),
        (K.RESTRICTED, (13,), (), {F.LOCAL}),
        (K.RESTRICTED, (27,), (24,), {F.LOCAL}),
        (K.RESTRICTED, (), (), {F.SPECIAL}),  # nothing says what is restricted
        # … and by category
        (K.RESTRICTED, (), (1,), {F.ENTRY}),  # offshore safety zone
        (K.RESTRICTED, (8,), (1,), {F.ENTRY}),
        (K.RESTRICTED, (1,), (1,), {F.SPECIAL}),  # what is stated holds
        (K.RESTRICTED, (1,), (14,), {F.ENTRY}),  # minefield
        (K.RESTRICTED, (), (14,), {F.ENTRY}),
        (K.RESTRICTED, (1,), (4,), {F.LOCAL}),  # nature reserve without anchoring
        (K.RESTRICTED, (), (4,), {F.SPECIAL}),
        (K.RESTRICTED, (1,), (28,), {F.SPECIAL}),  # PSSA: on IMO's list whatever is restricted
        (K.RESTRICTED, (1, 9, 12, 22), (10,), {F.LOCAL}),  # historic wreck
        (K.RESTRICTED, (1,), (21,), {F.SPECIAL}),  # dredging area
        # Other classes of appendix 4, with a restriction and without.
        (K.MILITARY, (), (), {F.SPECIAL}),
        (K.MILITARY, (8,), (), {F.ENTRY}),
        (K.ANCHORAGE, (27,), (), {F.SPECIAL}),
        (K.CAUTION, (), (), {F.SPECIAL}),
        # Routeing.
        (K.LANE, (), (), {F.LANE}),
        (K.LANE, (7,), (), {F.LANE, F.ENTRY}),
        (K.LANE, (27,), (), {F.LANE, F.LOCAL}),
        (K.SEPARATION_ZONE, (), (), {F.SEPARATION}),
        (K.INSHORE_ZONE, (), (), {F.INSHORE}),
        (K.ROUNDABOUT, (), (), {F.MEETING}),
        # Notes under way, or nothing.
        (K.CABLE_AREA, (2, 6, 24), (), {F.BELOW}),
        (K.CABLE_AREA, (7,), (), {F.BELOW, F.ENTRY}),
        (K.FAIRWAY, (), (), set()),
        (K.FAIRWAY, (27,), (), {F.LOCAL}),
        (K.RECOMMENDED_TRACK, (), (), set()),
        (K.DEEP_WATER_ROUTE, (), (), {F.SHIPS_ROUTE}),
    ],
)
def test_faults(
    kind: K, restrictions: tuple[int, ...], categories: tuple[int, ...], expected: set[Fault]
) -> None:
    assert faults_of(area(kind, *restrictions, categories=categories)) == expected


@pytest.mark.parametrize("kind", [K.RECOMMENDED_TRACK, K.FAIRWAY, K.DEEP_WATER_ROUTE])
def test_one_way(kind: K) -> None:
    assert faults_of(area(kind, one_way=True)) == {Fault.ONE_WAY}


def test_categories_of_other_classes_are_no_categories_of_restricted_areas() -> None:
    # CATACH 1 is unrestricted anchorage, CATREA 1 an offshore safety zone.
    facts: dict[str, Any] = {"categories": (1,)}
    assert faults_of(area(K.ANCHORAGE, **facts)) == {Fault.SPECIAL}


def test_every_kind_but_tracks_and_fairways_has_a_check() -> None:
    silent = {kind for kind in K if not faults_of(area(kind))}
    assert silent == {K.FAIRWAY, K.RECOMMENDED_TRACK, K.RECOMMENDED_DIRECTION}


def test_every_restriction_that_may_bar_the_way_is_never_a_note() -> None:
    for code in {*range(1, 100)} - restriction.HARMLESS:
        for kind in K:
            assert faults_of(area(kind, code)) & {Fault.ENTRY, Fault.TO_BE_AVOIDED}
