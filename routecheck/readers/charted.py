"""A chart in the making: rows from any reader, values with their units, flaws with their places."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from shapely.geometry.base import BaseGeometry

from routecheck.model.chart import Chart, Problem, Severity
from routecheck.model.datum import UNKNOWN, VERDAT
from routecheck.model.objects import Attribute, Charted, Mark, UnknownObject
from routecheck.model.source import Source
from routecheck.readers.accuracy import Zone, with_zones
from routecheck.readers.fillnumbers import is_fill
from routecheck.readers.mounted import borne_by_nothing
from routecheck.readers.strict import cleaned

DEEPEST_M = 12_000.0
"""Deeper than any sea (Challenger Deep, about 10.9 km): no depth, but a slip."""
DOUBTFUL_POSITION_M = 500.0
"""A position marked approximate or doubtful (common practice)."""
MOST_PROBLEMS_ALIKE = 20
LONGEST_TEXT = 300
_DOUBTFUL = frozenset(range(2, 10))
"""QUAPOS from unsurveyed to estimated: IHO S-57 edition 3.1, appendix A, attribute 402."""
_APPROXIMATE = 4
_CODE = re.compile(r"\s*\d{1,6}(?:\.0*)?\s*")
_SHOWN_ELSEWHERE = frozenset({"PRIM", "OBJL", "AGEN", "FIDN", "FIDS", "OBJNAM", "NOBJNM"})

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One object as read. `values` holds what is not null, by S-57 attribute."""

    cls: str
    ident: str
    geometry: BaseGeometry
    values: Mapping[str, Any]

    def code(self, name: str) -> int | None:
        """One code; None where it is not stated or is no whole number."""
        found = self.codes(name)
        return found[0] if len(found) == 1 else None

    def codes(self, name: str) -> tuple[int, ...]:
        """A list of codes, () where none is stated."""
        value = self.values.get(name)
        return () if value is None else codes_of(value)

    def text(self, name: str) -> str:
        """A text on one line, "" where none is stated."""
        value = self.values.get(name)
        return "" if value is None else clean(str(value))

    def raw_number(self, name: str) -> float | None:
        """A finite number as stated, without a unit; None for anything else."""
        return number_of(self.values.get(name))

    def uncertainty_m(self, *, floating: bool = False, alone: bool = False) -> float | None:
        """How far off its position may be, as the object itself states it.

        Floating marks swing, and most cells mark them all approximate: that alone says nothing.
        `alone`: for areas on whose doubtful edges contour or coast lines stand, the lines say it.
        """
        quality = self.code("_QUAPOS_ALONE") if alone else self.code("_QUAPOS")
        quality = quality if quality is not None else self.code("QUAPOS")
        stated = self.raw_number("_POSACC")
        stated = stated if stated is not None else self.raw_number("POSACC")
        own = [stated] if stated is not None and 0.0 < stated < 1e6 else []
        if quality in _DOUBTFUL and not (floating and quality == _APPROXIMATE):
            own.append(DOUBTFUL_POSITION_M)
        return max(own, default=None)

    def shown(self) -> dict[str, Attribute]:
        """What a report may want to show, plain."""
        found: dict[str, Attribute] = {}
        for name, value in self.values.items():
            if name in _SHOWN_ELSEWHERE or name.startswith("_"):
                continue
            if isinstance(value, float):
                found[name] = int(value) if value.is_integer() else value
            elif isinstance(value, int | tuple):
                found[name] = value
            else:
                found[name] = clean(str(value))
        return found


