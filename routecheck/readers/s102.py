"""S-102 bathymetric surfaces, read as the HDF5 that they are: editions 2.0 to 3.0.

IHO S-102, Bathymetric Surface Product Specification, editions 2.0.0, 2.1.0, 2.2.0 and 3.0.0, table
"BathymetryCoverage feature instance group" and Annex "HDF5 encoding"; uncertainties are those of
95 %. Depths run down and drying heights are negative. Rows run from the south; the value of
row 0, column 0 stands at the grid origin. Producers differ by half a cell in what they take for
the origin, cell or node; every value is therefore used a whole cell either way, which holds both.

Runs in the grids' own process: it trusts no size that a file states.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from routecheck.model.datum import VERDAT
from routecheck.model.errors import BadInput
from routecheck.readers.gridfacts import Layer
from routecheck.readers.gridfound import Found, Opening, Window

_DEPTH_DOWN = 6498
"""EPSG: depths in metres, down."""
_ON_VERTICAL_DATUM, _BY_S100_CODE = 2, 1
_NOTHING = 1e6
_MOST_COVERAGES = 99
_CONTIGUOUS = (256, 1024)
_CACHE_BYTES = 1 << 25
_AXES = re.compile(r"\s*(longitude|easting)\s*,\s*(latitude|northing)\s*", re.IGNORECASE)


def find_s102(path: Path) -> tuple[Found, ...]:
    """The coverages of an S-102 file; none where the file is something else.

    Raises BadInput where it is S-102, and cannot be read.
    """
    with path.open("rb") as stream:
        if not stream.read(8).startswith(b"\x89HDF\r\n"):
            return ()
    import h5py

    try:
        with h5py.File(path, "r") as file:
            if "BathymetryCoverage" not in file and "S-102" not in _words(
                file, "productSpecification"
            ):
                return ()
            return tuple(_coverages(path, file))
    except (OSError, KeyError, RuntimeError, TypeError, ValueError, OverflowError) as error:
        says = re.sub(r"\s+", " ", str(error))[:200]
        raise BadInput(file=str(path), wrong=f"it cannot be read as HDF5 ({says})") from None


class S102Reader:
    """One coverage of an open file; band 1 are its depths, band 2 its uncertainties."""

    def __init__(self, opening: Opening) -> None:
        import h5py

        self.file = h5py.File(opening.name, "r", rdcc_nbytes=_CACHE_BYTES)
        self.values = self.file[dict(opening.options)["values"]]

    def read(self, band: int, window: Window, *, mask: bool) -> tuple[bytes, bytes]:  # noqa: ARG002
        """(numbers, b"") of a window that is counted from the north."""
        south = self.values.shape[0] - window.top - window.height
        some = self.values[south : south + window.height, window.left : window.left + window.width][
            ("depth", "uncertainty")[band - 1]
        ]
        if some.shape != (window.height, window.width):
            raise ValueError("it holds less than it claims")
        return np.ascontiguousarray(some[::-1]).tobytes(), b""

    def close(self) -> None:
        """Let the file go."""
        self.file.close()


def _coverages(path: Path, file: Any) -> Iterator[Found]:
    edition = _edition(path, file)
    feature = file["BathymetryCoverage"]
    names = sorted(name for name in feature if re.fullmatch(r"BathymetryCoverage[._]\d+", name))
    if not 1 <= len(names) <= _MOST_COVERAGES:
        raise BadInput(file=str(path), wrong=f"an S-102 file with {len(names)} coverages")
    for name in names:
        instance = feature[name]
        groups = sorted(group for group in instance if re.fullmatch(r"[Gg]roup[._]\d+", group))
        if len(groups) != 1:
            wrong = f"its coverage {name} has {len(groups)} groups of values, not one"
            raise BadInput(file=str(path), wrong=wrong)
        yield _coverage(
            path, file, feature, instance, f"{instance.name}/{groups[0]}/values", edition
        )


def _edition(path: Path, file: Any) -> str:
    said = _words(file, "productSpecification")
    found = re.search(r"S-102\D{0,3}(\d+(?:\.\d+){0,2})", said)
    edition = found.group(1) if found else ""
    if edition and edition.partition(".")[0] not in ("2", "3"):
        wrong = f"S-102 edition {edition} is not read, only editions 2 and 3"
        raise BadInput(file=str(path), wrong=wrong)
    system = _number(file, "verticalCS")
    if system is not None and int(system) != _DEPTH_DOWN:
        wrong = f"its vertical coordinate system is EPSG {int(system)}, not depths in metres"
        raise BadInput(file=str(path), where="verticalCS", wrong=wrong)
    return edition


def _coverage(path: Path, file: Any, feature: Any, instance: Any, name: str, edition: str) -> Found:
    values = file[name]
    columns, rows = _count(path, instance, "Longitudinal"), _count(path, instance, "Latitudinal")
    if values.shape != (rows, columns):
        wrong = f"its head promises {columns} x {rows} cells, it holds {values.shape}"
        raise BadInput(file=str(path), wrong=wrong)
    fields = values.dtype.fields or {}
    if "depth" not in fields or fields["depth"][0].kind != "f":
        raise BadInput(file=str(path), wrong="its values have no depths")
    order = (_words(feature, "sequencingRule.scanDirection"), _words(instance, "startSequence"))
    if (order[0] and not _AXES.fullmatch(order[0])) or order[1].replace(" ", "") not in ("", "0,0"):
        wrong = f"its cells run {order[0]!r} from {order[1]!r}, which is not read"
        raise BadInput(file=str(path), wrong=wrong)
    dx, dy = _needed(path, instance, "gridSpacingLongitudinal", "gridSpacingLatitudinal")
    west, south = _needed(path, instance, "gridOriginLongitude", "gridOriginLatitude")
    if not (dx > 0.0 and dy > 0.0):
        raise BadInput(file=str(path), wrong=f"its cells are {dx} x {dy} wide")
    doubt = fields.get("uncertainty")
    doubt_m, share = _assessed(file, feature, instance)
    across_m = _number(instance, "horizontalPositionUncertainty", feature)
    opening = Opening(name=str(path.resolve()), driver="S102", options=(("values", name),))
    stated = doubt is not None and doubt[0].kind == "f"
    return Found(
        opening=opening,
        layer=Layer(driver="S102", name="depth", said=_datum(file, instance)),
        columns=columns,
        rows=rows,
        block=_block(values, rows, columns),
        dtype=fields["depth"][0].str,
        corner=(dx, 0.0, west - dx / 2.0, 0.0, -dy, south + (rows - 0.5) * dy),
        system=_system(path, file),
        lonlat_names=False,
        nodata=_fills(file),
        nodes=True,
        issued=_dated(_words(file, "issueDate")),
        edition=edition,
        surveyed=_surveyed(file),
        doubt_opening=replace(opening, band=2) if stated else None,
        doubt_dtype=doubt[0].str if doubt is not None else "",
        doubt_m=doubt_m,
        doubt_share=share,
        horizontal_m=across_m if across_m is not None and across_m > 0.0 else None,
    )


def _block(values: Any, rows: int, columns: int) -> tuple[int, int]:
    height, width = values.chunks or _CONTIGUOUS
    return (int(height), int(width)) if values.chunks else (min(height, rows), min(width, columns))


def _count(path: Path, instance: Any, axis: str) -> int:
    value = _number(instance, f"numPoints{axis}")
    if value is None or not 1 <= value < 1e9 or value != int(value):
        raise BadInput(
            file=str(path), where=f"numPoints{axis}", wrong="it states no count of cells"
        )
    return int(value)


def _needed(path: Path, instance: Any, *names: str) -> tuple[float, ...]:
    found = [_number(instance, name) for name in names]
    if any(value is None or abs(value) > 1e9 for value in found):
        wrong = f"it does not state {' and '.join(names)}"
        raise BadInput(file=str(path), wrong=wrong)
    return tuple(value for value in found if value is not None)


def _system(path: Path, file: Any) -> str:
    """Editions 2.0 and 2.1 name the reference and its code, later ones have one number."""
    code = _number(file, "horizontalCRS")
    if code is None and _words(file, "horizontalDatumReference").upper() in ("EPSG", ""):
        code = _number(file, "horizontalDatumValue")
    if code is None or not 1024 <= code <= 32767:
        wrong = "its horizontal coordinate system is none of EPSG's"
        raise BadInput(file=str(path), where="horizontalCRS", wrong=wrong)
    return f"EPSG:{int(code)}"


def _datum(file: Any, instance: Any) -> Mapping[str, str]:
    """What a coverage states of its own goes before what the file does."""
    base = _number(file, "verticalCoordinateBase", instance)
    if base is not None and int(base) != _ON_VERTICAL_DATUM:
        return {}
    code = _number(instance, "verticalDatum", file)
    if code is None:
        return {"verticalDatum": _words(instance, "verticalDatum") or _words(file, "verticalDatum")}
    by = _number(instance, "verticalDatumReference", file)
    if by is not None and int(by) != _BY_S100_CODE:
        return {"verticalDatum": _by_epsg(int(code))}
    return {"verticalDatum": VERDAT.get(int(code), "")}


def _by_epsg(code: int) -> str:
    from pyproj.crs import Datum  # type: ignore[attr-defined]
    from pyproj.exceptions import CRSError

    try:
        return str(Datum.from_epsg(code).name)
    except CRSError:
        return ""


def _fills(file: Any) -> tuple[float, ...]:
    found = [_NOTHING]
    try:
        for row in file["Group_F/BathymetryCoverage"][:8]:
            if _text(row["code"]) == "depth":
                found.append(float(_text(row["fillValue"])))
    except (KeyError, ValueError, TypeError, IndexError):
        pass
    return tuple(dict.fromkeys(value for value in found if math.isfinite(value)))


_FIXED, _SHARE = (
    "verticalUncertainty.uncertaintyFixed",
    "verticalUncertainty.uncertaintyVariableFactor",
)


def _assessed(file: Any, feature: Any, instance: Any) -> tuple[float | None, float]:
    """The worst vertical uncertainty (fixed, share of the depth) that the file states anywhere but
    cell by cell: for the whole feature, or in the table of quality of editions 2.1 and later."""
    whole = _number(instance, "verticalUncertainty", feature)
    if whole is not None and whole > 0.0:
        return whole, 0.0
    table = _table(file)
    names = table.dtype.names or () if table is not None else ()
    if table is None or not len(table) or _FIXED not in names:
        return None, 0.0
    fixed = table[_FIXED].astype(np.float64)
    share = table[_SHARE].astype(np.float64) if _SHARE in names else np.zeros(len(table))
    stated = (
        (fixed >= 0.0) & (fixed < 1e3) & (share >= 0.0) & (share <= 1.0) & (fixed + share > 0.0)
    )
    return (float(fixed.max()), float(share.max())) if stated.all() else (None, 0.0)


def _surveyed(file: Any) -> int | None:
    """The year of the oldest survey."""
    table = _table(file)
    name = "surveyDateRange.dateStart"
    if table is None or name not in (table.dtype.names or ()):
        return None
    years = [int(m[0]) for one in table[name] if (m := re.match(r"[12]\d{3}", _text(one)))]
    return min((year for year in years if 1500 <= year <= 2200), default=None)


def _table(file: Any) -> Any:
    for name in ("QualityOfBathymetryCoverage", "QualityOfSurvey"):
        found = file.get(f"{name}/featureAttributeTable")
        if found is not None and found.ndim == 1 and found.shape[0] <= 100_000:
            return found[:]
    return None


def _dated(text: str) -> str:
    found = re.match(r"(\d{4})-?(\d\d)-?(\d\d)", text)
    return "-".join(found.groups()) if found else ""


def _number(group: Any, name: str, other: Any = None) -> float | None:
    """An attribute that is one finite number, of `other` where `group` has none."""
    value = group.attrs.get(name)
    if value is None:
        return None if other is None else _number(other, name)
    try:
        number = float(np.asarray(value).reshape(-1)[0])
    except (TypeError, ValueError, IndexError):
        return None
    return number if math.isfinite(number) else None


def _words(group: Any, name: str) -> str:
    value = group.attrs.get(name, "")
    return _text(value) if isinstance(value, (str, bytes, np.str_, np.bytes_)) else ""


def _text(value: Any) -> str:
    return (value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)).strip(
        "\0 "
    )
