"""The patches of the coverage map: what each says of itself, and which of two counts.

That a larger scale counts, and leaves open what it does not know, is what a survey does as well:
IMO Res. MSC.232(82), 11.2 (the largest-scale data available).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from pyproj import Geod

from routecheck.model.chart import Chart, ChartSet
from routecheck.model.coverage import Coverage, Patch, Worth
from routecheck.model.objects import (
    Contour,
    CoverageArea,
    DatumZone,
    DepthArea,
    QualityZone,
    Solid,
    SolidKind,
)
from routecheck.model.source import CATZOC_QUALITY, UNKNOWN_QUALITY, Quality, Source, SourceKind
from routecheck.survey import gridtiles
from routecheck.survey.coverage import coverage
from routecheck.survey.settings import SurveySettings
from tests.survey.charts import contour, covered, depth_area, land, source, unsurveyed, zone
from tests.survey.memory_grid import MemoryGrid

SEA = shapely.box(10.0, 54.0, 10.4, 54.2)
WEST, EAST = shapely.box(10.0, 54.0, 10.2, 54.2), shapely.box(10.2, 54.0, 10.4, 54.2)
UNKNOWN = UNKNOWN_QUALITY
GEOD = Geod(ellps="WGS84")


def cell(name: str, depths: shapely.Geometry | None, **more: object) -> Chart:
    """A cell that covers all the sea; facts of its source are those that a source has."""
    of = {key: more.pop(key) for key in list(more) if key in Source.__dataclass_fields__}
    areas = () if depths is None else (depth_area("d", depths, 5.0, name),)
    facts = {"depth_areas": areas, "coverage": (covered(SEA, name),), **more}
    return Chart(source=source(name, **{"quality": UNKNOWN, **of}), **facts)  # type: ignore[arg-type]


def found(*charts: Chart, grids: tuple[MemoryGrid, ...] = (), **settings: float) -> Coverage:
    limits = SurveySettings(cross_track_m=0.0, **settings) if settings else None
    return coverage(ChartSet(charts=charts, grids=grids), limits)


def at(map_: Coverage, lon: float, lat: float = 54.1) -> Patch | None:
    here = [p for p in map_.patches if p.geometry.contains(shapely.Point(lon, lat))]
    assert len(here) <= 1
    return here[0] if here else None


def said(map_: Coverage) -> list[str]:
    """Of the west and of the east: source and worth."""
    return [
        f"{p.source.id} {'land' if p.land else p.worth.value}" if p else ""
        for p in (at(map_, 10.1), at(map_, 10.3))
    ]


GOOD: dict[str, object] = {"scale": 90_000.0, "quality": CATZOC_QUALITY[1]}


def test_what_a_larger_scale_leaves_open_a_smaller_does_not_fill() -> None:
    """Found by these tests on 2026-11-28: the map showed the smaller scale's water as known where
    the survey says that no depth is charted."""
    small = cell("small", SEA, **GOOD)
    assert said(found(cell("large", WEST), small)) == ["large unknown", "large hole"]
    no_datum = cell("large", WEST, datum="unknown")
    assert said(found(no_datum, small)) == ["large no-datum", "large hole"]
    offset = cell("large", WEST, datum="MSL", datum_below_msl_m=1.0, coverage=(covered(WEST),))
    assert said(found(offset, small)) == ["large unknown", "small known"]


def test_of_one_scale_either_counts_the_better_first() -> None:
    good = cell("good", SEA, quality=CATZOC_QUALITY[1])
    assert said(found(cell("a", WEST), good)) == ["good known"] * 2
    assert said(found(cell("a", WEST), cell("b", SEA))) == ["a unknown", "b unknown"]
    assert said(found(cell("b", WEST), cell("a", SEA))) == ["b unknown", "a unknown"]
    third = cell("third", SEA, scale=50_000.0, quality=CATZOC_QUALITY[1])
    assert said(found(third, cell("a", WEST), cell("b", EAST))) == ["a unknown", "b unknown"]


def test_one_too_coarse_hides_nothing_of_a_coarser_one() -> None:
    coarse = cell("coarse", SEA, scale=300_000.0)
    island = cell("coarser", None, scale=500_000.0, solids=(land("l", WEST, "coarser"),))
    assert said(found(coarse, island)) == ["coarser land", "coarse coarse"]
    finer = cell("coarse", SEA, scale=180_000.0)
    assert said(found(finer, island)) == ["coarse unknown"] * 2
    assert said(found(finer, smallest_scale=100_000.0)) == ["coarse coarse"] * 2


def test_the_better_of_two_files_counts_and_a_cell_before_a_file() -> None:
    def loose(name: str, **more: object) -> Chart:
        file = {"kind": SourceKind.VECTOR, "scale": None, "coverage": ()}
        return cell(name, SEA, **{**file, **more})

    rough = loose("rough", quality=CATZOC_QUALITY[4])
    unknown, known = loose("unknown"), loose("known", quality=CATZOC_QUALITY[1])
    assert said(found(unknown, rough)) == ["rough rough"] * 2
    assert said(found(unknown, rough, known)) == ["known known"] * 2
    # By what it is worth, not by its scale.
    assert said(found(loose("unknown", scale=1000.0), rough)) == ["rough rough"] * 2
    # A cell whose quality is unknown counts as rough, and the smaller number comes first.
    assert said(found(rough, cell("cell", SEA))) == ["cell unknown"] * 2
    assert said(found(known, cell("cell", SEA))) == ["known known"] * 2
    assert said(found(loose("f", datum="MSL"), rough)) == ["rough rough"] * 2


def test_land_is_known_and_comes_before_all_water() -> None:
    """Found by this test on 2026-11-28: well-known water of another source was shown over it."""
    charts = (
        cell("a", SEA, quality=CATZOC_QUALITY[1]),
        cell("b", SEA, solids=(land("l", WEST, "b"),)),
    )
    assert said(found(*charts)) == ["b land", "a known"]
    (patch,) = [p for p in found(*charts).patches if p.land]
    assert (patch.worth, patch.quality, patch.datum, patch.year) == (Worth.KNOWN, "", "", None)


def test_only_land_with_an_area_is_land() -> None:
    def solid(shape: shapely.Geometry, kind: SolidKind) -> Solid:
        return Solid(key="a/l", cls="LNDARE", source="a", geometry=shape, kind=kind)

    for none in (
        solid(WEST, SolidKind.STRUCTURE),
        solid(WEST.exterior, SolidKind.LAND),
        solid(WEST.centroid, SolidKind.LAND),
    ):
        assert said(found(cell("a", SEA, solids=(none,)))) == ["a unknown"] * 2
    mixed = shapely.GeometryCollection([WEST, shapely.Point(10.3, 54.1)])
    assert said(found(cell("a", SEA, solids=(solid(mixed, SolidKind.LAND),))))[0] == "a land"


def test_what_a_hole_says() -> None:
    bare = DepthArea(key="a/b", cls="DEPARE", source="a", geometry=EAST, charted_depth_m=None)
    both = (depth_area("d", WEST, 0.0, "a"), bare)
    hole = at(found(cell("a", None, depth_areas=both, datum="MLLW")), 10.3)
    assert hole is not None and hole.worth is Worth.HOLE
    assert (hole.datum, hole.why) == ("MLLW", "unsurveyed, or no depth is charted")
    loose = at(found(cell("a", None, depth_areas=both, coverage=())), 10.3)
    assert loose is not None and loose.worth is Worth.HOLE
    assert loose.why == "unsurveyed, or charted without a depth"
    assert said(found(cell("a", None, depth_areas=both))) == ["a unknown", "a hole"]


def test_coverage_bounds_water_land_and_holes() -> None:
    """CATCOV 2 takes from CATCOV 1, and beyond it there is nothing."""
    without = CoverageArea(key="a/n", cls="M_COVR", source="a", geometry=EAST, covered=False)
    one = (covered(SEA, "a"), without)
    beyond = shapely.box(10.0, 54.0, 10.4, 54.4)
    for held in (
        {"depth_areas": (depth_area("d", beyond, 5.0, "a"),)},
        {"solids": (land("l", beyond, "a"),)},
        {"unsurveyed": (unsurveyed("u", beyond, "a"),)},
    ):
        map_ = found(cell("a", None, coverage=one, **held))
        assert said(map_)[0] and not said(map_)[1]
        assert at(map_, 10.1, 54.3) is None


def test_land_over_unsurveyed_water_and_unsurveyed_over_depths() -> None:
    for cover in ((covered(SEA, "a"),), ()):
        chart = cell("a", SEA, unsurveyed=(unsurveyed("u", SEA, "a"),),
                     solids=(land("l", WEST, "a"),), coverage=cover)  # fmt: skip
        assert said(found(chart)) == ["a land", "a hole"]


def doubtful(shape: shapely.Geometry, depth_m: float | None = 5.0) -> DepthArea:
    return replace(depth_area("q", shape, depth_m, "a"), unreliable=True)


def test_depths_marked_as_not_to_be_trusted() -> None:
    held = (depth_area("d", EAST, 5.0, "a"), doubtful(WEST))
    map_ = found(cell("a", None, depth_areas=held, quality_zones=(zone("z", SEA, 1, "a"),)))
    patches = at(map_, 10.1), at(map_, 10.3)
    assert [p and (p.worth.value, p.quality) for p in patches] == [
        ("unknown", "marked as not to be trusted (QUASOU)"),
        ("known", "CATZOC A1"),
    ]
    nothing = (depth_area("d", SEA, 5.0, "a"), doubtful(WEST, None))
    map_ = found(cell("a", None, depth_areas=nothing, quality=CATZOC_QUALITY[1]))
    assert said(map_) == ["a hole", "a known"]


@pytest.mark.parametrize(
    ("one", "other", "counts"),
    [
        ((1, 2000), (4, 2010), "CATZOC C 2010"),  # the worse uncertainty at 10 m
        ((4, 2010), (1, 2000), "CATZOC C 2010"),
        ((6, 2010), (4, 2000), "CATZOC U (unassessed) 2010"),  # unknown before all
        ((3, 1990), (3, 1950), "CATZOC B 1950"),  # of one quality the older
        ((3, 1950), (3, 1990), "CATZOC B 1950"),
        ((3, None), (3, 1990), "CATZOC B None"),  # one without a date before all
    ],
)
def test_of_zones_that_overlap_the_worst_counts(
    one: tuple[int, int | None], other: tuple[int, int | None], counts: str
) -> None:
    zones = tuple(
        QualityZone(key=f"a/{n}", cls="M_QUAL", source="a", geometry=SEA, catzoc=c, surveyed=y)
        for n, (c, y) in enumerate((one, other))
    )
    (patch,) = found(cell("a", SEA, quality_zones=zones)).patches
    assert f"{patch.quality} {patch.year}" == counts


@pytest.mark.parametrize(
    ("quality", "worth"),
    # In 10 m of water: 1.5 m at most is well known.
    [
        (Quality(name="q", vertical_m=1.0, vertical_share=0.05), Worth.KNOWN),
        (Quality(name="q", vertical_m=1.01, vertical_share=0.05), Worth.ROUGH),
        (Quality(name="q", vertical_m=1.0, vertical_share=0.051), Worth.ROUGH),
        (UNKNOWN, Worth.UNKNOWN),
        (UNKNOWN.at_least(0.1), Worth.UNKNOWN),
    ],
)
def test_worth_by_quality(quality: Quality, worth: Worth) -> None:
    (patch,) = found(cell("a", SEA, quality=quality)).patches
    assert (patch.worth, patch.quality) == (worth, quality.name)


@pytest.mark.parametrize(
    ("datum", "offset_m", "worth"),
    [
        ("LAT", None, Worth.KNOWN),
        ("MSL", None, Worth.NO_DATUM),
        ("MSL", 0.0, Worth.KNOWN),
        ("NAP", 1.0, Worth.NO_DATUM),  # an offset from mean sea level tells nothing of another
    ],
)
def test_worth_by_datum(datum: str, offset_m: float | None, worth: Worth) -> None:
    facts = {"datum": datum, "datum_below_msl_m": offset_m, "quality": CATZOC_QUALITY[1]}
    (patch,) = found(cell("a", SEA, **facts)).patches
    assert (patch.worth, patch.datum) == (worth, datum)


def test_zones_are_compared_in_ten_metres_of_water() -> None:
    """CATZOC B: 1 m and 2 %, 1.2 m there; 1.22 m in 11 m."""
    for stated_m, counts in ((1.19, "CATZOC B"), (1.21, "SOUACC 1.21 m")):
        stated = QualityZone(
            key="a/s", cls="M_QUAL", source="a", geometry=SEA, catzoc=None,
            depth_uncertainty_m=stated_m,
        )  # fmt: skip
        zones = (stated, zone("b", SEA, 3, "a"))
        (patch,) = found(cell("a", SEA, quality_zones=zones)).patches
        assert patch.quality == counts


def test_of_datum_zones_that_overlap_the_first_counts() -> None:
    shapes = (("MLLW", WEST), ("MSL", SEA), ("LAT", shapely.box(20.0, 54.0, 20.1, 54.1)))
    zones = tuple(
        DatumZone(key=f"a/{datum}", cls="M_SDAT", source="a", geometry=shape, datum=datum)
        for datum, shape in shapes
    )
    map_ = found(cell("a", SEA, datum_zones=zones))
    assert [(p.datum, p.worth.value) for p in map_.patches] == [
        ("MLLW", "unknown"),
        ("MSL", "no-datum"),
    ]
    assert [p and p.datum for p in (at(map_, 10.1), at(map_, 10.3))] == ["MLLW", "MSL"]


@pytest.mark.parametrize(
    ("facts", "year"),
    [
        ({"surveyed": 1987}, 1987),
        ({"issued": "20190304"}, None),  # of a cell's issue nothing follows
        ({"issued": "20190304", "kind": SourceKind.VECTOR, "scale": None}, 2019),
        ({"issued": "2019", "surveyed": 1987, "kind": SourceKind.VECTOR, "scale": None}, 1987),
        ({"issued": "2019-03-04", "kind": SourceKind.VECTOR, "scale": None}, 2019),
        ({"issued": "", "kind": SourceKind.VECTOR, "scale": None}, None),
        ({"issued": "199", "kind": SourceKind.VECTOR, "scale": None}, 199),
        ({"issued": "n.d.", "kind": SourceKind.VECTOR, "scale": None}, None),
    ],
)
def test_the_year(facts: dict[str, object], year: int | None) -> None:
    (patch,) = found(cell("a", SEA, **facts)).patches
    assert patch.year == year
    zoned = found(cell("a", SEA, quality_zones=(zone("z", WEST, 1, "a"),), **facts))
    assert {p.year for p in zoned.patches} == {None}  # the zones are what says it


def test_areas_and_outlines() -> None:
    """True areas; outlines to a 3,000th of the patch's own greater side."""
    # A side of 0.3 degrees with a tooth of 0.000095 (less than 0.0001) or 0.000105 (more).
    for tooth, corners in ((0.000095, 4), (0.000105, 5)):
        ring = [(10.0, 54.0), (10.15, 54.0 - tooth), (10.3, 54.0), (10.3, 54.2), (10.0, 54.2)]
        shape = shapely.Polygon(ring)
        tall = shapely.Polygon([(lat - 44.0, lon + 44.0) for lon, lat in ring])
        for one in (shape, tall):
            (patch,) = found(cell("a", one, coverage=())).patches
            assert len(patch.geometry.exterior.coords) - 1 == corners
            assert patch.area_m2 == pytest.approx(abs(GEOD.geometry_area_perimeter(one)[0]))