@dataclass(kw_only=True)
class Draft:
    """Collects the objects of one chart. Depths and heights come in the units given here."""

    source: str
    """The source's id, which keys begin with."""
    datum: str = UNKNOWN
    """That of depths, where an object does not state another."""
    height_datum: str = UNKNOWN
    depth_unit_m: float = 1.0
    height_unit_m: float = 1.0
    scale: float | None = None
    depth_sign: float = 1.0
    """-1.0 where heights are given for depths."""
    parts: dict[str, list[Any]] = field(default_factory=dict)
    """Objects by the field of `Chart` that holds them."""
    counts: Counter[str] = field(default_factory=Counter)
    harmless: Counter[str] = field(default_factory=Counter)
    height_datums: list[tuple[BaseGeometry, str]] = field(default_factory=list)
    """Zones in which heights and clearances stand on another datum."""
    accuracy_zones: list[Zone] = field(default_factory=list)
    """Zones in which positions of all but depths may be this far off."""
    mounted: list[UnknownObject] = field(default_factory=list)
    """Lights and the like, which count where nothing bears them."""
    _fittings: dict[tuple[float, float], dict[str, list[str]]] = field(default_factory=dict)
    _keys: Counter[str] = field(default_factory=Counter)
    _problems: dict[str, list[Problem]] = field(default_factory=dict)

    def put(self, where: str, thing: Charted) -> None:
        """Add an object to one of the chart's tuples, such as "depth_areas"."""
        self.parts.setdefault(where, []).append(thing)

    def base(self, row: Row, **uncertainty: bool) -> dict[str, Any]:
        """The fields that all charted objects have."""
        return {"key": self.key(row.cls, row.ident), **self.keyless(row, **uncertainty)}

    def keyless(self, row: Row, **uncertainty: bool) -> dict[str, Any]:
        """The same without a key, for an object that is split."""
        return {
            "cls": row.cls,
            "source": self.source,
            "geometry": row.geometry,
            "name": row.text("OBJNAM") or row.text("NOBJNM"),
            "position_uncertainty_m": row.uncertainty_m(**uncertainty),
            "attributes": row.shown(),
        }

    def key(self, cls: str, ident: str) -> str:
        """A key that no other object of this chart has."""
        key = f"{self.source}/{cls}/{ident}"
        self._keys[key] += 1
        return key if self._keys[key] == 1 else f"{key}~{self._keys[key]}"

    def depth_m(self, row: Row, name: str) -> float | None:
        """A depth in metres, positive down; None where it is blank, absurd or a number
        that stands for none (and then said)."""
        return self._measure(row, name, self.depth_unit_m * self.depth_sign)

    def height_m(self, row: Row, name: str) -> float | None:
        """A height or clearance in metres; None as for `depth_m`."""
        return self._measure(row, name, self.height_unit_m)

    def _measure(self, row: Row, name: str, unit_m: float) -> float | None:
        value = row.values.get(name)
        if value is None or value == "":
            return None
        number = number_of(value)
        if number is None or abs(number * unit_m) > DEEPEST_M:
            wrong = f"{name} {clean(str(value))[:40]!r} is no depth or height and was left out"
            self.flaw(row, wrong, kind=f"{row.cls} {name} absurd")
            return None
        if is_fill(name, number, unit_m):
            wrong = f"{name} {clean(str(value))[:40]} stands for no value and was left out"
            self.flaw(row, wrong, kind=f"{row.cls} {name} fill")
            return None
        return number * unit_m

    def accuracy_m(self, row: Row) -> float | None:
        """SOUACC, how far off the object's depths may be, metres; None where not stated. Given in
        the unit of depths: IHO S-57 edition 3.1, appendix A, attribute 144."""
        stated = self._measure(row, "SOUACC", self.depth_unit_m)
        return abs(stated) if stated else None

    def datum_of(self, row: Row, otherwise: str) -> str:
        """The vertical datum that the object itself states, else the one given."""
        code = row.code("VERDAT")
        return otherwise if code is None else VERDAT.get(code, UNKNOWN)

    def flaw(
        self,
        row: Row,
        wrong: str,
        *,
        kind: str,
        severity: Severity = Severity.NOT_ASSESSED,
        bounds: Bounds | None = None,
    ) -> None:
        """Report what is wrong with one object, where it lies."""
        name = row.text("OBJNAM")
        what = f"{row.cls} {row.ident}" + (f" ({name})" if name else "")
        self.problem(f"{what}: {wrong}", kind, severity, bounds or row.geometry.bounds)

    def problem(
        self,
        text: str,
        kind: str = "",
        severity: Severity = Severity.NOT_ASSESSED,
        bounds: Bounds | None = None,
    ) -> None:
        """Report something; of one `kind` no more than `MOST_PROBLEMS_ALIKE` singly."""
        made = Problem(source=self.source, text=clean(text), severity=severity, bounds=bounds)
        alike = self._problems.setdefault(kind or text, [])
        if not alike or alike[-1] != made:  # a value may be asked for twice
            alike.append(made)

    def fit(self, cls: str, lon_deg: float, lat_deg: float, words: str) -> None:
        """Keep what is fitted to the mark in this place, in words."""
        held = self._fittings.setdefault(_place(lon_deg, lat_deg), {})
        held.setdefault(cls, []).append(words)

    def _fitted(self, mark: Mark) -> Mark:
        """The mark with its lights and its top mark; what it states itself counts first."""
        held = self._fittings.get(_place(mark.lon_deg, mark.lat_deg))
        if held is None:
            return mark
        light = mark.light or listed(held.get("LIGHTS", []))
        top_mark = mark.top_mark or listed(held.get("TOPMAR", []))
        return replace(mark, light=light, top_mark=top_mark)

    def chart(self, source: Source) -> Chart:
        """The chart."""
        parts: dict[str, Any] = {name: tuple(things) for name, things in self.parts.items()}
        harmless = self.harmless
        if self._fittings and "marks" in parts:
            parts["marks"] = tuple(self._fitted(mark) for mark in parts["marks"])
        if self.mounted:
            alone = borne_by_nothing(self.mounted, parts)
            parts["unknown"] = (*parts.get("unknown", ()), *alone)
            harmless = harmless - Counter(one.cls for one in alone)
        if self.accuracy_zones:
            parts = with_zones(parts, self.accuracy_zones, source.own_position_uncertainty_m)
        return Chart(
            source=source,
            counts=dict(sorted(self.counts.items())),
            harmless=dict(sorted(harmless.items())),
            problems=tuple(self._told()),
            **parts,
        )

    def _told(self) -> Iterable[Problem]:
        for alike in self._problems.values():
            yield from alike[:MOST_PROBLEMS_ALIKE]
            rest = alike[MOST_PROBLEMS_ALIKE:]
            if rest:
                held = [p.bounds for p in rest]
                around = None if None in held else _around([b for b in held if b is not None])
                text = f"{len(rest)} more of the same as: {rest[0].text}"
                yield Problem(
                    source=self.source, text=text, severity=rest[0].severity, bounds=around
                )


