"""How far off positions may be that were brought to WGS 84 from another system.

PROJ states an accuracy for each transformation, and EPSG the area that it holds for. Of one that
states none, and outside its area, `UNKNOWN_M` counts: the worst that EPSG's data set states of any
transformation to WGS 84 (as PROJ 9.5.1 has it; 999 there stands for not known).
"""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Any

import numpy as np

from routecheck.model.chart import Severity
from routecheck.model.source import Quality
from routecheck.nav.angles import Floats

if TYPE_CHECKING:
    from pyproj import Transformer

UNKNOWN_M = 100.0
TOLD_M = 5.0
"""Less goes without saying (our own rule): ETRS89 1 m, NAD83 4 m."""
_NOT_KNOWN_M = 999.0
_ROOM_DEG = 1.0
"""Areas are rough boxes: within this of one its transformation still holds (our own rule)."""
_CELLS_A_DEGREE = 4.0
_MOST_ASKED = 400


class Off:
    """Collects the worst for the places of one file."""

    def __init__(self) -> None:
        self.worst_m = 0.0
        self.unknown: set[str] = set()
        """Names of systems for which no one states it."""
        self._names: set[str] = set()
        self._seen: set[tuple[str, int, int]] = set()

    def see(self, name: str, transformer: Transformer, xy: Floats, lonlat: Floats) -> None:
        """Look at places (n, 2) of the system `name` and the same as longitude and latitude, a
        few in each quarter of a degree: PROJ picks its operation place by place."""
        if transformer.accuracy == 0.0:
            return
        whole = np.isfinite(lonlat).all(axis=1) & np.isfinite(xy).all(axis=1)
        xy, lonlat = xy[whole, :2], lonlat[whole, :2]
        cells = np.floor(lonlat * _CELLS_A_DEGREE).astype(np.int64)
        _, first = np.unique(cells, axis=0, return_index=True)
        step = max(1, len(first) // _MOST_ASKED)
        for at in first[::step].tolist():
            key = (name, int(cells[at, 0]), int(cells[at, 1]))
            if key in self._seen:
                continue
            self._seen.add(key)
            self._one(name, transformer, xy[at], lonlat[at])

    def _one(self, name: str, transformer: Transformer, xy: Floats, lonlat: Floats) -> None:
        stated_m = _stated_m(transformer, float(xy[0]), float(xy[1]), *lonlat.tolist())
        if stated_m is None:
            self.unknown.add(name)
            stated_m = UNKNOWN_M
        if stated_m > self.worst_m:
            self.worst_m = stated_m
        if stated_m > 0.0:
            self._names.add(name)

    def told(self, *, counted: bool) -> tuple[str, Severity] | None:
        """What is to be said of it, None for nothing. `counted`: it is added to the uncertainty
        of all positions."""
        names = ", ".join(sorted(self.unknown or self._names))
        how = f"is taken as {self.worst_m:g} m" if counted else f"may be {self.worst_m:g} m or more"
        if self.unknown:
            text = (
                f"how exactly its coordinate system ({names}) comes to WGS 84 in its place is not "
                f"stated: what its positions may be off by it {how}"
            )
            return text, Severity.NOT_ASSESSED
        if self.worst_m <= TOLD_M:
            return None
        text = f"its positions came to WGS 84 from another system ({names}), and may be "
        text += f"{self.worst_m:g} m off by that" + (", which counts" if counted else "")
        return text, Severity.NOTE if counted else Severity.CAUTION


def _stated_m(
    transformer: Transformer, x: float, y: float, lon_deg: float, lat_deg: float
) -> float | None:
    """What is stated of the operation that PROJ takes there, None for nothing."""
    from pyproj.exceptions import ProjError

    used: Any = transformer
    transformer.transform(x, y)
    with suppress(ProjError):  # where there is but one
        used = transformer.get_last_used_operation()
    stated_m = float(used.accuracy)
    if stated_m == 0.0:
        return 0.0
    if not 0.0 < stated_m < _NOT_KNOWN_M or not _holds(used.area_of_use, lon_deg, lat_deg):
        return None
    return stated_m


def _holds(area: Any, lon_deg: float, lat_deg: float) -> bool:
    if area is None:
        return True
    wide_deg = (area.east - area.west) % 360.0 or 360.0
    east_deg = (lon_deg - area.west + _ROOM_DEG) % 360.0
    across = wide_deg + 2.0 * _ROOM_DEG >= 360.0 or east_deg <= wide_deg + 2.0 * _ROOM_DEG
    up = area.south - _ROOM_DEG <= lat_deg <= area.north + _ROOM_DEG
    return bool(across and up)


def told_of_cells(quality: Quality) -> list[tuple[str, Severity]]:
    """What is to be said of the stated uncertainty of a grid's positions, which is not added to
    the places of its cells."""
    off_m = quality.horizontal_m
    if off_m is None or off_m <= TOLD_M:
        return []
    text = f"its positions may be {off_m:g} m off, which is not added to the places of its cells: "
    return [(text + "give the route that much more room", Severity.CAUTION)]


def off_of_system(wkt: str, lattice: tuple[Floats, Floats]) -> Off:
    """The same for a grid: its system as WKT, and x and y all over it. Nothing where it is not
    known at all how the system lies, which is told elsewhere."""
    from pyproj import CRS, Transformer
    from pyproj.exceptions import ProjError

    off = Off()
    try:
        crs = CRS.from_user_input(wkt)
        crs = crs.sub_crs_list[0] if crs.is_compound else crs
        transformer = Transformer.from_crs(crs, 4326, always_xy=True, allow_ballpark=False)
        x, y = np.ravel(lattice[0]), np.ravel(lattice[1])
        lon, lat = transformer.transform(x, y)
    except ProjError:
        return off
    off.see(crs.name, transformer, np.column_stack([x, y]), np.column_stack([lon, lat]))
    return off
