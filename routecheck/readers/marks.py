"""Hand-typed marks: CSV with the columns kind, name, colours, lon, lat, or GeoJSON points.

Columns top_mark and light, in words of any kind, may be there as well.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import shapely

from routecheck.model.errors import BadInput
from routecheck.model.objects import Mark, MarkKind
from routecheck.readers.geojson import read_features
from routecheck.readers.jsonfile import MOST_BYTES
from routecheck.readers.strict import (
    cleaned,
    decimal,
    decoded,
    latitude_deg,
    longitude_deg,
    nearest,
    read_bytes,
    shown,
)

COLUMNS = ("kind", "name", "colours", "lon", "lat", "top_mark", "light")
MOST_MARKS = 100_000
COLOURS = (
    "white",
    "black",
    "red",
    "green",
    "blue",
    "yellow",
    "grey",
    "brown",
    "amber",
    "violet",
    "orange",
    "magenta",
    "pink",
)
"""IHO S-57 edition 3.1, appendix A, attribute 75 (COLOUR)."""


def read_marks(path: Path, *, source: str | None = None) -> tuple[Mark, ...]:
    """The marks of a file; colours stand top to bottom, parted by ``-``, ``;`` or a space.

    `source` is the source's id for keys, the file's name where it is not given. Raises BadInput
    with the line or feature for a kind or colour that is not known, or a position that is none.
    """
    name = source if source is not None else cleaned(path.name) or "marks"
    head = read_bytes(path, most_bytes=MOST_BYTES)[:64].lstrip(b"\xef\xbb\xbf \t\r\n")
    marks = _from_geojson(path, name) if head.startswith(b"{") else _from_csv(path, name)
    made = tuple(marks)
    if not made:
        raise BadInput(file=str(path), wrong="it holds no mark")
    return made


def _from_csv(path: Path, source: str) -> Iterator[Mark]:
    file = str(path)
    text = decoded(read_bytes(path, most_bytes=MOST_BYTES), file=file)
    rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    columns: list[str] = []
    count = 0
    try:
        for row in rows:
            if not any(cell.strip() for cell in row):
                continue
            if not columns:
                columns = _columns(row, file)
                continue
            where = f"line {rows.line_num}"
            if len(row) != len(columns):
                wrong = f"it has {len(row)} values for {len(columns)} columns"
                raise BadInput(file=file, where=where, wrong=wrong)
            count += 1
            if count > MOST_MARKS:
                raise BadInput(file=file, where=where, wrong=f"there are more than {MOST_MARKS}")
            cells = dict(zip(columns, row, strict=True))
            try:
                at = longitude_deg(decimal(cells["lon"])), latitude_deg(decimal(cells["lat"]))
                yield _mark(
                    cells["kind"],
                    cells.get("colours", ""),
                    at,
                    key=f"{source}/mark/{count}",
                    source=source,
                    name=cells.get("name", ""),
                    top_mark=cells.get("top_mark"),
                    light=cells.get("light"),
                )
            except ValueError as error:
                raise BadInput(file=file, where=where, wrong=str(error)) from None
    except csv.Error as error:
        where = f"line {rows.line_num}"
        raise BadInput(file=file, where=where, wrong=f"this is not CSV ({error})") from None


def _columns(row: list[str], file: str) -> list[str]:
    columns = [cleaned(cell, longest=40).lower() for cell in row]
    do = f"the columns are {','.join(COLUMNS)}, parted by commas"
    for column in columns:
        if column not in COLUMNS:
            raise BadInput(
                file=file, where="first line", wrong=f"{column!r} is no column of marks", do=do
            )
        if columns.count(column) > 1:
            raise BadInput(file=file, where="first line", wrong=f"{column!r} stands twice", do=do)
    for column in ("kind", "lon", "lat"):
        if column not in columns:
            raise BadInput(file=file, where="first line", wrong=f"no column {column!r}", do=do)
    return columns


def _from_geojson(path: Path, source: str) -> Iterator[Mark]:
    for feature in read_features(path):
        for key in feature.properties:
            # Another spelling must not lose a mark its colours; other properties may stand.
            meant = nearest(key, ("kind", "colours"), likeness=0.75)
            if key not in COLUMNS and meant:
                named = cleaned(key, longest=40)
                raise feature.bad(f"property {named!r} is not known", do=f"did you mean {meant!r}?")
        if feature.type != "Point":
            raise feature.bad(f"it is a {feature.type or 'feature without geometry'}, not a Point")
        colours = feature.properties.get("colours")
        if isinstance(colours, list):
            if not all(isinstance(colour, str) for colour in colours):
                raise feature.bad("colours are not all text")
            colours = "-".join(colours)
        try:
            yield _mark(
                feature.properties.get("kind"),
                "" if colours is None else colours,
                feature.position(feature.coordinates, ""),
                key=f"{source}/mark/{feature.number}",
                source=source,
                name=feature.text("name"),
                top_mark=feature.properties.get("top_mark"),
                light=feature.properties.get("light"),
            )
        except ValueError as error:
            raise feature.bad(str(error)) from None


def _words(value: Any) -> str:
    """Words for the report; nothing is refused for them, so that what is no text is left out."""
    return cleaned(value) if isinstance(value, str) else ""


def _mark(
    kind: Any,
    colours: Any,
    at: tuple[float, float],
    *,
    key: str,
    source: str,
    name: str,
    top_mark: Any,
    light: Any,
) -> Mark:
    if not isinstance(kind, str) or not kind.strip():
        raise ValueError("the mark has no kind")
    word = kind.strip().lower()
    kinds = [known.value for known in MarkKind]
    if word not in kinds:
        meant = next((known for known in kinds if known.startswith(word)), nearest(word, kinds))
        hint = f"; did you mean {meant!r}?" if meant else f"; kinds are {', '.join(kinds)}"
        raise ValueError(f"{shown(kind)} is no kind of mark{hint}")
    if not isinstance(colours, str):
        raise ValueError(f"colours {shown(colours)} are not text")
    found = [part for part in re.split(r"[-;\s]+", colours.strip().lower()) if part]
    for colour in found:
        if colour not in COLOURS:
            meant = nearest(colour, COLOURS)
            hint = f"; did you mean {meant!r}?" if meant else f"; colours are {', '.join(COLOURS)}"
            raise ValueError(f"{shown(colour)} is no colour of a mark{hint}")
    if word == MarkKind.LATERAL and not found:
        raise ValueError("a lateral mark whose hand is not stated needs colours")
    return Mark(
        key=key,
        cls="mark",
        source=source,
        geometry=shapely.Point(*at),
        kind=MarkKind(word),
        colours=tuple(found),
        name=cleaned(name),
        top_mark=_words(top_mark),
        light=_words(light),
    )
