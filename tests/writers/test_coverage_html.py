"""The coverage map's looks and words."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from routecheck.model.coverage import Patch, Worth
from routecheck.model.source import Source
from routecheck.writers.drawing.coverage_looks import FILLS, LAND, VIEWS, Q, steps_of
from tests.survey.charts import source
from tests.survey.test_coverage import SEA


def patch(**more: object) -> Patch:
    facts = {"source": source(), "geometry": SEA, "worth": Worth.KNOWN, "datum": "LAT"}
    return Patch(**{**facts, **more})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("of", "step"),
    [
        (source(scale=25_000.0), 0),
        (source(scale=52_000.0), 1),
        (source(scale=180_000.0), 2),
        (source(scale=180_001.0), 3),
        (source(scale=3_500_000.0), 4),
        (source(scale=None, resolution_m=10.0), 0),
        (source(scale=None, resolution_m=100.0), 2),
        (source(scale=None, resolution_m=460.0), 3),
        (source(scale=None), Q),
    ],
)
def test_detail(of: Source, step: int) -> None:
    assert steps_of(patch(source=of))["detail"] == step


@pytest.mark.parametrize(
    ("datum", "below_m", "step"),
    [
        *(("LAT", None, 0), ("MLLW", None, 1), ("MSL", 1.2, 2), ("MSL", None, 3)),
        *(("NAP", None, 3), ("unknown", None, Q)),
    ],
)
def test_datum(datum: str, below_m: float | None, step: int) -> None:
    of = source(datum_below_msl_m=below_m)
    assert steps_of(patch(source=of, datum=datum))["datum"] == step


@pytest.mark.parametrize(
    ("year", "step"), [(2015, 0), (2014, 1), (1999, 2), (1969, 3), (1939, 4), (None, Q)]
)
def test_age(year: int | None, step: int) -> None:
    assert steps_of(patch(year=year))["age"] == step


def test_worth_in_order_and_holes_and_land_in_every_view() -> None:
    known = [steps_of(patch(worth=w))["worth"] for w in Worth if w is not Worth.HOLE]
    assert known == [0, 1, 2, 3, 4]
    assert set(steps_of(patch(worth=Worth.HOLE)).values()) == {Q}
    assert set(steps_of(patch(land=True)).values()) == {LAND}


def test_less_known_is_darker_in_grey_print_too() -> None:
    def luma(colour: str) -> float:  # ITU-R BT.601
        red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
        return 0.299 * red + 0.587 * green + 0.114 * blue

    steps = [luma(colour) for colour in FILLS[:5]]
    assert all(lighter - darker > 20.0 for lighter, darker in pairwise(steps))


def test_every_view_names_every_step_it_gives() -> None:
    words = re.compile(r"\b(safe|clear|OK)\b")
    for view in VIEWS:
        assert {0, 1, 2, 3, Q} <= set(view.steps)
        for name, _ in view.steps.values():
            assert not words.search(name)
