"""Rocks, wrecks and obstructions by the standard's own logic: from the row to the finding.

Attributes and codes: IHO S-57 edition 3.1, appendix A, chapter 2 (VALSOU 179, QUASOU 125, EXPSOU
93, WATLEV 187, CATWRK 71, CATOBS 42). Default depths: IHO S-52 PresLib 4.0, conditional symbology
procedures DEPVAL02, OBSTRN07 and WRECKS05, with the values of the S-101 portrayal catalogue's
procedures of the same names (20.1, 0.01, 0, -15).
"""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest
import shapely

from routecheck.checks.underwater_danger import underwater_danger
from routecheck.model.chart import Severity
from routecheck.model.finding import Finding
from routecheck.model.objects import Danger
from routecheck.model.view import Touch
from routecheck.readers.charted import Draft, Row
from routecheck.readers.features import add
from tests.checks.views import boat, met, passage, place, run, view

DANGER, CAUTION = Severity.DANGER, Severity.CAUTION
POINT = shapely.Point(10.05, 54.05)
# The boat needs 3 m: 2 m of draught and 1 m below the keel.
DEEP_M, SHOAL_M, DRIES_M = 30.0, 1.0, -2.0


def read(cls: str, **values: Any) -> Danger:
    draft = Draft(source="c")
    add(Row(cls=cls, ident="1", geometry=POINT, values=values), draft)
    (danger,) = draft.parts["dangers"]
    assert isinstance(danger, Danger)
    return danger


def told(
    danger: Danger, area_m: float | None = DEEP_M, touch: Touch = Touch.CORRIDOR
) -> list[Finding]:
    one = met(danger, place(touch=touch, belt_m=30.0), area_depth_m=area_m)
    return run(underwater_danger, view(dangers=(one,)), passage(boat()))


