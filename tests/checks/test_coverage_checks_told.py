"""What is told of charts themselves: problems, coarseness, quality, age, gaps and quarrels."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from routecheck.checks.chart_problem import chart_problem
from routecheck.checks.class_not_judged import class_not_judged
from routecheck.checks.coarse_source import coarse_source
from routecheck.checks.old_survey import old_survey
from routecheck.checks.sources_disagree import sources_disagree
from routecheck.checks.unknown_quality import unknown_quality
from routecheck.checks.unsurveyed_nearby import unsurveyed_nearby
from routecheck.model.chart import Problem
from routecheck.model.finding import Evidence
from routecheck.model.objects import Layer, UnknownObject, Unsurveyed
from routecheck.model.source import Quality, SourceKind
from routecheck.model.view import (
    UNSURVEYED,
    CoarseWater,
    Disagreement,
    Gap,
    QualityRun,
    SurveyRun,
    Touch,
)
from tests.checks.told import said, stands_at
from tests.checks.views import POINT, SOURCE, met, place, run, view

LOST = "the rings of an area do not close"


def test_problems_of_charts() -> None:
    problems = (Problem(source="a", text=LOST), Problem(source="b", text="x" * 300, used=False))
    used, unused = run(chart_problem, view(problems=problems))
    assert said([used]) == [
        (
            "not-assessed",
            f"a: {LOST}",
            f"{LOST}. The chart was used all the same, without what is lost.",
        )
    ]
    assert unused.explanation.endswith(
        "x. Nothing of it was used; nobody knows which water it shows."
    )
    # A title is one line of at most 200 letters.
    assert unused.title == "b: " + "x" * 197
    assert (used.object_key, unused.object_key) == (f"a/0/{LOST}", "b/1/" + "x" * 60)
    assert (used.along_m, used.along_to_m, used.leg) == (0.0, 7000.0, 3)
    assert (used.lon_deg, used.lat_deg) == (10.0, 50.0)
    assert (used.source, used.settle) == (
        "a",
        "get a sound copy of the chart and all its updates",
    )


NEAR = place(cross_m=110.0, touch=Touch.BELT, belt_m=25.04)


@pytest.mark.parametrize(
    ("facts", "where", "severity", "title", "words"),
    [
        ({"why": "no table knows NEWOBJ"}, place(cross_m=7.0), "not-assessed",
         "NEWOBJ in the corridor: not judged",
         "No table knows NEWOBJ. Look it up on the chart."),
        ({"name": "Sign", "why": ""}, NEAR, "caution", "NEWOBJ Sign near the corridor: not judged",
         "NEWOBJ Sign. Look it up on the chart."),
    ],
)  # fmt: skip
def test_classes_that_nobody_judges(
    facts: dict[str, str], where: Any, severity: str, title: str, words: str
) -> None:
    base = {"key": "cell/NEWOBJ/1", "cls": "NEWOBJ", "source": "cell", "geometry": POINT}
    one = met(UnknownObject(**{**base, **facts}), where)  # type: ignore[arg-type]
    on = view(unknown=(one,))
    (found,) = run(class_not_judged, on)
    assert said([found]) == [(severity, title, words)]
    stands_at(found, one, on)
    assert found.sums == {"cross_m": where.cross_m}


def test_unsurveyed_water_beside_the_corridor() -> None:
    def bay(number: int, name: str = "") -> Unsurveyed:
        key = f"cell/UNSARE/{number}"
        return Unsurveyed(key=key, cls="UNSARE", source="cell", geometry=POINT, name=name)

    mets = (met(bay(1), place()), met(bay(2, "Back Bay"), NEAR), met(bay(3), NEAR))
    here = mets[0].place
    hole = Gap(
        layer=Layer.DANGERS, why=UNSURVEYED, area_m2=9.0, cross_m=0.0, lon_deg=10.0, lat_deg=50.0,
        along_from_m=here.along_from_m, along_to_m=here.along_to_m,
    )  # fmt: skip
    on = view(unsurveyed=mets, gaps=(hole,))
    found = run(unsurveyed_nearby, on)
    words = "As charted it lies outside the corridor, but its position is only known to 25 m."
    assert said(found) == [
        ("caution", "unsurveyed area Back Bay may reach into the corridor", words),
        ("caution", "unsurveyed area may reach into the corridor", words),
    ]
    stands_at(found[0], mets[1], on)
    assert found[0].sums == {"cross_m": 110.0, "position_uncertainty_m": 25.0}
    fine = replace(NEAR, cross_m=110.16, belt_m=25.26)
    (one,) = run(unsurveyed_nearby, view(unsurveyed=(met(bay(1), fine),)))
    assert one.sums == {"cross_m": 110.2, "position_uncertainty_m": 25.3}


@pytest.mark.parametrize(
    ("facts", "how", "resolution_m"),
    [
        ({"kind": SourceKind.GRID, "resolution_m": 460.0, "scale": None}, "cells of 460 m", 460.0),
        ({"scale": 350_000.0}, "scale 1:350000", 0.0),
        ({"kind": SourceKind.GRID, "resolution_m": None}, "cells of 0 m", 0.0),
    ],
)
def test_coarse_sources(facts: dict[str, Any], how: str, resolution_m: float) -> None:
    """Rounded against the boat (2026-11): 812.9 m were told as "813 m or more"."""
    water = CoarseWater(
        source=replace(SOURCE, id="ocean", **facts), along_from_m=10.0, along_to_m=500.0,
        shoalest_m=812.9, lon_deg=11.0, lat_deg=51.0, cross_m=-3.0,
    )  # fmt: skip
    (found,) = run(coarse_source, view(coarse_water=(water,)))
    words = (
        f"ocean ({how}) is all that covers 10 m to 500 m along the leg. It shows 812 m or more, "
        "and could not show a single shoal."
    )
    title = f"deep water known only from a coarse source ({how})"
    assert said([found]) == [("caution", title, words)]
    assert (found.along_m, found.along_to_m, found.cross_m) == (10.0, 500.0, -3.0)
    assert (found.lon_deg, found.lat_deg, found.source) == (11.0, 51.0, "ocean")
    assert found.sums == {"shoalest_m": 812.9, "resolution_m": resolution_m}


def test_unknown_quality_is_told_once_by_the_widest_part() -> None:
    def part(name: str, from_m: float, to_m: float, area_m2: float) -> QualityRun:
        return QualityRun(
            source=replace(SOURCE, id=name), quality=Quality(name="CATZOC D", vertical_m=None),
            along_from_m=from_m, along_to_m=to_m, lon_deg=from_m / 100.0, lat_deg=50.0,
            cross_m=5.0, area_m2=area_m2,
        )  # fmt: skip

    parts = (
        part("a", 300.0, 400.0, 10.0),
        part("b", 200.0, 900.0, 70.0),
        part("c", 100.0, 150.0, 20.0),
    )
    (found,) = run(unknown_quality, view(quality_runs=parts))
    words = (
        "From 100 m to 900 m along the leg the depths that would let the boat pass have no stated "
        "accuracy. They may be wrong by more than the margin."
    )
    assert said([found]) == [("caution", "depths of unknown quality (CATZOC D, b)", words)]
    assert (found.along_m, found.along_to_m, found.lon_deg) == (100.0, 900.0, 2.0)
    assert found.sums == {"unknown_quality_m2": 100.0}
    assert [(one.key, one.text, one.lon_deg) for one in found.evidence] == [
        ("c/CATZOC D", "CATZOC D, c", 1.0),
        ("a/CATZOC D", "CATZOC D, a", 3.0),
    ]
    assert all(isinstance(one, Evidence) and one.severity == "caution" for one in found.evidence)
    (alone,) = run(unknown_quality, view(quality_runs=parts[:1]))
    assert alone.evidence == ()
    assert run(unknown_quality, view()) == []


def test_old_surveys_are_told_by_source_and_the_oldest_leads() -> None:
    def part(name: str, year: int, from_m: float) -> SurveyRun:
        return SurveyRun(
            source=replace(SOURCE, id=name), year=year, along_from_m=from_m, cross_m=5.0,
            along_to_m=from_m + 50.0, lon_deg=from_m / 100.0, lat_deg=50.0, area_m2=1.0,
        )  # fmt: skip

    parts = (
        part("a", 1939, 500.0), part("b", 1960, 0.0), part("a", 1911, 400.0),
        part("a", 1911, 300.0), part("a", 1955, 700.0),
    )  # fmt: skip
    old, other = run(old_survey, view(old_surveys=parts))
    words = (
        "The survey under a part of this leg ended in 1911, before 1970: dangers between its "
        "soundings may not be charted, and the bed may have moved."
    )
    more = " Other parts of it: 1939, 1955."
    assert said([old]) == [("note", "surveyed in 1911 (a)", words + more)]
    assert (old.along_m, old.along_to_m, old.lon_deg) == (300.0, 750.0, 3.0)
    assert (old.object_key, old.sums) == ("a", {"surveyed_year": 1911.0})
    assert said([other])[0][1:] == ("surveyed in 1960 (b)", words.replace("1911", "1960"))


def test_sources_that_disagree() -> None:
    one = Disagreement(
        shoaler=replace(SOURCE, id="chart"), deeper=replace(SOURCE, id="grid"), uncertainty_m=1.5,
        shoaler_depth_m=1.96, deeper_depth_m=40.5, along_m=10.0, cross_m=4.0, lon_deg=1.0,
        lat_deg=2.0,
    )  # fmt: skip
    found = run(sources_disagree, view(disagreements=(one, one)))
    words = (
        "They differ by 38.54 m, more than their uncertainties together (1.5 m). Where both are "
        "adequate the shoaler counts."
    )
    assert said(found) == 2 * [("note", "chart shows 1.96 m where grid shows 40.5 m", words)]
    assert (found[0].along_m, found[0].cross_m, found[0].source) == (10.0, 4.0, "chart")
    assert (found[0].lon_deg, found[0].lat_deg) == (1.0, 2.0)
