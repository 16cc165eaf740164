"""Lights and top marks find the mark that they are fitted to, and are told in words.

Codes: IHO S-57 edition 3.1, appendix A (LITCHR, SIGGRP, SIGPER, TOPSHP, VALNMR). Tags of
OpenStreetMap: its wiki, pages Seamarks/Lights and Seamarks/Topmarks.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import shapely

from routecheck.model.objects import Mark, MarkKind
from routecheck.readers.fittings import CHARACTERS, TOP_MARKS, from_tags, light_words
from routecheck.readers.marks import read_marks
from routecheck.readers.s57 import read_cell
from routecheck.readers.seamark_tags import charted
from routecheck.readers.vector import read_vector
from tests.s57_writer import Cell

HERE, THERE = shapely.Point(10.05, 54.05), shapely.Point(10.06, 54.05)


def marks(folder: Path, *objects: tuple[str, shapely.Point, dict[str, object]]) -> list[Mark]:
    cell = Cell()
    for cls, place, values in objects:
        cell.add(cls, place, **values)
    return list(read_cell(cell.write(folder)).marks)


BUOY = ("BOYLAT", HERE, {"CATLAM": 1, "COLOUR": "3"})
LIGHT = {"LITCHR": 2, "SIGGRP": "(2+1)", "SIGPER": 6, "COLOUR": "3", "HEIGHT": 4, "VALNMR": 3}


def test_a_light_and_a_top_mark_in_the_marks_own_place(tmp_path: Path) -> None:
    (mark,) = marks(
        tmp_path, BUOY, ("LIGHTS", HERE, LIGHT), ("TOPMAR", HERE, {"TOPSHP": 5, "COLOUR": "3"})
    )
    assert mark.light == "flashing (2+1) red, every 6 s, 4 m high, seen 3 M"
    assert mark.top_mark == "can, red"


def test_what_stands_elsewhere_is_not_the_marks(tmp_path: Path) -> None:
    (mark,) = marks(tmp_path, BUOY, ("LIGHTS", THERE, LIGHT), ("TOPMAR", THERE, {"TOPSHP": 5}))
    assert (mark.light, mark.top_mark) == ("", "")


def test_sectors_are_told_one_by_one_and_equal_lights_once(tmp_path: Path) -> None:
    beacon = ("BCNLAT", HERE, {"CATLAM": 2})
    white = {"LITCHR": 1, "COLOUR": "1", "SECTR1": 10, "SECTR2": 20}
    red = {"LITCHR": 1, "COLOUR": "3", "SECTR1": 20, "SECTR2": 355}
    (mark,) = marks(tmp_path, beacon, *[("LIGHTS", HERE, v) for v in (white, red, white)])
    assert mark.light == (
        "fixed white, over bearings 010° to 020°; fixed red, over bearings 020° to 355°"
    )


def test_a_light_of_which_nothing_is_stated_is_still_a_light(tmp_path: Path) -> None:
    (mark,) = marks(tmp_path, BUOY, ("LIGHTS", HERE, {}), ("TOPMAR", HERE, {}))
    assert (mark.light, mark.top_mark) == ("a light", "")


def test_the_quick_flashes_are_counted_not_the_long_one() -> None:
    # IALA R1001, south cardinal: Q(6) + LFl.
    words = light_words(character=CHARACTERS[25], group="(6)(1)", colours=("white",), period="15 s")
    assert words == "quick-flashing (6) and a long flash white, every 15 s"


def test_every_code_of_the_standard_has_words() -> None:
    assert sorted(CHARACTERS) == [*range(1, 21), *range(25, 30)]
    assert sorted(TOP_MARKS) == list(range(1, 34))


def test_tags_of_a_mark_itself() -> None:
    tags = {
        "seamark:type": "buoy_cardinal",
        "seamark:buoy_cardinal:category": "south",
        "seamark:topmark:shape": "2 cones down",
        "seamark:topmark:colour": "black",
        "seamark:light:character": "Q+LFl",
        "seamark:light:group": "6",
        "seamark:light:colour": "white",
        "seamark:light:period": "15",
        "seamark:light:range": "5",
    }
    cls, values = charted(tags)
    assert cls == "BOYCAR"
    assert values["_TOP_MARK"] == "two cones, points down, black"
    assert values["_LIGHT"] == "quick-flashing (6) and a long flash white, every 15 s, seen 5 M"


def test_numbered_lights_with_sectors_and_odd_words() -> None:
    tags = {
        "seamark:light:1:character": "Fl",
        "seamark:light:1:colour": "white",
        "seamark:light:1:sector_start": "349",
        "seamark:light:1:sector_end": "002.5",
        "seamark:light:2:character": "Blinky\x1b[2J",
        "seamark:light:2:height": "tall",
        "seamark:topmark:shape": "weathercock",
    }
    found = from_tags(tags)
    assert found["_LIGHT"].startswith("flashing white, over bearings 349° to 002°; Blinky")
    assert found["_LIGHT"].endswith(", tall") and "\x1b" not in found["_LIGHT"]
    assert found["_TOP_MARK"] == "weathercock"
    assert from_tags({"seamark:light": "yes"}) == {}


def test_a_users_own_table_may_carry_them(tmp_path: Path) -> None:
    csv = tmp_path / "marks.csv"
    csv.write_text(
        "kind,name,lon,lat,colours,top_mark,light\nlateral,No 1,10.5,54.2,red,red can,Fl R 4 s\n"
    )
    (mark,) = read_marks(csv)
    assert (mark.top_mark, mark.light) == ("red can", "Fl R 4 s")
    properties = {"kind": "north", "top_mark": "two cones", "light": 7}
    shape = {"type": "Point", "coordinates": [10.5, 54.2]}
    collection = {
        "type": "FeatureCollection",
        "features": [{"type": "Feature", "properties": properties, "geometry": shape}],
    }
    plain = tmp_path / "marks.geojson"
    plain.write_text(json.dumps(collection))
    (mark,) = read_marks(plain)
    assert (mark.top_mark, mark.light) == ("two cones", "")
    properties["class"] = "mark"
    plain.write_text(json.dumps(collection))
    (chart,) = (read_vector(plain),)
    assert chart[0].marks[0].top_mark == "two cones"


@pytest.mark.parametrize(
    ("colours", "kind"),
    [("5,6,5,6", MarkKind.EMERGENCY_WRECK), ("6", MarkKind.SPECIAL), ("5", MarkKind.SPECIAL)],
)
def test_blue_and_yellow_is_an_emergency_wreck_mark(
    tmp_path: Path, colours: str, kind: MarkKind
) -> None:
    """IALA R1001, emergency wreck marking: no other mark shows blue and yellow stripes."""
    (mark,) = marks(tmp_path, ("BOYSPP", HERE, {"CATSPM": 27, "COLOUR": colours}))
    assert mark.kind is kind


def test_the_lights_of_a_real_cell(real_data: Path) -> None:
    """US4MD81M: Harris Creek Light 2H, Fl R 2.5s 18ft 4M in its own objects."""
    chart = read_cell(real_data / "s57_noaa_us4md81m" / "US4MD81M.000")
    by_name = {mark.name: mark for mark in chart.marks}
    assert by_name["Harris Creek Light 2H"].light == (
        "flashing red, every 2.5 s, 5.5 m high, seen 4 M"
    )
    assert sum(bool(mark.light) for mark in chart.marks) == 141
    assert chart.harmless["LIGHTS"] == chart.counts["LIGHTS"] > 141


@pytest.mark.parametrize("kind", ["light_minor", "daymark", "pile"])
def test_a_light_daymark_or_pile_that_carries_a_category_is_that_mark(kind: str) -> None:
    tags = {"seamark:type": kind, "seamark:name": "P 2", "seamark:light:character": "Fl"}
    lateral = {
        "seamark:beacon_lateral:category": "port",
        "seamark:beacon_lateral:colour": "red",
        "seamark:beacon_lateral:system": "iala-a",
    }
    cls, values = charted(tags | lateral)
    assert (cls, values["CATLAM"], values["COLOUR"], values["MARSYS"]) == ("BCNLAT", 1, "red", 1)
    assert (values["OBJNAM"], values["_LIGHT"]) == ("P 2", "flashing")
    cls, values = charted(tags | {"seamark:beacon_cardinal:category": "west"})
    assert (cls, values["CATCAM"]) == ("BCNCAR", 4)
    # What says no hand or quadrant stays the post that it is.
    post = "PILPNT" if kind == "pile" else "LNDMRK"
    assert charted(tags | {"seamark:beacon_lateral:category": "waterway_right"})[0] == post
    assert charted(tags)[0] == post


def test_shape_of_a_buoy_in_words(tmp_path: Path) -> None:
    """S-57 attribute 4 (BOYSHP): 1 conical, 2 can; the wiki's words for the tags."""
    for code, word in ((1, "conical"), (2, "can"), (4, "pillar")):
        (mark,) = marks(tmp_path, ("BOYLAT", HERE, {"CATLAM": 1, "BOYSHP": code}))
        assert mark.shape == word
    (plain,) = marks(tmp_path, BUOY)
    assert plain.shape == ""
    tags = {"seamark:type": "buoy_lateral", "seamark:buoy_lateral:category": "port"}
    _, values = charted(tags | {"seamark:buoy_lateral:shape": "conical"})
    assert values["BOYSHP"] == 1