@pytest.mark.parametrize(
    ("cls", "values", "area_m", "severity"),
    [
        # VALSOU is held against the boat, positive below chart datum, negative where it dries.
        ("UWTROC", {"VALSOU": DEEP_M, "WATLEV": 3}, DEEP_M, None),
        ("UWTROC", {"VALSOU": SHOAL_M, "WATLEV": 3}, DEEP_M, DANGER),
        ("UWTROC", {"VALSOU": DRIES_M, "WATLEV": 4}, DEEP_M, DANGER),
        # QUASOU 2: depth unknown; 3, 4, 8, 9: doubtful, unreliable, reported; the rest are depths.
        ("OBSTRN", {"VALSOU": DEEP_M, "QUASOU": (2,)}, DEEP_M, DANGER),
        ("OBSTRN", {"VALSOU": 5.0, "QUASOU": (3,)}, DEEP_M, CAUTION),
        ("OBSTRN", {"VALSOU": 5.0, "QUASOU": (4,)}, DEEP_M, CAUTION),
        ("OBSTRN", {"VALSOU": 5.0, "QUASOU": (8,)}, DEEP_M, CAUTION),
        ("OBSTRN", {"VALSOU": 5.0, "QUASOU": (9,)}, DEEP_M, CAUTION),
        ("OBSTRN", {"VALSOU": 5.0, "QUASOU": (6,)}, DEEP_M, None),  # least depth known
        ("OBSTRN", {"VALSOU": 5.0, "QUASOU": (7,)}, DEEP_M, None),  # swept to the depth shown
        ("OBSTRN", {"VALSOU": 5.0, "QUASOU": (5,)}, DEEP_M, None),  # no bottom found at it
        # STATUS 18: existence doubtful.
        ("WRECKS", {"VALSOU": 5.0, "STATUS": (18,)}, DEEP_M, CAUTION),
        # No depth: a danger, whatever the water level.
        ("UWTROC", {}, DEEP_M, DANGER),
        *(("UWTROC", {"WATLEV": code}, DEEP_M, DANGER) for code in range(1, 8)),
        # EXPSOU 1: within the range of its depth area; 3: deeper; 2: shoaler.
        ("UWTROC", {"EXPSOU": 1, "WATLEV": 3}, DEEP_M, None),
        ("UWTROC", {"EXPSOU": 3, "WATLEV": 3}, DEEP_M, None),
        ("UWTROC", {"EXPSOU": 2, "WATLEV": 3}, DEEP_M, DANGER),
        ("UWTROC", {"EXPSOU": 1, "WATLEV": 3}, SHOAL_M, DANGER),
        ("UWTROC", {"EXPSOU": 1, "WATLEV": 3}, None, DANGER),  # in no depth area
        ("UWTROC", {"EXPSOU": 1}, DEEP_M, None),
        ("UWTROC", {"EXPSOU": 1, "WATLEV": 4}, DEEP_M, DANGER),  # uncovers in deep water: no range
        ("UWTROC", {"EXPSOU": 1, "WATLEV": 4}, DRIES_M, DANGER),
        # … and a stated depth outweighs it.
        ("UWTROC", {"EXPSOU": 2, "VALSOU": DEEP_M, "WATLEV": 3}, SHOAL_M, None),
        # WATLEV against the depth: 4 covers and uncovers, 5 awash, 1, 2, 6, 7 stand out or float.
        ("OBSTRN", {"VALSOU": DEEP_M, "WATLEV": 4}, DEEP_M, DANGER),
        ("OBSTRN", {"VALSOU": DEEP_M, "WATLEV": 5}, DEEP_M, DANGER),
        *(("OBSTRN", {"VALSOU": DEEP_M, "WATLEV": c}, DEEP_M, DANGER) for c in (1, 2, 6, 7)),
        # CATWRK 1 non-dangerous, 2 dangerous, 3 remains, 4 masts show, 5 hull shows.
        ("WRECKS", {"CATWRK": 1}, DEEP_M, CAUTION),
        ("WRECKS", {"CATWRK": 1, "WATLEV": 3}, DEEP_M, CAUTION),
        ("WRECKS", {"CATWRK": 1, "WATLEV": 4}, DEEP_M, DANGER),  # it uncovers: not harmless
        ("WRECKS", {"CATWRK": 1, "VALSOU": SHOAL_M}, DEEP_M, DANGER),
        ("WRECKS", {"CATWRK": 2, "WATLEV": 3}, DEEP_M, DANGER),
        ("WRECKS", {"CATWRK": 2, "VALSOU": DEEP_M, "WATLEV": 3}, DEEP_M, None),
        ("WRECKS", {"CATWRK": 3, "WATLEV": 3}, DEEP_M, CAUTION),
        ("WRECKS", {"CATWRK": 3, "WATLEV": 5}, DEEP_M, DANGER),
        ("WRECKS", {"CATWRK": 4}, DEEP_M, DANGER),
        ("WRECKS", {"CATWRK": 5}, DEEP_M, DANGER),
        ("WRECKS", {"CATWRK": 4, "EXPSOU": 1, "WATLEV": 3}, DEEP_M, DANGER),
        ("WRECKS", {"CATWRK": 5, "VALSOU": DEEP_M}, DEEP_M, DANGER),  # shows: not 30 m down
        ("WRECKS", {"CATWRK": 5, "VALSOU": DRIES_M}, DEEP_M, DANGER),
        ("WRECKS", {}, DEEP_M, DANGER),
        # CATOBS 5 fish haven, 6 foul area, 7 foul ground, 8 ice boom, 9 ground tackle, 10 boom.
        *(("OBSTRN", {"CATOBS": c, "WATLEV": 3}, DEEP_M, DANGER) for c in (1, 2, 3, 4, 5, 6, 9)),
        ("OBSTRN", {"CATOBS": 7, "WATLEV": 3}, DEEP_M, CAUTION),
        ("OBSTRN", {"CATOBS": 7}, DEEP_M, CAUTION),
        ("OBSTRN", {"CATOBS": 7, "WATLEV": 4}, DEEP_M, DANGER),
        ("OBSTRN", {"CATOBS": 8}, DEEP_M, DANGER),
        ("OBSTRN", {"CATOBS": 10, "VALSOU": DEEP_M}, DEEP_M, DANGER),  # a boom floats
        ("OBSTRN", {"CATOBS": 5, "VALSOU": DEEP_M, "WATLEV": 3}, DEEP_M, None),
        # Marine farms are on the list of IMO Res. MSC.232(82), appendix 4, however deep.
        ("MARCUL", {"VALSOU": DEEP_M, "WATLEV": 3}, DEEP_M, CAUTION),
        ("MARCUL", {"VALSOU": SHOAL_M, "WATLEV": 3}, DEEP_M, DANGER),
        ("MARCUL", {"WATLEV": 7}, DEEP_M, DANGER),
        ("FSHFAC", {}, DEEP_M, DANGER),
    ],
)
def test_one_danger(
    cls: str, values: dict[str, Any], area_m: float | None, severity: Severity | None
) -> None:
    found = told(read(cls, **values), area_m)
    assert [f.severity for f in found] == ([severity] if severity else [])