def test_what_is_hardly_there_is_left_out() -> None:
    """1e-9 square degrees: some ten square metres."""
    for side, patches in ((3.1e-5, 0), (3.2e-5, 1)):
        tiny = shapely.box(10.0, 0.0, 10.0 + side, side)
        assert len(found(cell("a", tiny, coverage=())).patches) == patches


def test_sources_without_any_water_are_bare() -> None:
    line = shapely.LineString([(10.1, 54.0), (10.3, 54.15)])
    lines: tuple[Contour, ...] = (contour("c", line, 5.0, "a"),)
    file = {"kind": SourceKind.VECTOR, "scale": None}
    bare = found(
        cell("a", None, contours=lines, coverage=(), **file),
        cell("none", None, coverage=(), **file),
        cell("far", None, coverage=(covered(EAST),), contours=lines),
    ).bare
    assert [(s.id, sides) for s, sides in bare] == [
        ("a", (10.1, 54.0, 10.3, 54.15)),
        ("none", None),
    ]


def grid(depth_m: np.ndarray, **facts: object) -> MemoryGrid:
    """Over all the sea, in cells of a hundredth of a degree."""
    made = MemoryGrid(depth_m, x=10.005, y=54.195, dx=0.01, dy=0.01)
    made.source = replace(made.source, resolution_m=50.0, **facts)  # type: ignore[arg-type]
    return made


