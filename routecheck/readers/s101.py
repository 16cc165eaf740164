"""S-101 cells: a base cell becomes one chart, of the same objects as an S-57 cell.

GDAL reads none yet, so this is read here, in this process. Updates (.001 …) are not read: a cell
beside which one lies is told to be out of date.

Limits: text and picture files that features refer to are not read; what a feature is tied to is
used for bridges and their spans only; curves that are arcs are drawn straight, and told.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import shapely

from routecheck.model.chart import Chart, Severity
from routecheck.model.datum import UNKNOWN
from routecheck.model.errors import BadInput
from routecheck.model.source import Source, SourceKind
from routecheck.readers import ogr
from routecheck.readers.beside import sidecar_path
from routecheck.readers.charted import Draft, Row, codes_of, number_of
from routecheck.readers.features import FIRST, STEERING, add_rows, harmless
from routecheck.readers.fittings import FITTINGS, describe
from routecheck.readers.iso8211 import Damaged, looks_like_iso8211
from routecheck.readers.s57_classes import WITHOUT_PLACE
from routecheck.readers.s57_files import updates_beside
from routecheck.readers.s101_cell import Cell, Feature, decode
from routecheck.readers.s101_head import depths_of, head_of, scale_of
from routecheck.readers.s101_rows import class_of, found, sectors, values_of
from routecheck.readers.s101_shapes import Builder, Shape
from routecheck.readers.strict import read_bytes

MOST_BYTES = 24 * 2**20
"""Cells are meant to stay below 10 MB (S-101 product specification, from memory)."""
_LINES = frozenset({"DEPCNT", "COALNE", "SLCONS", "DEPARE"})
"""Lines that stand on the edges of areas, and so carry their doubtful positions themselves."""
_DOUBTFUL = range(2, 10)
_SURFACE = 130
_COUNTED = ("information types", "points", "multipoints", "curves", "composite curves")
_NAMES = (*_COUNTED, "surfaces", "features")
_NOWHERE = shapely.Point()


def read_cell(path: Path) -> Chart:
    """One base cell (.000). Raises BadInput."""
    return S101Job(path).finish(ogr.Answer())


class S101Job:
    """One cell to be read; `finish` raises BadInput."""

    def __init__(self, path: Path, *, source_id: str | None = None) -> None:
        self.path = path
        self.source_id = source_id or path.name

    def request(self) -> ogr.Request:
        """Nothing: GDAL is not asked."""
        return ogr.Request()

    def finish(self, _answer: ogr.Answer) -> Chart:
        """The chart."""
        data = read_bytes(self.path, most_bytes=MOST_BYTES)
        if not looks_like_iso8211(data[:24]):
            raise BadInput(file=str(self.path), wrong="this is not an S-101 file")
        try:
            return self._chart(decode(data), hashlib.sha256(data).hexdigest())
        except Damaged as error:
            wrong = f"it is damaged: {error}"
            raise BadInput(file=str(self.path), wrong=wrong, do="fetch it again") from None

    def _chart(self, cell: Cell, sha256: str) -> Chart:
        head = head_of(cell, self.path)
        depths = depths_of(cell, self.path)
        scale = scale_of(cell)
        draft = Draft(
            source=self.source_id,
            datum=depths.datum,
            height_datum=depths.height_datum,
            scale=scale,
        )
        self._told(cell, draft)
        rows = _Rows(cell, draft, depths.codes)
        for cls, some in rows.by_class():
            add_rows(cls, some, draft)
        for row in rows.sectors:
            describe(row, draft)
        years = [z.surveyed for z in draft.parts.get("quality_zones", ()) if z.surveyed]
        return draft.chart(
            Source(
                id=self.source_id,
                file=str(self.path),
                sha256=sha256,
                kind=SourceKind.CHART_CELL,
                format="S-101",
                datum=draft.datum,
                datum_from="the vertical system (VDAT)" if draft.datum != UNKNOWN else "",
                depth_unit="m",
                scale=scale,
                edition=head.edition,
                updates=head.update,
                issued=head.issued,
                surveyed=min(years, default=None),
            )
        )

    def _told(self, cell: Cell, draft: Draft) -> None:
        """Report what concerns the whole cell."""
        held = (cell.information, cell.points, _whole(cell.clouds), cell.curves)
        there = [len(one) for one in (*held, cell.composites, cell.surfaces, cell.features)]
        for name, stated, has in zip(_NAMES, cell.counts, there, strict=True):
            if stated != has:
                draft.problem(f"the cell says that it has {stated} {name} and has {has}")
        try:
            later = [path.name for path in updates_beside(self.path)]
        except OSError:
            later = []
        if later:
            names = ", ".join(later[:3]) + (" …" if len(later) > 3 else "")
            draft.problem(
                f"updates of S-101 are not applied, and there are some beside it ({names}): "
                "the cell is out of date"
            )
        if draft.scale is None:
            draft.problem("the cell states no scale of display")
        if draft.datum == UNKNOWN:
            draft.problem("the cell states no sounding datum", severity=Severity.CAUTION)
        if sidecar_path(self.path).exists():
            wrong = "its sidecar was not read: a cell states all of that itself"
            draft.problem(wrong, severity=Severity.NOTE)


def _whole(clouds: Mapping[int, Any]) -> list[int]:
    """Multipoints, without the points that have a depth of their own."""
    return [number for number in clouds if number >= 0]


class _Rows:
    """All features of a cell as rows of S-57 classes."""

    def __init__(self, cell: Cell, draft: Draft, datums: Mapping[int, int]) -> None:
        self._cell, self._draft, self._datums = cell, draft, datums
        self._builder = Builder(cell)
        self._bridges = _bridges(cell)
        self._with_spans = frozenset(self._bridges.values())
        # Once each: a file may tie a hundred thousand features to one of a thousand attributes.
        self._above = {
            f.rcid: values_of(f, cell)
            for f in cell.features
            if f.cls == "Bridge" and f.rcid in self._with_spans
        }
        known = {rcid: _doubt(about) for rcid, about in cell.information.items()}
        self._doubt = {}
        for key, told in cell.qualified.items():
            doubts = [known.get(rcid, (0.0, 0.0)) for rcid in told]
            doubt = max(d[0] for d in doubts), max(d[1] for d in doubts)
            if any(doubt):
                self._doubt[key] = doubt
        self._on_lines: set[tuple[int, int]] = set()
        self.sectors: list[Row] = []
        """Sectors of lights but the first one, which stands for the light itself."""

    def by_class(self) -> list[tuple[str, list[tuple[str, dict[str, Any], bytes | None]]]]:
        """(class, rows), those first on which others depend."""
        read: list[tuple[str, Feature, dict[str, Any], Shape]] = []
        for feature in self._cell.features:
            cls, values = class_of(feature), values_of(feature, self._cell)
            self._from_bridge(feature, values)
            shape = self._shape(cls, feature, values)
            if cls in _LINES and all(kind != _SURFACE for kind, _, _ in feature.places):
                self._on_lines.update(shape.parts)
            read.append((cls, feature, values, shape))
        rows = defaultdict(list)
        for cls, feature, values, shape in read:
            ident = feature.ident or f"R{feature.rcid}"
            if shape.wrong:
                kind = shape.wrong if shape.wkb else ""
                self._draft.problem(f"{cls} {ident}: {shape.wrong}", kind, bounds=shape.bounds)
                if shape.wkb is None:
                    self._draft.counts[cls] += 1
                    continue
            self._positions(shape, values)
            if cls == "SOUNDG":
                self._own_datum(feature, values)
            first, *more = sectors(feature) or [{}]
            if more and shape.wkb:
                place = shapely.from_wkb(shape.wkb)
                self.sectors += [
                    Row(cls=cls, ident=ident, geometry=place, values=one) for one in more
                ]
            rows[cls].append((ident, values | first, shape.wkb))
        return sorted(rows.items(), key=lambda one: one[0] not in FIRST)

    def _shape(self, cls: str, feature: Feature, values: dict[str, Any]) -> Shape:
        bare = Row(cls=cls, ident=feature.ident, geometry=_NOWHERE, values=values)
        if cls in WITHOUT_PLACE:
            if feature.cls == "Bridge" and feature.rcid not in self._with_spans:
                return Shape(wrong="a bridge without a place and without spans")
            return Shape()
        if harmless(bare) and cls not in (*FITTINGS, *STEERING):
            return Shape()
        return self._builder.shape(feature)

    def _from_bridge(self, feature: Feature, values: dict[str, Any]) -> None:
        """What its bridge says counts for a span: what kind it is, and its name."""
        above = self._above.get(self._bridges.get(feature.rcid, -1))
        if above is None or not feature.cls.startswith("Span"):
            return
        both = (*codes_of(above.get("CATBRG")), *codes_of(values.get("CATBRG")))
        if both:
            values["CATBRG"] = tuple(dict.fromkeys(both))
        if "OBJNAM" in above:
            values.setdefault("OBJNAM", above["OBJNAM"])

    def _positions(self, shape: Shape, values: dict[str, Any]) -> None:
        """How well its points and curves are known: the worst of all, and of those on which no
        line of `_LINES` stands."""
        mine = [key for key in shape.parts if key in self._doubt] if self._doubt else []
        if mine:
            _worst(values, "_QUAPOS", [self._doubt[key][0] for key in mine])
            _worst(values, "_POSACC", [self._doubt[key][1] for key in mine])
            left = [self._doubt[key][0] for key in mine if key not in self._on_lines]
            _worst(values, "_QUAPOS_ALONE", left)

    def _own_datum(self, feature: Feature, values: dict[str, Any]) -> None:
        """The datum of soundings that stand on another vertical system than the rest."""
        for _, rcid, _ in feature.places:
            held = self._cell.clouds.get(rcid) or self._cell.clouds.get(-rcid - 1)
            if held is not None and held[0] in self._datums:
                values.setdefault("VERDAT", self._datums[held[0]])


def _worst(values: dict[str, Any], name: str, stated: list[float]) -> None:
    worst = max(stated, default=0.0)
    if worst > 0.0:
        values[name] = worst


def _doubt(about: Feature) -> tuple[float, float]:
    """(quality of the position, uncertainty in metres) by an information type, 0 for none."""
    quality, accuracy = 0.0, 0.0
    if about.cls == "SpatialQuality":
        for text in found(about.attrs, "qualityOfHorizontalMeasurement"):
            codes = codes_of(text)
            if codes and codes[0] in _DOUBTFUL:
                quality = max(quality, float(codes[0]))
        at = "horizontalPositionUncertainty"
        for path in (at, f"spatialAccuracy.{at}"):
            for text in found(about.attrs, f"{path}.uncertaintyFixed"):
                accuracy = max(accuracy, abs(number_of(text) or 0.0))
    return quality, accuracy


def _bridges(cell: Cell) -> dict[int, int]:
    """The bridge that each feature tied to one belongs to, by RCID; either names the other."""
    bridges = {f.rcid for f in cell.features if f.cls == "Bridge"}
    of: dict[int, int] = {}
    for feature in cell.features:
        for other in feature.linked:
            if feature.rcid in bridges:
                of[other] = feature.rcid
            elif other in bridges:
                of[feature.rcid] = other
    return of
