"""Which marks of a chart set count: the winning cell's, each mark once."""

from __future__ import annotations

import pytest
import shapely

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.objects import Mark, MarkKind
from routecheck.survey.markset import mark_set
from tests.buoys import HERE, Place, Spot, chart, mark, source, square

P, S = MarkKind.PORT_HAND, MarkKind.STARBOARD_HAND
LARGE, SMALL = source("harbour", 10000.0), source("approach", 50000.0)
LOOSE = source("mine", None)


def kept(*charts: Chart) -> list[str]:
    return [m.key for m in mark_set(ChartSet(charts=charts)).marks]


def cell(of: str, *marks: Mark, covers: shapely.Geometry | None = None) -> Chart:
    known = {"harbour": LARGE, "approach": SMALL, "mine": LOOSE}
    return chart(marks, of=known[of], covers=covers)


def test_the_same_mark_within_50_m_takes_the_larger_scales_place_and_name() -> None:
    small = mark((0.0, 0.0), P, "Old name", of="approach")
    large = mark((0.0, 49.0), P, "New name", of="harbour")
    assert kept(cell("approach", small), cell("harbour", large)) == [large.key]
    assert kept(cell("harbour", large), cell("approach", small)) == [large.key]


@pytest.mark.parametrize(
    ("place", "kind"),
    [((0.0, 51.0), P), ((0.0, 10.0), S), ((0.0, 10.0), MarkKind.NORTH)],
)
def test_further_off_or_of_another_kind_it_is_another_mark(place: Place, kind: MarkKind) -> None:
    small, large = mark((0.0, 0.0), P, of="approach"), mark(place, kind, of="harbour")
    assert len(kept(cell("approach", small), cell("harbour", large))) == 2


def test_a_lateral_mark_without_a_hand_is_the_same_as_one_with() -> None:
    mine = mark((0.0, 0.0), MarkKind.LATERAL, colours=("red",), of="mine")
    large = mark((0.0, 20.0), P, of="harbour")
    assert kept(cell("mine", mine), cell("harbour", large)) == [large.key]


def test_where_a_larger_scale_covers_the_smaller_ones_marks_do_not_count() -> None:
    small = mark((0.0, 0.0), P, of="approach")
    beyond = mark((3000.0, 0.0), P, of="approach")
    covering = cell("harbour", covers=square(1000.0))
    assert kept(cell("approach", small, beyond), covering) == [beyond.key]
    # And a smaller scale that covers a larger one takes nothing away.
    large = mark((0.0, 0.0), P, of="harbour")
    assert kept(cell("harbour", large), cell("approach", covers=square(1000.0))) == [large.key]


def test_a_neighbour_of_the_same_scale_takes_nothing_away() -> None:
    here = mark((0.0, 0.0), P, of="harbour")
    beside = chart([], of=source("beside", 10000.0), covers=square(1000.0))
    assert kept(cell("harbour", here), beside) == kept(beside, cell("harbour", here)) == [here.key]


def test_a_users_own_marks_stay_whatever_covers_them() -> None:
    mine = mark((0.0, 0.0), P, of="mine")
    assert kept(cell("mine", mine), cell("harbour", covers=square(1000.0))) == [mine.key]


def test_two_marks_of_one_chart_are_two_however_close() -> None:
    pair = [mark((0.0, 0.0), P, "a", of="harbour"), mark((0.0, 5.0), P, "b", of="harbour")]
    assert len(kept(cell("harbour", *pair))) == 2


@pytest.mark.parametrize("spot", [Spot(180.0, 0.0), Spot(-180.0, 75.0)], ids=str)
def test_the_same_mark_across_the_antimeridian(spot: Spot) -> None:
    west = mark((-10.0, 0.0), P, "west", spot=spot, of="approach")
    east = mark((10.0, 0.0), P, "east", spot=spot, of="harbour")
    assert west.lon_deg * east.lon_deg < 0.0
    assert kept(cell("approach", west), cell("harbour", east)) == [east.key]
    covering = cell("harbour", covers=square(500.0, spot))
    assert kept(cell("approach", west), covering) == []


@pytest.mark.parametrize(
    ("scale", "floating", "stated_m", "uncertainty_m"),
    [
        # Floating: 20 m (IHO S-44 ed. 6, table 2, floating aids, order 2), or 0.5 mm at scale.
        (10000.0, True, None, 20.0),
        (80000.0, True, None, 40.0),
        (10000.0, True, 50.0, 50.0),
        (10000.0, True, 2.0, 20.0),
        (80000.0, False, None, 40.0),
        (10000.0, False, None, 5.0),
        (10000.0, False, 1.0, 1.0),
        (None, True, None, 20.0),
        (None, False, None, 0.0),
    ],
)
def test_position_uncertainty(
    scale: float | None, floating: bool, stated_m: float | None, uncertainty_m: float
) -> None:
    one = mark((0.0, 0.0), P, spot=HERE, floating=floating, position_uncertainty_m=stated_m)
    marks = mark_set(ChartSet(charts=(chart([one], of=source("cell", scale)),)))
    assert marks.uncertainty_m(0) == pytest.approx(uncertainty_m)


@pytest.mark.parametrize(
    ("spread_m", "uncertainty_m"), [(0.0, 20.0), (19.0, 39.0), (20.0, 40.0), (21.0, 20.0)]
)
def test_an_outline_adds_to_the_uncertainty_until_it_is_drawn_so_wide_that_it_tells_no_side(
    spread_m: float, uncertainty_m: float
) -> None:
    """The outline of a beacon reaches 20 m from its middle at most (common practice). What is wider
    has its width as room by itself, which is not to be counted twice."""
    one = mark((0.0, 0.0), P, spread_m=spread_m)
    marks = mark_set(ChartSet(charts=(chart([one], of=source("cell", 10000.0)),)))
    assert marks.uncertainty_m(0) == pytest.approx(uncertainty_m)
    assert one.wide_m == (spread_m if spread_m > 20.0 else 0.0)