@pytest.mark.parametrize(
    ("cls", "values", "depth_m"),
    [
        # OBSTRN07: foul area or always under water 0.01, awash 0, else it stands 15 m high.
        ("UWTROC", {"WATLEV": 3}, 0.01),
        ("UWTROC", {"WATLEV": 5}, 0.0),
        ("UWTROC", {"WATLEV": 4}, -15.0),
        ("UWTROC", {}, -15.0),
        ("OBSTRN", {"CATOBS": 6}, 0.01),
        ("OBSTRN", {"CATOBS": 6, "WATLEV": 5}, 0.01),
        ("OBSTRN", {"CATOBS": 5, "WATLEV": 2}, -15.0),
        # WRECKS05: non-dangerous 20.1, under water or awash 0, else -15.
        ("WRECKS", {"CATWRK": 1}, 20.1),
        ("WRECKS", {"CATWRK": 1, "WATLEV": 3}, 20.1),
        ("WRECKS", {"CATWRK": 2, "WATLEV": 3}, 0.0),
        ("WRECKS", {"CATWRK": 2, "WATLEV": 5}, 0.0),
        ("WRECKS", {"CATWRK": 2}, -15.0),
        ("WRECKS", {"CATWRK": 4, "WATLEV": 4}, -15.0),
        # Classes without such a rule, and depths that are known.
        ("WRECKS", {"CATWRK": 3}, None),
        ("OBSTRN", {"CATOBS": 7, "WATLEV": 3}, None),
        ("MARCUL", {"WATLEV": 3}, None),
        ("UWTROC", {"WATLEV": 3, "VALSOU": 2.0}, None),
    ],
)
def test_default_depths(cls: str, values: dict[str, Any], depth_m: float | None) -> None:
    danger = read(cls, **values)
    assert danger.default_depth_m == depth_m
    if depth_m is not None and not danger.stands_out:
        (finding,) = told(danger)
        assert finding.sums["assumed_depth_m"] == depth_m
        assert "As a last resort the display rules of the IHO" in finding.explanation


def test_a_default_depth_never_makes_a_danger_less_but_may_make_it_more() -> None:
    wreck = read("WRECKS", CATWRK=1)
    one = met(wreck, area_depth_m=DEEP_M)
    ship = passage(boat(draught_m=21.0))
    (finding,) = run(underwater_danger, view(dangers=(one,)), ship)
    assert finding.severity is DANGER
    assert [f.severity for f in told(wreck)] == [CAUTION]


CLASSES = [
    ("UWTROC", {}),
    *(("WRECKS", {} if c is None else {"CATWRK": c}) for c in (None, *range(1, 6))),
    *(("OBSTRN", {} if c is None else {"CATOBS": c}) for c in (None, *range(1, 11))),
    ("MARCUL", {}),
]


