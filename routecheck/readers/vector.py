"""Vector files: GeoPackage, GeoJSON, Shapefile, FlatGeobuf, GML with charted objects in them.

Classes and attributes go by their S-57 names or by what the sidecar says. What a file does not
state (datum, unit, uncertainty) comes from the sidecar; without a datum its depths condemn and
never clear.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray

from routecheck.model.chart import Chart
from routecheck.model.datum import UNKNOWN
from routecheck.model.errors import BadInput
from routecheck.model.shortedges import with_short_edges
from routecheck.model.source import Source, SourceKind
from routecheck.readers import ogr
from routecheck.readers.between_contours import fill_between
from routecheck.readers.chart_sidecar import LayerSidecar, Sidecar, read_sidecar
from routecheck.readers.charted import Draft
from routecheck.readers.datumshift import Off
from routecheck.readers.doubled import CLEARANCES, DEPTHS
from routecheck.readers.features import FIRST, NO_CLASS, add_rows
from routecheck.readers.placeless import tell_further, tell_placeless
from routecheck.readers.seamark_rows import Seamarks, seamarks_of
from routecheck.readers.seamark_tags import NO_SEAMARK
from routecheck.readers.shapes import Shapes
from routecheck.readers.strict import cleaned
from routecheck.readers.vector_classes import class_columns, class_named, class_stated
from routecheck.readers.vector_columns import Column, Own, columns_of, own_of, stated, values_of
from routecheck.units import METRES_PER_FOOT

FORMATS = {
    ".gpkg": "GeoPackage",
    ".geojson": "GeoJSON",
    ".json": "GeoJSON",
    ".shp": "Shapefile",
    ".fgb": "FlatGeobuf",
    ".gml": "GML",
}
COMPANIONS = (".shx", ".dbf", ".prj", ".cpg")
"""Files of a Shapefile that are read with it."""
_SCHEMAS = (".xsd", ".gfs")
"""The same of a GML."""
_LONLAT = frozenset({"EPSG:4326", "OGC:CRS84"})
_LONGEST_SIDE_M = 500.0
_MOST_SIDES = 2_000_000
NOTHING_PLACED = "it holds no object with a place"
Floats = NDArray[np.float64]
_SAID_OTHERWISE = (
    *("Non closed ring detected", "organizePolygons()", "Altering it to be unique"),
    "Invalid coord dimension",
)


def read_vector(path: Path) -> tuple[Chart, ...]:
    """The chart in a vector file. Raises BadInput."""
    job = VectorJob(path)
    (answer,) = ogr.read_all([job.request()])
    return (job.finish(answer),)


class VectorJob:
    """One file to be read; `request` and `finish` raise BadInput."""

    def __init__(self, path: Path, *, source_id: str | None = None) -> None:
        self.path = path
        self.source_id = source_id or path.name
        self._sha256 = ""
        self._sidecar: Sidecar | None = None
        self._off = Off()

    def request(self) -> ogr.Request:
        """Measure the file and read its sidecar."""
        self._sidecar = read_sidecar(self.path)
        try:
            self._sha256 = digest_of(self.path)
            size = self.path.stat().st_size
        except OSError as error:
            raise BadInput(
                file=str(self.path), wrong=f"it cannot be read ({error.strerror})"
            ) from None
        if not size:
            raise BadInput(file=str(self.path), wrong="the file is empty")
        return ogr.Request(task="layers", file=self.path, size=size)

    def finish(self, answer: ogr.Answer) -> Chart:
        """The chart out of the child's answer."""
        if answer.error:
            wrong = answer.error.replace(f"{self.path}: ", "").replace(str(self.path), "it")
            raise BadInput(file=str(self.path), wrong=f"GDAL cannot read it: {wrong}")
        if answer.head:
            said = {key: cleaned(str(answer.head[key])) for key in ("wrong", "do")}
            raise BadInput(file=str(self.path), **said)
        sidecar = self._sidecar
        unit_m = (sidecar.unit_m if sidecar else None) or 1.0
        draft = Draft(
            source=self.source_id,
            datum=(sidecar.datum if sidecar else "") or UNKNOWN,
            depth_unit_m=unit_m,
            # A chart in fathoms has its heights in feet: 40 over a bridge is no 40 fathoms.
            height_unit_m=min(unit_m, METRES_PER_FOOT) if unit_m > 1.0 else unit_m,
            depth_sign=-1.0 if sidecar and sidecar.quantity == "elevation" else 1.0,
        )
        for text in answer.said:
            if not any(known in text for known in _SAID_OTHERWISE):
                draft.problem(f"GDAL: {text}", "GDAL")
        read = known = placeless = 0
        tagged = False
        for table in answer.tables:
            if not table.spatial:
                placeless += tell_placeless(table, draft)
            elif table.stated >= 0 and table.stated != table.rows:
                draft.problem(
                    f"layer {table.name}: of the {table.stated} rows that it says it has "
                    f"{table.rows} were read"
                )
            tell_further(table, draft)
            if table.spatial and table.rows:
                read += table.rows
                seamarks = Seamarks(draft.depth_unit_m * draft.depth_sign, draft.height_unit_m)
                found, taken = seamarks_of(table, seamarks, self._own(table, draft))
                if taken:
                    tagged = True
                    known += len(taken)
                    move = to_lonlat(
                        table.crs, file=str(self.path), layer=table.name, off=self._off
                    )
                    found.into(draft, move)
                known += self._layer(table, draft, taken)
        if not read:
            wrong = NOTHING_PLACED + (", but tables that may hold some" if placeless else "")
            if not placeless and any("cannot" in text for text in answer.said):
                wrong += ", as far as it can be read"
            raise BadInput(file=str(self.path), wrong=wrong)
        if not known:
            raise BadInput(
                file=str(self.path),
                wrong="nothing says which charted objects these are: no column 'class', and no "
                "layer is called after a class",
                do='write class = "DEPARE" (or another) under [layers.NAME] in its sidecar',
            )
        told = self._off.told(counted=True)
        if told is not None:
            draft.problem(told[0], "system", told[1])
        fill_between(draft)
        chart = draft.chart(self._source())
        return replace(chart, proves_absence=False) if tagged else chart

    def _layer(self, table: ogr.Table, draft: Draft, taken: set[int]) -> int:
        """Read one layer but for the rows that are `taken`; how many of them are of a class that
        is stated or known."""
        file, layer = str(self.path), cleaned(table.name, longest=60)
        sidecars = self._sidecars(table.name)
        move = to_lonlat(table.crs, file=file, layer=layer, off=self._off)
        unit_m, known = draft.depth_unit_m * draft.depth_sign, 0
        by_class = _by_class(table, sidecars, taken)
        if taken and "" in by_class:  # the rest of OpenStreetMap: houses, roads
            bare = len(by_class.pop(""))
            draft.counts[NO_SEAMARK] += bare
            draft.harmless[NO_SEAMARK] += bare
        for cls in sorted(by_class, key=lambda cls: cls not in FIRST):
            name = cls or f"{NO_CLASS}{layer}"
            known += len(by_class[cls]) if cls else 0
            columns = columns_of(name, table.fields, sidecars, file=file, layer=layer)
            if not self._unit_stated:
                self._refuse_units(columns, table, by_class[cls], layer)
            rows = []
            for row in by_class[cls]:
                values = values_of(
                    row, columns, table.columns, unit_m=unit_m, unit_stated=self._unit_stated
                )
                wkb = table.wkb[row] if table.wkb is not None else None
                rows.append((cleaned(str(values.pop("LNAM", row + 1)), longest=40), values, wkb))
            add_rows(name, rows, draft, move)
        return known

    def _own(self, table: ogr.Table, draft: Draft) -> Own:
        return own_of(
            table,
            self._sidecars(table.name),
            file=str(self.path),
            unit_m=draft.depth_unit_m * draft.depth_sign,
            unit_stated=self._unit_stated,
        )

    @property
    def _unit_stated(self) -> bool:
        return self._sidecar is not None and self._sidecar.unit_m is not None

    def _refuse_units(
        self,
        columns: Mapping[str, tuple[Column, ...]],
        table: ogr.Table,
        rows: list[int],
        layer: str,
    ) -> None:
        """S-57's names mean metres; a column of another name may hold any unit. One that stands
        beside S-57's is compared with it; one that says nothing does no harm."""
        for attribute in (*sorted(DEPTHS), *sorted(CLEARANCES)):
            candidates = columns.get(attribute, ())
            if any(column.metres for column in candidates):
                continue
            for column in candidates:
                said = (stated(table.columns, column.name, row, attribute) for row in rows)
                if any(value is not None for value in said):
                    raise BadInput(
                        file=str(self.path),
                        where=f"layer {layer}",
                        wrong=f"nothing states the unit of its column {column.name!r}",
                        do='write unit = "m" (or another) in its sidecar',
                    )

    def _sidecars(self, layer: str) -> list[LayerSidecar]:
        sidecar = self._sidecar
        if sidecar is None:
            return []
        own = sidecar.layers.get(layer)
        return [*([own] if own is not None else []), sidecar.whole]

    def _source(self) -> Source:
        sidecar = self._sidecar
        said = Sidecar(file="") if sidecar is None else sidecar
        return Source(
            id=self.source_id,
            file=str(self.path),
            sha256=self._sha256,
            kind=SourceKind.VECTOR,
            format=FORMATS.get(self.path.suffix.lower(), "vector"),
            datum=said.datum or UNKNOWN,
            datum_from="sidecar" if said.datum else "",
            datum_below_msl_m=said.datum_below_msl_m,
            quality=said.quality,
            surveyed=said.surveyed,
            system_off_m=self._off.worst_m,
        )


