"""What is fitted to marks, in words: lights and top marks.

Codes: IHO S-57 edition 3.1, appendix A, attributes 107 (LITCHR), 141 and 142 (SIGGRP, SIGPER),
171 (TOPSHP), 178 (VALNMR). Words for OpenStreetMap's seamark tags: its wiki, pages
Seamarks/Lights and Seamarks/Topmarks. Words are for the reader of a report; of them all only the
top marks of R1001 are judged by (`nav.markshapes`, `nav.quadrantlook`), which know these words.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from routecheck.model.objects import UnknownObject
from routecheck.readers.charted import Draft, Row, clean, listed
from routecheck.readers.charted_marks import colours_of
from routecheck.readers.mounted import MOUNTED, why_mounted

FITTINGS = tuple(MOUNTED)
_LONG_FLASH = " and a long flash"
_QUICK = {4: "quick-flashing", 5: "very quick-flashing", 6: "ultra quick-flashing"}
CHARACTERS = {
    **_QUICK,
    **{1: "fixed", 2: "flashing", 3: "long-flashing", 7: "isophase", 8: "occulting"},
    **{code + 5: f"interrupted {word}" for code, word in _QUICK.items()},
    **{12: "morse", 13: "fixed and flashing", 14: "flashing and long-flashing"},
    **{15: "occulting and flashing", 16: "fixed and long-flashing", 17: "alternating occulting"},
    **{18: "alternating long-flashing", 19: "alternating flashing", 20: "alternating in groups"},
    **{code + 21: word + _LONG_FLASH for code, word in _QUICK.items()},
    **{28: "alternating", 29: "alternating fixed and flashing"},
}
TOP_MARKS = {
    **{1: "cone, point up", 2: "cone, point down", 3: "ball", 4: "two balls", 5: "can"},
    **{6: "board", 7: "diagonal cross", 8: "upright cross", 9: "cube, point up"},
    **{10: "two cones, point to point", 11: "two cones, base to base", 12: "diamond"},
    **{13: "two cones, points up", 14: "two cones, points down", 15: "broom, point up"},
    **{16: "broom, point down", 17: "flag", 18: "ball over a diamond", 19: "square"},
    **{20: "lying rectangle", 21: "standing rectangle", 22: "trapezium, up"},
    **{23: "trapezium, down", 24: "triangle, point up", 25: "triangle, point down"},
    **{26: "circle", 27: "two upright crosses", 28: "T", 29: "triangle over a circle"},
    **{30: "upright cross over a circle", 31: "diamond over a circle"},
    **{32: "circle over a triangle", 33: "top mark of another shape"},
}
_CHARACTER_TAGS = {
    **{"f": 1, "fl": 2, "lfl": 3, "q": 4, "vq": 5, "uq": 6, "iso": 7, "oc": 8, "iq": 9},
    **{"ivq": 10, "iuq": 11, "mo": 12, "ffl": 13, "fllfl": 14, "ocfl": 15, "flfl": 16},
    **{"al.oc": 17, "al.lfl": 18, "al.fl": 19, "al.grp": 20, "q+lfl": 25, "vq+lfl": 26},
    **{"uq+lfl": 27, "al": 28, "al.ffl": 29},
}
_SHAPE_TAGS = {
    **{"cone, point up": 1, "cone, point down": 2, "sphere": 3, "2 spheres": 4, "cylinder": 5},
    **{"board": 6, "x-shape": 7, "cross": 8, "cube, point up": 9, "2 cones point together": 10},
    **{"2 cones base together": 11, "rhombus": 12, "2 cones up": 13, "2 cones down": 14},
    **{"besom, point up": 15, "besom, point down": 16, "flag": 17, "sphere over rhombus": 18},
    **{"square": 19, "t-shape": 28, "circle": 26, "triangle, point up": 24},
    **{"triangle, point down": 25},
}


def fit(row: Row, draft: Draft) -> None:
    """Keep what is fitted to something for a look at what is charted there, and its words."""
    draft.mounted.append(UnknownObject(why=why_mounted(row.cls), **draft.base(row)))
    describe(row, draft)


def describe(row: Row, draft: Draft) -> None:
    """Keep the words for a light or a top mark for the mark that stands in the same place."""
    if row.geometry.geom_type != "Point" or row.cls not in ("LIGHTS", "TOPMAR"):
        return
    words = _light(row, draft) if row.cls == "LIGHTS" else _top_mark(row)
    lon_deg, lat_deg, _, _ = row.geometry.bounds
    if words:
        draft.fit(row.cls, lon_deg, lat_deg, words)


def _light(row: Row, draft: Draft) -> str:
    height = row.raw_number("HEIGHT")
    return light_words(
        character=CHARACTERS.get(row.code("LITCHR") or 0, ""),
        group=row.text("SIGGRP"),
        colours=colours_of(row.values.get("COLOUR")),
        period=_seconds(row.raw_number("SIGPER")),
        height=_number(None if height is None else height * draft.height_unit_m, " m high"),
        reach=_number(row.raw_number("VALNMR"), " M"),
        sector=_sector(row.raw_number("SECTR1"), row.raw_number("SECTR2")),
    )


def _top_mark(row: Row) -> str:
    return top_mark_words(
        TOP_MARKS.get(row.code("TOPSHP") or 0, ""), colours_of(row.values.get("COLOUR"))
    )


def light_words(
    *,
    character: str,
    group: str = "",
    colours: Sequence[str] = (),
    period: str = "",
    height: str = "",
    reach: str = "",
    sector: str = "",
) -> str:
    """A light in words: "flashing (2+1) red, every 6 s, 4 m high, seen 3 M".

    What is not stated is left out; a light of which nothing is stated is "a light".
    """
    groups = [part for part in re.findall(r"\(([^()]{1,12})\)", group) if part != "1"]
    if groups and character:
        first, long_flash, _ = character.partition(_LONG_FLASH)
        character = f"{first} ({groups[0]}){long_flash}"
    head = f"{character} {' and '.join(colours)}".strip()
    rest = [
        f"every {period}" if period else "",
        height,
        f"seen {reach}" if reach else "",
        sector,
    ]
    return ", ".join(part for part in [head or "a light", *rest] if part)


def top_mark_words(shape: str, colours: Sequence[str]) -> str:
    """A top mark in words: "can, red"; "" where its shape is not stated."""
    return f"{shape}, {' and '.join(colours)}" if shape and colours else shape


def from_tags(tags: Mapping[str, str]) -> dict[str, str]:
    """Words for the lights and the top mark that stand among the tags of a mark itself, under
    the names that a row of it carries; nothing where there are none."""
    found = {}
    lights = [_light_tags(tags, "seamark:light:")]
    lights += [_light_tags(tags, f"seamark:light:{number}:") for number in range(1, 13)]
    words = listed([light for light in lights if light])
    if words:
        found["_LIGHT"] = words
    shape = _tag(tags, "seamark:topmark:shape")
    if shape:
        known = TOP_MARKS.get(_SHAPE_TAGS.get(shape.lower(), 0), shape)
        found["_TOP_MARK"] = top_mark_words(known, _colour_tags(tags, "seamark:topmark:"))
    return found


def _light_tags(tags: Mapping[str, str], at: str) -> str:
    said = {
        name: _tag(tags, at + name)
        for name in ("character", "colour", "group", "period", "height", "range")
    }
    if not any(said.values()):
        return ""
    character = said["character"]
    known = CHARACTERS.get(_CHARACTER_TAGS.get(character.lower(), 0), character)
    group = said["group"]
    return light_words(
        character=known,
        group=group if group.startswith("(") or not group else f"({group})",
        colours=_colour_tags(tags, at),
        period=_with_unit(said["period"], " s"),
        height=_with_unit(said["height"], " m high"),
        reach=_with_unit(said["range"], " M"),
        sector=_sector(
            _as_number(_tag(tags, at + "sector_start")), _as_number(_tag(tags, at + "sector_end"))
        ),
    )


def _tag(tags: Mapping[str, str], key: str) -> str:
    return clean(tags.get(key, ""))[:40]


def _colour_tags(tags: Mapping[str, str], at: str) -> tuple[str, ...]:
    return colours_of(tags.get(at + "colour", ""))


def _as_number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if abs(number) < 1e6 else None


def _with_unit(text: str, unit: str) -> str:
    """A number with its unit; a text that is no number stands as it is."""
    number = _as_number(text)
    return text if number is None else _number(number, unit)


def _number(number: float | None, unit: str) -> str:
    return "" if number is None or not 0.0 < number < 1e6 else f"{number:.6g}{unit}"


def _seconds(number: float | None) -> str:
    return _number(number, " s")


def _sector(first: float | None, last: float | None) -> str:
    """Where it is seen, as bearings from seaward: S-57 SECTR1 and SECTR2."""
    if first is None or last is None or first == last:
        return ""
    return f"over bearings {first % 360.0:03.0f}° to {last % 360.0:03.0f}°"