@pytest.mark.parametrize(("cls", "category"), CLASSES)
def test_every_combination(cls: str, category: dict[str, int]) -> None:
    """Nothing is said only of what is known to lie deep enough; what is unknown is never less
    than a caution; and what only its uncertainty brings near is a caution, no danger."""
    levels, exposures = (None, *range(1, 8)), (None, 1, 2, 3)
    qualities = (None, *range(1, 12))
    tried = silent = 0
    for depth, quality, level, exposure, area_m in product(
        (None, DEEP_M, SHOAL_M, DRIES_M), qualities, levels, exposures, (None, DEEP_M, SHOAL_M)
    ):
        stated = {"VALSOU": depth, "WATLEV": level, "EXPSOU": exposure}
        stated["QUASOU"] = None if quality is None else (quality,)  # type: ignore[assignment]
        danger = read(cls, **category, **{k: v for k, v in stated.items() if v is not None})
        found, near = told(danger, area_m), told(danger, area_m, Touch.BELT)
        tried += 1
        assert len(found) == len(near) <= 1
        if near:
            assert near[0].severity is CAUTION
        if found:
            assert found[0].severity in (DANGER, CAUTION)
            continue
        silent += 1
        known = depth == DEEP_M and quality != 2
        by_area = exposure in (1, 3) and area_m == DEEP_M
        assert known or by_area, stated
        assert level in (None, 3), stated  # nothing that reaches the surface is passed over
    assert tried == 4 * 12 * 8 * 4 * 3
    assert (silent == 0) == (cls == "MARCUL" or category in ({"CATWRK": 4}, {"CATWRK": 5}))


def test_what_does_not_go_together_is_told_of_the_chart() -> None:
    draft = Draft(source="c")
    values = {"VALSOU": 8.0, "WATLEV": 4}
    add(Row(cls="OBSTRN", ident="1", geometry=POINT, values=values), draft)
    (danger,) = draft.parts["dangers"]
    assert danger.charted_depth_m is None and danger.uncovers
    texts = [p.text for problems in draft._problems.values() for p in problems]
    assert texts == [
        "OBSTRN 1: a depth of 8 m over it does not go with “covers and uncovers”: it counts as "
        "unknown"
    ]


def test_an_isolated_danger_is_called_so() -> None:
    (alone,) = told(read("UWTROC", VALSOU=SHOAL_M, WATLEV=3), DEEP_M)
    assert "It stands alone: the water round it is charted at 30.0 m." in alone.explanation
    (among,) = told(read("UWTROC", VALSOU=SHOAL_M, WATLEV=3), 2.0)
    assert "stands alone" not in among.explanation


@pytest.mark.parametrize(
    ("datum", "depth_m", "severity"),
    [
        ("LAT", DEEP_M, None),
        ("MLLW", DEEP_M, None),
        ("unknown", DEEP_M, CAUTION),  # it may condemn, never clear
        ("MSL", DEEP_M, CAUTION),
        ("unknown", 199.9, CAUTION),
        ("unknown", 200.0, None),
        ("unknown", SHOAL_M, DANGER),
    ],
)
def test_a_depth_on_no_low_water_datum_is_never_passed_over(
    datum: str, depth_m: float, severity: Severity | None
) -> None:
    one = met(read("WRECKS", VALSOU=depth_m, CATWRK=2, WATLEV=3), area_depth_m=None, datum=datum)
    on, by = view(dangers=(one,)), passage(boat())
    assert [f.severity for f in run(underwater_danger, on, by)] == ([severity] if severity else [])


@pytest.mark.parametrize(
    ("said", "code"),
    [("covers and uncovers", 4), ("Always dry", 2), ("dries", 4), ("awash", 5), ("4", 4), (4.0, 4)],
)
def test_the_water_level_in_words(said: object, code: int) -> None:
    danger, coded = (read("UWTROC", VALSOU=DEEP_M, WATLEV=w) for w in (said, code))
    assert (danger.stands_out, danger.uncovers) == (coded.stands_out, coded.uncovers)
    assert danger.water_level == coded.water_level != ""
    assert [f.severity for f in told(danger)] == [DANGER]


def test_a_water_level_that_no_one_understands_is_told() -> None:
    draft = Draft(source="c")
    values = {"VALSOU": DEEP_M, "WATLEV": "sometimes"}
    add(Row(cls="UWTROC", ident="1", geometry=POINT, values=values), draft)
    ((problem,),) = draft._problems.values()
    assert "“sometimes” is not understood" in problem.text
    assert problem.severity is Severity.NOT_ASSESSED