def deep(gaps: bool = False) -> np.ndarray:
    """20 m all over; on request with a column in the east that hold nothing."""
    depth = np.full((20, 40), 20.0)
    if gaps:
        depth[:, 30] = np.nan
    return depth


@pytest.fixture
def tiles(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten tiles along the longer side, of four cells a side."""
    monkeypatch.setattr(gridtiles, "_TILES", 10)


@pytest.mark.usefixtures("tiles")
def test_a_grid_says_of_itself_what_a_chart_does() -> None:
    facts = {"surveyed": 2011, "datum": "MLLW", "quality": CATZOC_QUALITY[4]}
    (patch,) = found(grids=(grid(deep(), **facts),)).patches
    assert (patch.worth, patch.quality) == (Worth.ROUGH, "CATZOC C")
    assert (patch.datum, patch.year, patch.why) == ("MLLW", 2011, "")
    assert patch.geometry.equals_exact(SEA, 1e-9, normalize=True)
    map_ = found(grids=(grid(deep(gaps=True), **facts),))
    assert [(p.worth.value, p.why, p.datum, p.year) for p in map_.patches] == [
        ("rough", "", "MLLW", 2011),
        ("hole", "some of the cells here hold no depth", "MLLW", 2011),
    ]
    assert said(map_) == ["memory rough", "memory hole"]
    assert not map_.remarks and not map_.bare
    nothing = found(grids=(grid(deep() * np.nan),))
    assert nothing.patches == () and [s.id for s, _ in nothing.bare] == ["memory"]


@pytest.mark.usefixtures("tiles")
def test_a_chart_counts_before_a_grid_of_the_same_worth() -> None:
    under = grid(deep(), quality=CATZOC_QUALITY[1])
    known = cell("a", WEST, quality=CATZOC_QUALITY[1], coverage=(covered(WEST),))
    assert said(found(known, grids=(under,))) == ["a known", "memory known"]
    # A smaller scale leaves open what it does not know; a grid fills it.
    assert said(found(cell("a", WEST), grids=(under,))) == ["memory known"] * 2


@pytest.mark.usefixtures("tiles")
def test_a_grid_too_large_to_look_for_holes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gridtiles, "MOST_CELLS", 799)
    map_ = found(grids=(grid(deep(gaps=True)),))
    (remark,) = map_.remarks
    assert remark.startswith("memory has more than ") and "its holes were not looked for" in remark
    assert said(map_) == ["memory unknown"] * 2


def test_many_patches_are_disjoint() -> None:
    """More than are looked through one by one: each lies half under the one before it."""
    shapes = [shapely.box(10.0 + n, 54.0, 11.5 + n, 55.0) for n in range(150)]
    charts = [
        cell(f"{n:03}", s, coverage=(covered(s),), scale=1000.0 + n) for n, s in enumerate(shapes)
    ]
    patches = found(*charts).patches
    assert len(patches) == 150
    assert sum(p.geometry.area for p in patches) == pytest.approx(150.5)
    assert [p.geometry.area for p in patches[1:]] == pytest.approx([1.0] * 149)
