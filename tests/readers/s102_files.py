"""S-102 files of every edition that has an HDF5 encoding, written as the standard lays it down.

IHO S-102 Bathymetric Surface Product Specification: edition 2.0.0 (2019) and 2.1.0 (2021), table
"Root group attributes": horizontalDatumReference and horizontalDatumValue; editions 2.2.0 (2023)
and 3.0.0 (2024): horizontalCRS, verticalCS, verticalCoordinateBase, verticalDatumReference; all:
"BathymetryCoverage feature instance group" and the compound `values` (depth, uncertainty). From
memory but for 3.0.0, whose clause on content and structure is public.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

EDITIONS = ("2.0.0", "2.1.0", "2.2.0", "3.0.0")
Grids = NDArray[np.float32]


def write_s102(
    path: Path,
    depth: Grids,
    *,
    edition: str = "3.0.0",
    uncertainty: Grids | None = None,
    vertical_datum: int | None = 23,
    epsg: int = 4326,
    west: float = 10.0,
    south: float = 53.0,
    step: float | tuple[float, float] = 0.01,
    root: dict[str, Any] | None = None,
    instance: dict[str, Any] | None = None,
    feature: dict[str, Any] | None = None,
    second: Grids | None = None,
    chunks: tuple[int, int] | None = None,
) -> Path:
    """A surface whose first row is the most southern one; `second` is another coverage."""
    import h5py

    dx, dy = step if isinstance(step, tuple) else (step, step)
    with h5py.File(path, "w") as out:
        out.attrs["productSpecification"] = f"INT.IHO.S-102.{edition}"
        out.attrs["issueDate"] = "20270514"
        if edition < "2.2":
            out.attrs["horizontalDatumReference"] = "EPSG"
            out.attrs["horizontalDatumValue"] = np.int32(epsg)
        else:
            out.attrs["horizontalCRS"] = np.int32(epsg)
            out.attrs["verticalCS"] = np.int32(6498)
            out.attrs["verticalCoordinateBase"] = np.uint8(2)
            out.attrs["verticalDatumReference"] = np.uint8(1)
        if vertical_datum is not None:
            out.attrs["verticalDatum"] = np.uint16(vertical_datum)
        out.attrs.update(root or {})
        about = out.create_group("Group_F")
        columns = ("code", "name", "uom.name", "fillValue", "datatype", "lower", "upper", "closure")
        names = ["depth"] + (["uncertainty"] if uncertainty is not None else [])
        rows = np.zeros(len(names), dtype=[(column, "S16") for column in columns])
        for row, name in enumerate(names):
            rows[row] = (name, name, "metres", "1000000", "H5T_FLOAT", "-14", "11050", "closed")
        about.create_dataset("BathymetryCoverage", data=rows)
        made = out.create_group("BathymetryCoverage")
        made.attrs["sequencingRule.scanDirection"] = "Longitude,Latitude"
        made.attrs.update(feature or {})
        for number, values in enumerate((depth, second), start=1):
            if values is None:
                continue
            group = made.create_group(f"BathymetryCoverage.{number:02d}")
            group.attrs["gridOriginLongitude"] = west + (number - 1) * dx * values.shape[1]
            group.attrs["gridOriginLatitude"] = south
            group.attrs["gridSpacingLongitudinal"] = dx
            group.attrs["gridSpacingLatitudinal"] = dy
            group.attrs["numPointsLongitudinal"] = np.uint32(values.shape[1])
            group.attrs["numPointsLatitudinal"] = np.uint32(values.shape[0])
            group.attrs["startSequence"] = "0,0"
            group.attrs.update((instance or {}) if number == 1 else {})
            held = np.zeros(values.shape, dtype=[(name, "<f4") for name in names])
            held["depth"] = values
            if uncertainty is not None:
                held["uncertainty"] = uncertainty if number == 1 else 0.5
            group.create_dataset("Group_001/values", data=held, chunks=chunks)
    return path
