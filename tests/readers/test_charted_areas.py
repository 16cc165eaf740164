"""What becomes of rows of regulated areas, routeing, cables, ferries, locks.

Codes of attributes: IHO S-57 edition 3.1, appendix A, chapter 2; RESTRN 16 and above, CATREA 27
and above: S-101 feature catalogue 2.1.0.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import shapely

from routecheck.model import restriction
from routecheck.model.areas import Area, AreaKind
from routecheck.model.chart import Severity
from routecheck.model.objects import DangerKind
from routecheck.model.period import Period
from routecheck.readers.charted import Draft, Row
from routecheck.readers.charted_areas import AREAS, TRACKS, restrictions_of
from routecheck.readers.features import COUNTED_ONLY, READERS, add
from routecheck.readers.s57_classes import HARMLESS, LISTS, NUMBERS, TEXTS
from routecheck.readers.vector import read_vector

HERE = shapely.box(10.0, 54.0, 10.1, 54.1)
LINE = shapely.LineString([(10.0, 54.0), (10.1, 54.0)])


def drafted(cls: str, shape: Any = HERE, **values: Any) -> Draft:
    draft = Draft(source="c")
    add(Row(cls=cls, ident="1", geometry=shape, values=values), draft)
    return draft


def one(cls: str, shape: Any = HERE, **values: Any) -> Area:
    (area,) = drafted(cls, shape, **values).parts["areas"]
    assert isinstance(area, Area)
    return area


@pytest.mark.parametrize(("cls", "kind"), AREAS.items())
def test_every_class_becomes_its_kind(cls: str, kind: AreaKind) -> None:
    values = {"CATWED": 1.0} if cls == "WEDKLP" else {}
    assert one(cls, **values).kind is kind


def test_each_class_is_judged_once() -> None:
    assert set(AREAS) <= set(READERS)
    assert set(TRACKS) <= set(HARMLESS)
    read = set(AREAS.values()) | set(TRACKS.values()) | {AreaKind.GATE, AreaKind.TUNNEL}
    read.add(AreaKind.NARROW)
    # A marine farm is a danger, and an area only for what it restricts.
    assert read == set(AreaKind) - {AreaKind.MARINE_FARM}


@pytest.mark.parametrize(
    ("value", "codes"),
    [
        ((7,), (7,)),
        ("1,7", (1, 7)),
        ("(2:7,8)", (7, 8)),
        ('["14"]', (14,)),
        (7.0, (7,)),
        (["1", "27"], (1, 27)),
        ((16, 27, 39, 42), (16, 27, 39, 42)),  # beyond GDAL's own table
        ("1,1,3", (1, 3)),
        ("Entry prohibited; no wake", (7, 13)),
        ("entry  prohibited", (7,)),
        ("ask the harbour master", (restriction.UNREAD,)),
        ("entry prohibited, but ask", (7, restriction.UNREAD)),
        ((), (restriction.UNREAD,)),
        (None, ()),
        ("", ()),
    ],
)
def test_restrictions(value: Any, codes: tuple[int, ...]) -> None:
    row = Row(cls="RESARE", ident="1", geometry=HERE, values={"RESTRN": value})
    assert restrictions_of(row) == codes


def test_words_and_codes_of_restrictions_stand_for_each_other() -> None:
    for code in sorted(restriction.WORDS):
        row = Row(cls="RESARE", ident="1", geometry=HERE, values={"RESTRN": (code,)})
        assert restrictions_of(row) == (code,)
        if code and "," not in restriction.WORDS[code]:
            words = Row(
                cls="RESARE", ident="1", geometry=HERE, values={"RESTRN": restriction.WORDS[code]}
            )
            assert restrictions_of(words) == (code,)


def test_all_that_an_area_states() -> None:
    area = one(
        "RESARE", RESTRN=(8,), CATREA=(4, 31), STATUS=(5,), OBJNAM="Reed Bank", INFORM="Seals\nup",
        PERSTA="--0401", PEREND="--0731", DATSTA="20260101", DATEND="20301231", QUAPOS=4.0,
    )  # fmt: skip
    assert (area.categories, area.restrictions, area.status) == ((4, 31), (8,), (5,))
    assert (area.name, area.information) == ("Reed Bank", "Seals up")
    assert area.period == Period(
        date_start="20260101", date_end="20301231", season_start="--0401", season_end="--0731"
    )
    assert area.position_uncertainty_m == 500.0


@pytest.mark.parametrize(
    ("cls", "values", "one_way"),
    [
        ("TSSLPT", {"ORIENT": 66.0}, True),
        ("TSSLPT", {"ORIENT": 66.0, "TRAFIC": 3}, True),
        ("RCTLPT", {"ORIENT": 173.0}, True),
        ("RCTLPT", {"ORIENT": 173.0, "TRAFIC": 4}, False),
        ("DWRTPT", {"ORIENT": 145.0, "TRAFIC": 4}, False),
        ("DWRTPT", {"ORIENT": 145.0, "TRAFIC": 3}, True),
        ("RECTRC", {"ORIENT": 198.3, "TRAFIC": 3}, True),
        ("RECTRC", {"ORIENT": 198.3, "TRAFIC": 1}, True),  # inbound
        ("FAIRWY", {"TRAFIC": 2, "ORIENT": 10.0}, True),  # outbound
        ("TWRTPT", {"ORIENT": 10.0}, False),
    ],
)
def test_direction_of_traffic(cls: str, values: Any, one_way: bool) -> None:
    area = one(cls, **values)
    assert area.one_way is one_way
    assert area.orientation_deg == values["ORIENT"]


@pytest.mark.parametrize("orientation", [-1.0, 360.5, 1e9])
def test_a_direction_off_the_compass_is_left_out_and_told(orientation: float) -> None:
    draft = drafted("TSSLPT", ORIENT=orientation)
    assert draft.parts["areas"][0].orientation_deg is None
    from routecheck.model.source import Source, SourceKind

    source = Source(id="c", file="c", sha256="", kind=SourceKind.VECTOR, format="test", datum="LAT")
    (problem,) = draft.chart(source).problems
    assert problem.severity is Severity.NOT_ASSESSED and "360 degrees" in problem.text


def test_north_is_nought() -> None:
    assert one("TSSLPT", ORIENT=360.0).orientation_deg == 0.0


@pytest.mark.parametrize("cls", ["DRGARE", "MARCUL", "BRIDGE", "SLCONS", "HRBFAC"])
def test_another_class_with_a_restriction_is_both(cls: str) -> None:
    draft = drafted(cls, RESTRN=(27,), DRVAL1=5.0)
    (area,) = draft.parts["areas"]
    assert (area.kind, area.cls, area.restrictions) == (AreaKind.RESTRICTED, cls, (27,))
    assert "areas" not in drafted(cls, RESTRN=(1, 3), DRVAL1=5.0).parts


def test_a_gate_with_its_sill_and_what_hangs_over_it() -> None:
    draft = drafted("GATCON", LINE, CATGAT=4.0, DRVAL1=3.5, HORCLR=12.0, VERCLR=9.0)
    (gate,) = draft.parts["areas"]
    assert (gate.kind, gate.horizontal_clearance_m) == (AreaKind.GATE, 12.0)
    (sill,) = draft.parts["dangers"]
    assert (sill.kind, sill.charted_depth_m) == (DangerKind.SILL, 3.5)
    (span,) = draft.parts["spans"]
    assert span.vertical_clearance_m == 9.0
    keys = {thing.key for things in draft.parts.values() for thing in things}
    assert len(keys) == 3


def test_a_tunnel_below_the_bed_and_one_for_boats() -> None:
    assert one("TUNNEL", LINE).kind is AreaKind.TUNNEL
    assert set(drafted("TUNNEL", LINE, VERCLR=3.5).parts) == {"spans"}
    assert set(drafted("TUNNEL", LINE, HORCLR=7.0).parts) == {"spans"}


@pytest.mark.parametrize("cls", ["CANALS", "DOCARE"])
def test_water_that_says_how_wide_a_boat_may_be(cls: str) -> None:
    """HORCLR of a canal and a dock area: S-57 ed. 3.1, appendix A, chapter 1 (from memory)."""
    kept = one(cls, HORCLR=2.5)
    assert (kept.kind, kept.horizontal_clearance_m) == (AreaKind.NARROW, 2.5)
    assert not drafted(cls).parts
    assert not drafted(cls, HORCLR=None).parts
    assert cls not in COUNTED_ONLY  # or a cell's reader would not bring the width


def test_a_dyke_gate_is_part_of_the_dyke() -> None:
    assert set(drafted("GATCON", LINE, CATGAT=5.0).parts) == {"solids"}


def test_a_cable_with_a_depth_is_a_danger_of_that_depth() -> None:
    assert set(drafted("CBLSUB", LINE, DRVAL1=3.0).parts) == {"dangers"}
    assert set(drafted("CBLSUB", LINE).parts) == {"areas"}


def test_the_attributes_are_asked_of_the_cell() -> None:
    wanted = {"RESTRN", "CATREA", "CATMPA", "CATACH", "CATDPG", "CATPIP", "STATUS"}
    assert wanted <= LISTS
    singles = {"ORIENT", "TRAFIC", "CATFRY", "CATWAT", "CATWED", "CATGAT", "HORCLR"}
    assert singles <= set(NUMBERS)
    assert {"PERSTA", "PEREND", "DATSTA", "DATEND", "INFORM"} <= set(TEXTS) - LISTS


def test_areas_of_a_vector_file_in_words(tmp_path: Path) -> None:
    rows = [
        ("restricted area", {"restrictions": "entry restricted", "PERSTA": "--0401",
                             "PEREND": "--0731", "name": "Seal Sand"}),
        ("traffic lane", {"ORIENT": 66}),
        ("anchorage", {}),
        ("ferry route", {"CATFRY": 2}),
        ("caution areas", {"INFORM": "Wreckage reported"}),
    ]  # fmt: skip
    made = [
        {"type": "Feature", "properties": {"class": cls, **values},
         "geometry": shapely.geometry.mapping(HERE)}
        for cls, values in rows
    ]  # fmt: skip
    path = tmp_path / "areas.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": made}), encoding="utf-8")
    (chart,) = read_vector(path)
    found = {area.cls: area for area in chart.areas}
    assert set(found) == {"RESARE", "TSSLPT", "ACHARE", "FERYRT", "CTNARE"}
    assert found["RESARE"].restrictions == (8,) and found["RESARE"].name == "Seal Sand"
    assert found["RESARE"].period.season_end == "--0731"
    assert found["TSSLPT"].orientation_deg == 66.0
    assert found["FERYRT"].categories == (2,)
    assert found["CTNARE"].information == "Wreckage reported"
    assert chart.unknown == ()
