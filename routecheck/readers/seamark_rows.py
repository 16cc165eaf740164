"""Objects with seamark tags, from whatever file, on their way into a chart."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

import shapely

from routecheck.model.objects import UnknownObject
from routecheck.readers.charted import Draft, Row
from routecheck.readers.features import add_rows
from routecheck.readers.ogr import Table
from routecheck.readers.overpass import filled
from routecheck.readers.seamark_tags import LINES, NO_SEAMARK, WHY, charted
from routecheck.readers.shapes import Shapes, shapes_of
from routecheck.readers.strict import cleaned

NOTHING_TAGGED = "nothing in it carries a seamark tag"
_LINE = 2
"""Code of a line in WKB."""
MOST_TAGS = 400
LONGEST_TAG = 500
Move = Callable[[Shapes], Shapes] | None
Rows = list[tuple[str, Mapping[str, Any], bytes | None]]


class Seamarks:
    """Collects tagged objects and gives them to a draft, class by class."""

    def __init__(self) -> None:
        self.rows: dict[str, Rows] = {}
        self.bare = 0
        """Objects with tags, none of which is a seamark of its own."""

    def add(self, ident: str, tags: Mapping[str, str], wkb: bytes | None, why: str = "") -> None:
        """One object. `why` says what is wrong with its place, "" where nothing is."""
        cls, values = charted(tags)
        if cls == NO_SEAMARK:
            self.bare += 1
            return
        if why:
            cls, values = f"seamark:{tags.get('seamark:type', '')}", values | {WHY: why}
        if wkb is not None and tags.get("seamark:type", "").lower() not in LINES:
            wkb = _filled(wkb)
        self.rows.setdefault(cleaned(cls, longest=40), []).append((ident, values, wkb))

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
            why = f"{row.text(WHY) or cls} is not judged by any check"
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


def seamarks_of(table: Table) -> tuple[Seamarks, set[int]]:
    """What carries seamark tags in a layer of any format, as columns of their own or as one
    column of tags, and in which rows it stands. Nothing where the layer has no such column."""
    found, taken = Seamarks(), set[int]()
    packed = [table.columns[name] for name in TAG_COLUMNS if name in table.columns]
    if _TYPE not in table.fields and not packed:
        return found, taken
    plain = {name: held for name, held in table.columns.items() if name not in TAG_COLUMNS}
    idents = next((plain[name] for name in ("@id", "osm_id", "id") if name in plain), None)
    for row in range(table.rows):
        tags = {
            k: str(v)[:LONGEST_TAG] for k, held in plain.items() if (v := held[row]) is not None
        }
        for column in packed:
            tags |= tags_in(column[row])
        if any(key.startswith("seamark:") for key in tags):
            taken.add(row)
            ident = str(idents[row] if idents is not None and idents[row] else row + 1)
            wkb = table.wkb[row] if table.wkb is not None else None
            found.add(cleaned(ident, longest=40), tags, wkb)
    return found, taken
