"""Objects with seamark tags, from whatever file, on their way into a chart."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

import shapely

from routecheck.model.objects import UnknownObject
from routecheck.readers.charted import Draft, Row
from routecheck.readers.charted_marks import mark_of_no_kind, named_mark
from routecheck.readers.doubled import CLEARANCES, DEPTHS, merged
from routecheck.readers.features import add_rows
from routecheck.readers.ogr import Table
from routecheck.readers.overpass import filled
from routecheck.readers.seamark_tags import LINES, NO_SEAMARK, WHY, charted, others
from routecheck.readers.shapes import Shapes, shapes_of
from routecheck.readers.strict import cleaned

NOTHING_TAGGED = "nothing in it carries a seamark tag"
_LINE = 2
"""Code of a line in WKB."""
MOST_TAGS = 400
LONGEST_TAG = 500
Move = Callable[[Shapes], Shapes] | None
Rows = list[tuple[str, Mapping[str, Any], bytes | None]]
Own = Callable[[str], Mapping[str, dict[str, Any]]]


@dataclass
class Seamarks:
    """Collects tagged objects and gives them to a draft, class by class. Tags are in metres; the
    draft's units are those of the file's columns."""

    depth_unit_m: float = 1.0
    """Below zero where the file's depths are heights."""
    height_unit_m: float = 1.0
    rows: dict[str, Rows] = field(default_factory=dict)
    bare: int = 0
    """Objects with tags, none of which is a seamark of its own."""

    def add(
        self,
        ident: str,
        tags: Mapping[str, str],
        wkb: bytes | None,
        why: str = "",
        own: Own | None = None,
    ) -> None:
        """One object. `why` says what is wrong with its place, "" where nothing is; `own` reads
        what it says in columns of S-57, given the class that its tags say."""
        for further in others(tags):
            self._one(ident, further, wkb, why, None)
        self._one(ident, tags, wkb, why, own)

    def _one(
        self, ident: str, tags: Mapping[str, str], wkb: bytes | None, why: str, own: Own | None
    ) -> None:
        cls, values = charted(tags)
        judged = cls != NO_SEAMARK and not cls.startswith("seamark:")
        if judged:
            values = self._in_units(values)
        stated = own("" if not judged else cls) if own is not None else {}
        for other, said in stated.items():
            if other == "mark" and "_KIND" not in said and (judged or named_mark(cls)):
                continue  # called after marks, a layer or class says no more than the tags do
            if judged and other == cls:
                names = ("column", "seamark tag")
                values = merged(said, values, names, unit_m=self.depth_unit_m)
            else:
                self.rows.setdefault(other, []).append((ident, said, wkb))
        if cls == NO_SEAMARK:
            self.bare += not stated
            return
        if why:
            cls, values = f"seamark:{tags.get('seamark:type', '')}", values | {WHY: why}
        if wkb is not None and tags.get("seamark:type", "").lower() not in LINES:
            wkb = _filled(wkb)
        self.rows.setdefault(cleaned(cls, longest=40), []).append((ident, values, wkb))

    def _in_units(self, values: dict[str, Any]) -> dict[str, Any]:
        units = dict.fromkeys(DEPTHS, self.depth_unit_m)
        units |= dict.fromkeys(CLEARANCES, self.height_unit_m)
        return {
            name: value / units[name] if name in units and isinstance(value, float) else value
            for name, value in values.items()
        }

    def into(self, draft: Draft, move: Move = None) -> None:
        """Hand them over; `move` as for `add_rows`."""
        for cls in sorted(self.rows):
            if cls.startswith("seamark:"):
                _unknown(cls, self.rows[cls], draft, move)
            else:
                add_rows(cls, self.rows[cls], draft, move)
        if self.bare:
            draft.counts[NO_SEAMARK] += self.bare
            draft.harmless[NO_SEAMARK] += self.bare


