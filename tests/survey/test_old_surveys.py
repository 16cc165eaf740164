"""Which parts of a corridor rest on an old survey; in metres on the equator, since 1970."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from routecheck.model.chart import Chart
from routecheck.model.objects import QualityZone
from routecheck.model.source import Source
from routecheck.survey.along_grids import LegGrid
from routecheck.survey.old_surveys import Runs, old_surveys
from tests.survey.charts import covered, depth_area, source
from tests.survey.equator import Shape, at, box, leg_grid, locals_on, planes

SEA = box(-500.0, 20000.0, -500.0, 500.0)
FIRST, SECOND = box(1000.0, 1500.0, -500.0, 500.0), box(1500.0, 2000.0, -500.0, 500.0)


def surveyed(year: int | None, where: Shape, of: str = "a") -> QualityZone:
    return QualityZone(
        key=f"{of}/{year}", cls="M_QUAL", source=of, geometry=where, catzoc=3, surveyed=year
    )


def chart(name: str, *zones: QualityZone, depths: Shape = SEA, **of: object) -> Chart:
    return Chart(
        source=source(name, **of),
        depth_areas=(depth_area("d", depths, 9.0, name),),
        coverage=(covered(SEA, name),),
        quality_zones=zones,
    )


def runs(*charts: Chart, grids: tuple[LegGrid, ...] = (), length_m: float = 5000.0) -> Runs:
    found: Runs = {}
    for on in planes(length_m):
        old_surveys(on, locals_on(on, *charts), grids, 1970.0, found)
    return found


def told(*charts: Chart, grids: tuple[LegGrid, ...] = ()) -> dict[tuple[str, int], tuple[int, int]]:
    found = runs(*charts, grids=grids)
    assert all((run.source.id, run.year) == key for key, run in found.items())
    return {key: (round(r.along_from_m), round(r.along_to_m)) for key, r in found.items()}


def test_zones_from_before_the_year() -> None:
    assert told(chart("a", surveyed(1969, FIRST))) == {("a", 1969): (1000, 1500)}
    assert told(chart("a", surveyed(1970, FIRST))) == {}
    assert told(chart("a", surveyed(None, FIRST))) == {}
    zones = surveyed(1937, FIRST), surveyed(2005, SEA), surveyed(1950, SECOND)
    assert told(chart("a", *zones)) == {("a", 1937): (1000, 1500), ("a", 1950): (1500, 2000)}
    # Of one year one run, and each with the areas of all.
    assert told(chart("a", surveyed(1950, FIRST), surveyed(1950, SECOND))) == {
        ("a", 1950): (1000, 2000)
    }
    assert told(chart("a", surveyed(1950, box(0.0, 9e3, 150.0, 500.0)))) == {}


def test_a_source_without_zones() -> None:
    assert told(chart("a", surveyed=1969)) == {("a", 1969): (0, 5000)}
    assert told(chart("a", surveyed=1970)) == told(chart("a")) == {}
    assert told(chart("a", surveyed=1969, depths=FIRST)) == {("a", 1969): (1000, 1500)}
    # Zones say more than their source.
    assert told(chart("a", surveyed(2005, FIRST), surveyed=1969)) == {}
    assert told(chart("a", surveyed(1950, FIRST), surveyed=1969)) == {("a", 1950): (1000, 1500)}


def test_only_where_it_states_a_depth_and_counts() -> None:
    assert told(chart("a", surveyed(1950, SEA), depths=FIRST)) == {("a", 1950): (1000, 1500)}
    assert told(chart("a", surveyed(1950, SECOND), depths=FIRST)) == {}
    fine = chart("fine", scale=10_000.0)
    fine = replace(fine, coverage=(covered(SECOND, "fine"),))
    both = FIRST.union(SECOND)
    assert told(chart("a", surveyed(1950, both)), fine) == {("a", 1950): (1000, 1500)}
    two = chart("a", surveyed=1950, depths=FIRST), chart("b", surveyed=1960, depths=SECOND)
    assert told(*two) == {("a", 1950): (1000, 1500), ("b", 1960): (1500, 2000)}


def grid(year: int | None, columns: int = 60, from_m: float = -500.0) -> LegGrid:
    (on,) = planes(5000.0)
    return leg_grid(on, np.full((5, columns), 9.0), from_m, surveyed=year)


@pytest.mark.parametrize(
    ("year", "from_m", "found"),
    [
        (1969, -500.0, {("memory", 1969): (0, 5000)}),
        (1970, -500.0, {}),
        (None, -500.0, {}),
        (1969, 90_000.0, {}),  # nowhere near
    ],
)
def test_grids(
    year: int | None, from_m: float, found: dict[tuple[str, int], tuple[int, int]]
) -> None:
    one = grid(year, from_m=from_m)
    assert told(grids=(one,)) == found
    assert told(grids=(grid(None), one)) == found


def test_its_area() -> None:
    (run,) = runs(chart("a", surveyed(1950, box(1000.0, 2000.0, -20.0, 60.0)))).values()
    assert run.area_m2 == pytest.approx(80_000.0, abs=0.3)


def test_over_several_chunks_it_is_told_once() -> None:
    places = box(1000.0, 2000.0, -20.0, 60.0), box(6000.0, 8000.0, -80.0, -40.0)
    held = chart("a", *(surveyed(1950, where) for where in places))
    (run,) = runs(held, length_m=10000.0).values()
    reach = (run.along_from_m, run.along_to_m, run.cross_m, run.lon_deg, run.lat_deg)
    assert reach == pytest.approx((1000.0, 8000.0, 20.0, *at(1500.0, 20.0)), abs=0.01)
    assert run.area_m2 == pytest.approx(1000.0 * 80.0 + 2000.0 * 40.0, rel=1e-4)
    assert isinstance(run.source, Source)
