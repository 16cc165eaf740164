"""OpenStreetMap data with seamark tags: .osm.pbf and .osm through GDAL, and Overpass JSON.

What it holds may condemn; it never clears. Anyone fills it in, here and there: that an object is
missing from it proves nothing, its depths and clearances stand on a datum that no one states, and
it states no quality. A sidecar may state the datum.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import shapely

from routecheck.model.chart import Chart
from routecheck.model.datum import UNKNOWN
from routecheck.model.errors import BadInput
from routecheck.model.source import Source, SourceKind
from routecheck.readers import ogr
from routecheck.readers.chart_sidecar import Sidecar, read_sidecar
from routecheck.readers.charted import Draft
from routecheck.readers.overpass import Element, elements_of
from routecheck.readers.seamark_rows import NOTHING_TAGGED, Seamarks, tags_in
from routecheck.readers.strict import cleaned
from routecheck.readers.vector import digest_of

_KINDS = {"points": "node", "lines": "way"}


class SeamarkJob:
    """One file to read: `request` is for the child, `finish` makes a chart of its answer."""

    def __init__(self, path: Path, *, source_id: str | None = None, overpass: bool = False) -> None:
        self.path = path
        self.source_id = source_id or path.name
        self.overpass = overpass
        self._sha256 = ""
        self._sidecar: Sidecar | None = None

    def request(self) -> ogr.Request:
        """Measure the file and read its sidecar. Raises BadInput."""
        self._sidecar = read_sidecar(self.path)
        try:
            self._sha256 = digest_of(self.path)
            size = self.path.stat().st_size
        except OSError as error:
            wrong = f"it cannot be read ({error.strerror})"
            raise BadInput(file=str(self.path), wrong=wrong) from None
        if self.overpass:
            return ogr.Request()  # no driver reads it
        # Packed five times as tight as other formats, and read once a layer.
        return ogr.Request(task="osm", file=self.path, size=5 * size)

    def finish(self, answer: ogr.Answer) -> Chart:
        """The chart out of the child's answer. Raises BadInput."""
        file = str(self.path)
        if answer.error:
            wrong = answer.error.replace(f"{file}: ", "").replace(file, "it")
            raise BadInput(file=file, wrong=f"GDAL cannot read it: {wrong}")
        said = self._sidecar or Sidecar(file="")
        draft = Draft(source=self.source_id, datum=said.datum or UNKNOWN)
        found = Seamarks()
        issued = self._elements(found, draft) if self.overpass else _tables(answer, found, draft)
        if not found.rows:
            raise BadInput(file=file, wrong=NOTHING_TAGGED)
        found.into(draft)
        chart = draft.chart(
            Source(
                id=self.source_id,
                file=file,
                sha256=self._sha256,
                kind=SourceKind.VECTOR,
                format="OpenStreetMap",
                datum=said.datum or UNKNOWN,
                datum_from="sidecar" if said.datum else "",
                datum_below_msl_m=said.datum_below_msl_m,
                quality=said.quality,
                surveyed=said.surveyed,
                issued=cleaned(issued[:10]),
            )
        )
        return replace(chart, proves_absence=False)

    def _elements(self, found: Seamarks, draft: Draft) -> str:
        whole = elements_of(self.path)
        for element in whole.elements:
            if any(key.startswith("seamark:") for key in element.tags):
                found.add(element.ident, element.tags, _place(element), element.why)
        if whole.remark:
            draft.problem(f"the data says of itself that it is not whole: {whole.remark}")
        return whole.issued


def _place(element: Element) -> bytes | None:
    return None if element.shape is None else shapely.to_wkb(element.shape)


def _tables(answer: ogr.Answer, found: Seamarks, draft: Draft) -> str:
    for table in answer.tables:
        tags = table.columns.get("all_tags", [])
        ids = table.columns.get("osm_id", [])
        for row, text in enumerate(tags):
            told = tags_in(text)
            kind = _KINDS.get(table.name, "relation")
            ident = ids[row] if row < len(ids) else None
            if ident is None:  # an area out of a closed way carries no relation's number
                kind, ident = table.name, row + 1
            wkb = table.wkb[row] if table.wkb is not None else None
            found.add(f"{kind} {cleaned(str(ident), longest=40)}", told, wkb)
    failed = answer.head.get("failed", {})
    if failed:
        which = "relations" if "lines" not in failed else "ways and relations"
        why = next(iter(failed.values()))
        draft.problem(f"its {which} could not be read, and their seamarks are missing: {why}")
    else:
        for text in answer.said:
            draft.problem(f"GDAL: {text}", "GDAL")
    return str(answer.head.get("newest", ""))