def _place(lon_deg: float, lat_deg: float) -> tuple[float, float]:
    """A centimetre or so: objects of one cell share their node, those of tables their digits."""
    return round(lon_deg, 7), round(lat_deg, 7)


def listed(words: Iterable[str], most: int = 6) -> str:
    """Each once, in order, parted by semicolons; of many the first few."""
    each = list(dict.fromkeys(words))
    more = len(each) - most
    return "; ".join(each[:most] + ([f"and {more} more"] if more > 0 else []))


def _around(boxes: list[Bounds]) -> Bounds:
    west, south, east, north = zip(*boxes, strict=True)
    return min(west), min(south), max(east), max(north)


def codes_of(value: Any) -> tuple[int, ...]:
    """Codes in a number, a list, or text such as ``"3,4"``; () for anything else."""
    if isinstance(value, float):  # as every code comes out of a column of numbers
        return (int(value),) if value.is_integer() else ()
    if isinstance(value, tuple) and all(isinstance(one, int) for one in value):
        return value
    if isinstance(value, int) and not isinstance(value, bool):
        return (value,)
    parts = value if isinstance(value, list | tuple) else _listed(str(value or ""))
    texts = [str(part) for part in parts if str(part).strip()]
    if not all(_CODE.fullmatch(text) for text in texts):
        return ()
    return tuple(int(float(text)) for text in texts)


def _listed(text: str) -> list[str]:
    """Parts of a list as text: ``3,4``, and as GDAL writes it, ``(2:3,4)`` or ``[ "3", "4" ]``."""
    return re.split(r"[,;]", re.sub(r"^\s*\(\d+:|[\[\]()\"\s]", "", text))


def number_of(value: Any) -> float | None:
    """A finite number, also from text; None for anything else."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, str):
        try:
            value = float(value.strip()[:40]) if "_" not in value else None
        except ValueError:
            return None
    if isinstance(value, bool) or not isinstance(value, float | int):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def clean(text: str) -> str:
    """A text from a file on one line, without what could disturb a terminal or a page."""
    return _clean(text[: 4 * LONGEST_TEXT])


@lru_cache(maxsize=20_000)
def _clean(text: str) -> str:
    return cleaned(text, longest=LONGEST_TEXT)
