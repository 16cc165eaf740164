"""S-57 cells: a base cell with its updates becomes one chart.

GDAL applies the updates and assembles the geometries; here it is seen to that it did so with all
of them, and what the cell says of itself (datum, units, scale, quality) is attached. GDAL gets
its own copy of exactly the bytes that were hashed.

Limits: text in the national alphabet (NATF) is not read; what stands in the text files beside a
cell (TXTDSC) is not either.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from routecheck import units
from routecheck.model.chart import Chart, Severity
from routecheck.model.datum import UNKNOWN, VERDAT
from routecheck.model.errors import BadInput
from routecheck.model.source import Source, SourceKind
from routecheck.readers import ogr
from routecheck.readers.beside import sidecar_path
from routecheck.readers.charted import Draft, codes_of, number_of
from routecheck.readers.features import COUNTED_ONLY, FIRST, add_rows
from routecheck.readers.fittings import FITTINGS
from routecheck.readers.s57_classes import LISTS, NUMBERS, TEXTS
from routecheck.readers.s57_files import CellFiles, load
from routecheck.readers.s57_said import report

_WGS84 = 2
_POINT = 1
_DEPTH_UNITS_M = {1: 1.0, 3: units.METRES_PER_FOOT, 4: units.METRES_PER_FATHOM}
"""DUNI: metres, feet, fathoms and fractions. Fathoms and feet (2) has no agreed coding."""
_FATHOMS_AND_FEET = 2
_MIXED = "fathoms and feet, for which the standard lays down no way to write both in one number"
_UNIT_WORDS = {1: "m", 2: "fm and ft", 3: "ft", 4: "fm"}
_HEIGHT_UNITS_M = {1: 1.0, 2: units.METRES_PER_FOOT}
"""HUNI: IHO S-57 edition 3.1, part 3, clause 7.3.2.1."""


def read_cell(path: Path) -> Chart:
    """One base cell (.000) with the updates that lie beside it. Raises BadInput."""
    job = CellJob(path)
    (answer,) = ogr.read_all([job.request()])
    return job.finish(answer)


class CellJob:
    """One cell to be read; `request` and `finish` raise BadInput."""

    def __init__(self, path: Path, *, source_id: str | None = None) -> None:
        self.path = path
        self.source_id = source_id or path.name
        self._files: CellFiles | None = None
        self._folder: tempfile.TemporaryDirectory[str] | None = None

    def request(self) -> ogr.Request:
        """Check the files from outside, and what to ask of the child."""
        files = self._files = load(self.path)
        self._folder = tempfile.TemporaryDirectory(prefix="routecheck-cell-")
        folder = Path(self._folder.name)
        (folder / "CELL.000").write_bytes(files.base)
        for number, data in enumerate(files.updates, start=1):
            (folder / f"CELL.{number:03d}").write_bytes(data)
        size = len(files.base) + sum(map(len, files.updates))
        # The bytes are needed no more.
        self._files = files.without_bytes()
        return ogr.Request(
            task="cell",
            file=folder / "CELL.000",
            numbers=NUMBERS,
            texts=TEXTS,
            bare=COUNTED_ONLY,
            doubts=files.doubts,
            size=size,
        )

    def finish(self, answer: ogr.Answer) -> Chart:
        """The chart out of the child's answer."""
        files = self._files
        if self._folder is not None:
            self._folder.cleanup()
        if files is None:
            raise RuntimeError("finish before request")
        if answer.error:
            wrong = answer.error.replace(f"{self.path}: ", "")
            raise BadInput(file=str(self.path), wrong=f"GDAL cannot read it: {wrong}")
        draft = self._draft(answer.head)
        for problem in files.remarks:
            draft.problem(problem.text, severity=problem.severity)
        if sidecar_path(self.path).exists():
            wrong = "its sidecar was not read: a cell states all of that itself"
            draft.problem(wrong, severity=Severity.NOTE)
        self._all_there(answer, files, draft)
        boxes = report(answer, draft)
        tables = sorted(answer.tables, key=lambda table: table.name not in FIRST)
        for table in tables:
            if table.bare:
                draft.counts[table.name] += table.rows
                draft.harmless[table.name] += table.rows
                continue
            for cls, rows in _rows(table).items():
                add_rows(cls, rows, draft)
                if cls not in FITTINGS:
                    _whole_points(cls, rows, draft)
        boxes(draft)
        return draft.chart(self._source(answer, files, draft))

    def _draft(self, head: Mapping[str, Any]) -> Draft:
        horizontal = _code(head, "DSPM_HDAT")
        if horizontal != _WGS84:
            stated = "no horizontal datum" if horizontal is None else f"code {horizontal}"
            raise BadInput(
                file=str(self.path),
                where="DSPM HDAT",
                wrong=f"its positions are not on WGS 84 ({stated})",
            )
        depth_unit = _unit_m(head, "DSPM_DUNI", _DEPTH_UNITS_M, self.path, "depths")
        height_unit = _unit_m(head, "DSPM_HUNI", _HEIGHT_UNITS_M, self.path, "heights")
        scale = number_of(head.get("DSPM_CSCL"))
        return Draft(
            source=self.source_id,
            datum=VERDAT.get(_code(head, "DSPM_SDAT") or 0, UNKNOWN),
            height_datum=VERDAT.get(_code(head, "DSPM_VDAT") or 0, UNKNOWN),
            depth_unit_m=depth_unit,
            height_unit_m=height_unit,
            scale=scale if scale is not None and 0.0 < scale < 1e9 else None,
        )

    def _all_there(self, answer: ogr.Answer, files: CellFiles, draft: Draft) -> None:
        """Report objects and updates that GDAL passed over without a word."""
        read = sum(table.rows for table in answer.tables)
        if read != files.objects:
            draft.problem(
                f"of {files.objects} objects in the cell and its updates {read} were read"
            )
        reached = number_of(answer.head.get("DSID_UPDN"))
        if files.last_update and (reached is None or int(reached) != files.last_update):
            draft.problem(f"update {files.last_update} was not applied")
        if draft.scale is None:
            draft.problem("the cell states no compilation scale")
        if draft.datum == UNKNOWN:
            draft.problem("the cell states no sounding datum", severity=Severity.CAUTION)

    def _source(self, answer: ogr.Answer, files: CellFiles, draft: Draft) -> Source:
        head = answer.head
        issued = str(head.get("DSID_ISDT") or "")
        dated = re.fullmatch(r"(\d{4})(\d\d)(\d\d)", issued)
        years = [
            zone.surveyed
            for zone in draft.parts.get("quality_zones", ())
            if zone.surveyed is not None
        ]
        return Source(
            id=self.source_id,
            file=str(self.path),
            sha256=files.sha256,
            kind=SourceKind.CHART_CELL,
            format="S-57",
            datum=draft.datum,
            datum_from="DSPM SDAT" if draft.datum != UNKNOWN else "",
            depth_unit=_UNIT_WORDS.get(_code(head, "DSPM_DUNI") or 0, ""),
            scale=draft.scale,
            edition=str(head.get("DSID_EDTN") or "").strip(),
            updates=int(number_of(head.get("DSID_UPDN")) or 0),
            issued="-".join(dated.groups()) if dated else issued[:20],
            surveyed=min(years, default=None),
        )