def _unknown(cls: str, rows: Rows, draft: Draft, move: Move) -> None:
    draft.counts[cls] += len(rows)
    shapes, flaws = shapes_of([wkb for _, _, wkb in rows], move)
    for flaw in flaws:
        draft.problem(f"{cls} {rows[flaw.row][0]}: {flaw.wrong}", flaw.wrong, bounds=flaw.bounds)
    for (ident, values, _), shape in zip(rows, shapely.force_2d(shapes), strict=True):
        if shape is not None:
            row = Row(cls=cls, ident=ident, geometry=shape, values=values)
            what = row.text(WHY) or cls
            if named_mark(cls) and mark_of_no_kind(row, draft, what):
                continue
            why = f"{what} is not judged by any check"
            draft.put("unknown", UnknownObject(why=why, **draft.base(row)))


def tags_in(text: object) -> dict[str, str]:
    """Tags out of a JSON object, or of GDAL's ``"key"=>"value",…``; {} for anything else."""
    if isinstance(text, dict):
        pairs = text
    elif not isinstance(text, str):
        return {}
    else:
        try:
            pairs = json.loads(text if text.startswith("{") else _as_json(text))
        except (ValueError, RecursionError):
            return {}
    if not isinstance(pairs, dict) or len(pairs) > MOST_TAGS:
        return {}
    return {
        str(k): str(v)[:LONGEST_TAG] for k, v in pairs.items() if isinstance(v, str | int | float)
    }


def _as_json(text: str) -> str:
    return "{" + text.replace('"=>"', '":"') + "}"


def _filled(wkb: bytes) -> bytes:
    if int.from_bytes(wkb[1:5], "little" if wkb[:1] == b"\1" else "big") % 1000 != _LINE:
        return wkb
    try:
        return shapely.to_wkb(filled(shapely.from_wkb(wkb)))
    except (shapely.errors.GEOSException, ValueError):
        return wkb  # told by the reader of shapes


TAG_COLUMNS = ("tags", "all_tags", "other_tags")
_TYPE = "seamark:type"


def seamarks_of(
    table: Table,
    found: Seamarks | None = None,
    own: Callable[[int, str], Mapping[str, dict[str, Any]]] | None = None,
) -> tuple[Seamarks, set[int]]:
    """What carries seamark tags in a layer of any format, as columns of their own or as one
    column of tags, and in which rows it stands. Nothing where the layer has no such column.
    `own` gives what a row says in columns of S-57, by class, given the class of its tags."""
    found, taken = found or Seamarks(), set[int]()
    packed = [table.columns[name] for name in TAG_COLUMNS if name in table.columns]
    if _TYPE not in table.fields and not packed:
        return found, taken
    plain = {name: held for name, held in table.columns.items() if name not in TAG_COLUMNS}
    idents = next((plain[name] for name in ("@id", "osm_id", "id") if name in plain), None)
    for row in range(table.rows):
        tags = {
            k: str(v)[:LONGEST_TAG] for k, held in plain.items() if (v := held[row]) is not None
        }
        readings = [tags, *(tags_in(column[row]) for column in packed)]
        later, earlier = _later(readings), _later(readings[::-1])
        if any(key.startswith("seamark:") for key in later):
            taken.add(row)
            ident = str(idents[row] if idents is not None and idents[row] else row + 1)
            wkb = table.wkb[row] if table.wkb is not None else None
            ident = cleaned(ident, longest=40)
            found.add(ident, later, wkb, own=None if own is None else partial(own, row))
            # Columns that contradict each other are two objects: the worse of them counts.
            if _seamark(later) != _seamark(earlier):
                found.add(ident, earlier, wkb)
    return found, taken


def _later(readings: list[dict[str, str]]) -> dict[str, str]:
    return {key: value for tags in readings for key, value in tags.items()}


def _seamark(tags: Mapping[str, str]) -> dict[str, str]:
    return {key: value.strip() for key, value in tags.items() if key.startswith("seamark:")}