def _by_class(
    table: ogr.Table, sidecars: list[LayerSidecar], taken: set[int]
) -> dict[str, list[int]]:
    """Row numbers by class, "" for those of which nothing says what they are."""
    given = next((sidecar.cls for sidecar in sidecars if sidecar.cls), "")
    lower = {field.lower() for field in table.fields}
    otherwise = class_stated(given) if given else class_named(table.name)
    if not otherwise and "direction_of_buoyage_deg" in lower:
        otherwise = "M_NSYS"
    if not otherwise and "kind" in lower:
        otherwise = "mark"
    names = class_columns(table.fields, sidecars)
    columns = [table.columns[name] for name in names if name in table.columns]
    found: dict[str, list[int]] = {}
    for row in range(table.rows):
        if row in taken:
            continue
        classes = dict.fromkeys(class_stated(column[row]) for column in columns)
        # One that is called two things is read as both: the worse of them counts.
        for cls in [cls for cls in classes if cls] or [otherwise]:
            found.setdefault(cls, []).append(row)
    return found


def to_lonlat(crs: str, *, file: str, layer: str, off: Off) -> Callable[[Shapes], Shapes] | None:
    """What moves shapes of this coordinate reference system to WGS 84, None where nothing need.

    Long sides are parted first: what is straight on a projection is not straight in longitude
    and latitude. `off` takes what positions may be off by it. Raises BadInput for no system, an
    unknown one, and one that cannot be brought to WGS 84 properly.
    """
    if crs in _LONLAT:
        return None
    where = f"layer {layer}"
    if not crs:
        do = "write it again with its coordinate reference system"
        raise BadInput(
            file=file, where=where, wrong="it states no coordinate reference system", do=do
        )
    import pyproj
    from pyproj.exceptions import ProjError

    try:
        ours = pyproj.CRS.from_user_input(crs).to_2d()
        if ours.equals(pyproj.CRS.from_epsg(4326), ignore_axis_order=True):
            return None
        transformer = pyproj.Transformer.from_crs(ours, 4326, always_xy=True, allow_ballpark=False)
    except ProjError as error:
        wrong = f"its coordinate reference system cannot be brought to WGS 84 ({error})"
        raise BadInput(file=file, where=where, wrong=wrong) from None
    unit_m = ours.axis_info[0].unit_conversion_factor if ours.is_projected else None

    def turn(places: Floats) -> Floats:
        turned = places.copy()
        turned[:, 0], turned[:, 1] = transformer.transform(places[:, 0], places[:, 1])
        off.see(ours.name, transformer, places, turned)
        return turned

    def move(shapes: Shapes) -> Shapes:
        if unit_m:
            longest = max(
                float(shapely.length(shapes).sum()) / _MOST_SIDES, _LONGEST_SIDE_M / unit_m
            )
            shapes = with_short_edges(shapes, longest)
        deep = bool(shapely.has_z(shapes).any())
        moved: Shapes = shapely.transform(shapes, turn, include_z=deep)
        return moved

    return move


def digest_of(path: Path) -> str:
    """SHA-256 of the file; of a Shapefile or GML with its companions, one after the other."""
    digest = hashlib.sha256()
    files = [path]
    parts = {".shp": COMPANIONS, ".gml": _SCHEMAS}.get(path.suffix.lower(), ())
    files += [beside for suffix in parts if (beside := companion(path, suffix))]
    for one in files:
        with one.open("rb") as stream:
            while block := stream.read(2**20):
                digest.update(block)
    return digest.hexdigest()


def companion(path: Path, suffix: str) -> Path | None:
    """The file beside a Shapefile with another suffix, in either case."""
    for wanted in (path.with_suffix(suffix), path.with_suffix(suffix.upper())):
        if wanted.is_file():
            return wanted
    return None