def _code(head: Mapping[str, Any], name: str) -> int | None:
    codes = codes_of(head.get(name))
    return codes[0] if len(codes) == 1 else None


def _unit_m(
    head: Mapping[str, Any], name: str, known: Mapping[int, float], path: Path, what: str
) -> float:
    code = _code(head, name)
    if code is None or code not in known:
        words = _MIXED if known is _DEPTH_UNITS_M and code == _FATHOMS_AND_FEET else f"code {code}"
        raise BadInput(
            file=str(path),
            where=name.replace("_", " "),
            wrong=f"its {what} are in a unit that is not read ({words})",
        )
    return known[code]


def _rows(table: ogr.Table) -> dict[str, list[tuple[str, dict[str, Any], bytes | None]]]:
    """Objects of a table by class: (long name, attributes, WKB) each."""
    columns: list[tuple[str, list[Any]]] = []
    for name, column in table.columns.items():
        if name in LISTS:
            # "\x7f" marks an attribute that an update took away.
            listed = [
                codes_of(one.strip("\x7f")) if isinstance(one, str) else one for one in column
            ]
            columns.append((name, [one or None for one in listed]))
        else:
            columns.append((name, [None if one in ("", "\x7f") else one for one in column]))
    found: dict[str, list[tuple[str, dict[str, Any], bytes | None]]] = {}
    wkb = table.wkb or [None] * table.rows
    names = long_names(table)
    for row in range(table.rows):
        values = {name: column[row] for name, column in columns if column[row] is not None}
        # "Generic" holds what GDAL's tables of classes do not know.
        cls = table.name
        if cls == "Generic":
            cls = f"OBJL{int(number_of(values.get('OBJL')) or 0)}"
        found.setdefault(cls, []).append((names[row], values, wkb[row]))
    return found


def _whole_points(
    cls: str, rows: list[tuple[str, dict[str, Any], bytes | None]], draft: Draft
) -> None:
    """Report points that stand on more than one node: GDAL takes the first and says nothing."""
    for ident, values, _ in rows:
        if values.get("PRIM") == _POINT and (values.get("_LINKS") or 0) > 1:
            draft.problem(
                f"{cls} {ident}: it has more places than one; the first was read", "places"
            )


def long_names(table: ogr.Table) -> list[str]:
    """Agency, number and subdivision of each object: S-57 part 3, clause 3.1, as 16 digits."""
    parts = [table.columns.get(name, [None] * table.rows) for name in ("AGEN", "FIDN", "FIDS")]
    return [
        f"{int(agency or 0) & 0xFFFF:04X}{int(number or 0) & 0xFFFFFFFF:08X}"
        f"{int(part or 0) & 0xFFFF:04X}"
        for agency, number, part in zip(*parts, strict=True)
    ]
