"""How wide the corridor is, what is too coarse to clear, and which source comes first."""

from __future__ import annotations

import pytest

from routecheck.model.route import Leg, Waypoint
from routecheck.model.source import Quality, Source, SourceKind
from routecheck.survey.settings import (
    CLEARED_BELOW_M,
    MEASURED_ABOVE_M,
    SurveySettings,
    rank,
)
from tests.survey.charts import source


def leg(port_m: float | None = None, starboard_m: float | None = None) -> Leg:
    return Leg(
        number=1,
        start=Waypoint(name="A", lon_deg=10.0, lat_deg=50.0),
        end=Waypoint(name="B", lon_deg=10.1, lat_deg=50.0),
        xtd_port_m=port_m,
        xtd_starboard_m=starboard_m,
    )


# port, starboard of the leg's own; floor -> widths and what set them; the boat's room is 100 m
WIDTHS = [
    (None, None, 0.0, (100.0, 100.0, "boat")),
    (60.0, None, 0.0, (60.0, 100.0, "route")),
    (None, 70.0, 0.0, (100.0, 70.0, "route")),
    (60.0, 70.0, 0.0, (60.0, 70.0, "route")),
    # Exactly the floor is wide enough; less on one side alone is raised, and said.
    (60.0, 70.0, 60.0, (60.0, 70.0, "route")),
    (60.0, 70.0, 60.5, (60.5, 70.0, "route, raised to 60.5 m (why)")),
    (60.0, 20.0, 30.0, (60.0, 30.0, "route, raised to 30.0 m (why)")),
    (None, None, 120.0, (120.0, 120.0, "boat, raised to 120.0 m (why)")),
    (0.0, 0.0, 0.0, (0.0, 0.0, "route")),
]


@pytest.mark.parametrize(("port_m", "starboard_m", "floor_m", "expected"), WIDTHS)
def test_half_widths(
    port_m: float | None, starboard_m: float | None, floor_m: float, expected: object
) -> None:
    known = SurveySettings(cross_track_m=100.0, floor_m=floor_m, floor_from="why")
    assert known.half_widths_m(leg(port_m, starboard_m)) == expected


def test_what_holds_where_the_skipper_says_nothing() -> None:
    """As the table of settings in docs/data-formats.md says; 200 m and 50 m: common practice."""
    known = SurveySettings(cross_track_m=100.0)
    assert (known.floor_m, known.coarsest_grid_m, known.smallest_scale) == (0.0, 100.0, 180000.0)
    assert known.oldest_survey_year == 1970.0
    assert known.mark_far_m == pytest.approx(0.4 * 1852.0)
    assert (CLEARED_BELOW_M, MEASURED_ABOVE_M) == (200.0, 50.0)


@pytest.mark.parametrize("name", ["cross_track_m", "floor_m", "coarsest_grid_m", "mark_far_m"])
def test_no_width_that_is_not_finite(name: str) -> None:
    facts = {"cross_track_m": 100.0, name: float("nan")}
    with pytest.raises(ValueError, match=name):
        SurveySettings(**facts)


KINDS = [
    (SourceKind.GRID, {"resolution_m": 100.0, "scale": 1e6}, False),
    (SourceKind.GRID, {"resolution_m": 100.5, "scale": 1.0}, True),
    (SourceKind.GRID, {"resolution_m": None, "scale": 1.0}, True),
    (SourceKind.CHART_CELL, {"scale": 180000.0}, False),
    (SourceKind.CHART_CELL, {"scale": 180001.0}, True),
    (SourceKind.CHART_CELL, {"scale": None}, True),
    (SourceKind.VECTOR, {"scale": 180000.0}, False),
    (SourceKind.VECTOR, {"scale": 180001.0}, True),
    # Loose depth areas have no scale to hide.
    (SourceKind.VECTOR, {"scale": None}, False),
]


@pytest.mark.parametrize(("kind", "facts", "coarse"), KINDS)
def test_too_coarse(kind: SourceKind, facts: dict[str, object], coarse: bool) -> None:
    known = SurveySettings(cross_track_m=100.0)
    assert known.too_coarse(source(kind=kind, **facts)) is coarse


def worth(vertical_m: float | None) -> Quality:
    return Quality(name="q", vertical_m=vertical_m)


def in_order(*sources: Source) -> bool:
    """Whether each comes before the next, and before all that follow."""
    keys = [rank(one) for one in sources]
    return all(first < second for n, first in enumerate(keys) for second in keys[n + 1 :])


def test_of_charts_the_largest_scale_comes_first_then_the_best_quality_then_the_latest() -> None:
    assert in_order(
        source(scale=5000.0, quality=worth(None)),
        source(scale=20000.0, quality=worth(0.0), issued="20200101"),
        source(scale=20000.0, quality=worth(0.5), issued="20240301"),
        source(scale=20000.0, quality=worth(0.5), issued="20240229", surveyed=2025),
        source(scale=20000.0, quality=worth(0.5), issued="20231231"),
        # The year of the survey stands in for a date that is not stated.
        source(scale=20000.0, quality=worth(0.5), surveyed=2019),
        source(scale=20000.0, quality=worth(0.5), surveyed=1987),
        source(scale=20000.0, quality=worth(0.5)),
        source(scale=20000.0, quality=worth(None), issued="20240301"),
        source(scale=5e8, quality=worth(0.0)),
        source(scale=None, quality=worth(0.0), issued="20240301"),
        source(scale=None, quality=worth(None), issued="20240301"),
    )


def test_of_grids_the_best_quality_comes_first_then_the_finest_then_the_latest() -> None:
    def grid(quality: float | None, **facts: object) -> Source:
        return source(kind=SourceKind.GRID, quality=worth(quality), **facts)

    assert in_order(
        grid(0.1, resolution_m=None, scale=9.0),
        grid(0.5, resolution_m=2.0, scale=8.0, issued="20240301"),
        grid(0.5, resolution_m=2.0, scale=7.0, issued="20200101"),
        grid(0.5, resolution_m=2.0, scale=6.0, surveyed=1999),
        grid(0.5, resolution_m=2.0, scale=5.0, surveyed=1989),
        grid(0.5, resolution_m=2.0, scale=4.0),
        grid(0.5, resolution_m=50.0, scale=3.0, issued="20240301"),
        grid(0.5, resolution_m=None, scale=2.0, issued="20240301"),
        grid(None, resolution_m=1.0, scale=1.0, issued="20240301"),
    )


def test_what_is_not_stated_alike_is_alike() -> None:
    """Where nothing is stated, the year None is no date of its own."""
    for kind in SourceKind:
        one = source(kind=kind, quality=worth(None), scale=None)
        assert rank(one) == rank(source("other", kind=kind, quality=worth(None), scale=None))
        assert rank(one)[2] > rank(source(kind=kind, scale=None, surveyed=1))[2]
        assert rank(one)[2] > rank(source(kind=kind, scale=None, issued="\x00"))[2]
